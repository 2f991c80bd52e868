// The verbs of the brew day, each by what it must do and what it must refuse.
#include "brewery.hpp"
#include "near.hpp"
#include <algorithm>
#include <sstream>

using namespace lotwort::test;

namespace {

constexpr const char* by_mass = R"(name = "bitter"
volume_l = 20
boil_minutes = 60
grist = [{item = "pale ale malt", mass_kg = 4}]
hops = [
  {item = "goldings", minutes = 60, mass_g = 30},
  {item = "goldings", minutes = 10, mass_g = 20},
  {item = "goldings", stage = "dry", days = 5, mass_g = 50},
]
others = [{item = "ale yeast", stage = "fermenter", count = 1}]
)";

// Two lots of malt, one of hops, one packet of yeast; a brewhouse and a recipe.
struct Stocked : Brewery {
    Stocked() {
        write("bitter.toml", by_mass);
        done("init");
        done("brewhouse add garage 20L");
        done("recipe add FOLDER/bitter.toml");
        done("receive \"pale ale malt\" 3kg --lot PAM-1 --best-before 2026-06-01");
        done("receive \"pale ale malt\" 25kg --lot PAM-2 --best-before 2026-12-01");
        done("receive goldings 200g --lot G-1 --alpha 5%");
        done("receive \"ale yeast\" 1piece --lot Y-1");
    }
};

std::string refusal(const Brewery& b, const std::string& line, int status = 1) {
    const Said said = b.run(line);
    CHECK_MESSAGE(said.status == status, line);
    CHECK_FALSE(said.hint.empty());
    return said.error;
}

Json lot_row(const Brewery& b, const std::string& lot) {
    const Json stock = b.json("stock --lots --all");
    for (const auto& row : stock["lots"])
        if (row["lot"] == lot) return row;
    return {};
}

std::size_t widest_line(const std::string& text) {
    std::istringstream in(text);
    std::size_t widest = 0;
    for (std::string line; std::getline(in, line);) {
        const auto continued =
            std::ranges::count_if(line, [](char c) { return (static_cast<unsigned char>(c) & 0xc0) == 0x80; });
        widest = std::max(widest, line.size() - static_cast<std::size_t>(continued));
    }
    return widest;
}

} // namespace

TEST_CASE("brewhouse: a volume alone is enough, and what is typical says so") {
    Brewery b;
    b.done("init");
    const Json added = b.json("brewhouse add garage 23L");
    const auto& shown = added["brewhouses"][0];
    CHECK(shown["stated"]["volume_l"] == 23);
    CHECK(shown["in_use"]["conversion_pct"] == 92);
    CHECK(std::ranges::count(shown["assumed"], Json("boil_off_l_per_h")) == 1);
    const Json changed = b.json("brewhouse change garage --boil-off 3.1L/h --conversion 90% --kettle-loss 0.5gal(US)");
    CHECK(changed["brewhouses"][0]["stated"]["boil_off_l_per_h"] == 3.1);
    CHECK(changed["brewhouses"][0]["stated"]["kettle_loss_l"].get<double>() == near(0.5 * 3.785411784));
    CHECK(std::ranges::count(changed["brewhouses"][0]["assumed"], Json("boil_off_l_per_h")) == 0);
    CHECK(refusal(b, "brewhouse add garage 20L") == "there is a brewhouse `garage` already");
    CHECK(refusal(b, "brewhouse change garage --boil-off 3.1L/h") == "nothing about garage would change");
    CHECK(refusal(b, "brewhouse change garrage --boil-off 3L/h") == "there is no brewhouse `garrage`");
    b.write("garage.toml", "name = \"garage\"\nvolume_l = 23\ntun_loss_l = 0.7\nboil_off_l_per_h = 4\n"
                           "[[instruments]]\nname = \"stem\"\nkind = \"hydrometer\"\n");
    const Json filed =
        b.json("brewhouse change --file FOLDER/garage.toml --boil-off 3.3L/h")["brewhouses"][0]["stated"];
    CHECK(filed["tun_loss_l"] == 0.7);
    CHECK(filed["boil_off_l_per_h"] == 3.3); // the option comes before the file
    CHECK(filed["conversion_pct"] == 90.0);  // and what neither says stays
    CHECK(b.done("brewhouse").find("stem") != std::string::npos);
    CHECK(refusal(b, "brewhouse add shed", 2) == "VOLUME is missing");
}

TEST_CASE("brewhouse: a file holds kit and instruments, and options come before it") {
    Brewery b;
    b.done("init");
    b.write("kit.toml", "name = \"garage\"\nvolume_l = 23\nboil_off_l_per_h = 3\n[[instruments]]\nname = \"stem\"\n"
                        "kind = \"hydrometer\"\nunit = \"sg\"\nrepeatability = 0.0005\nbias_sd = 0.001\n");
    b.done("brewhouse add --file FOLDER/kit.toml --boil-off 3.4L/h");
    const Json kit = b.json("brewhouse show");
    CHECK(kit["brewhouses"][0]["stated"]["boil_off_l_per_h"] == 3.4);
    CHECK(kit["instruments"][0]["stated"]["name"] == "stem");
    CHECK(kit["instruments"][0]["typical"] == false);
}

TEST_CASE("an instrument's figures are kept in its unit, and what is not said is typical of its kind") {
    Brewery b;
    b.done("init");
    b.done("brewhouse add garage 23L");
    const auto stated = [&](const std::string& line) {
        b.done("brewhouse instrument " + line);
        const std::string name = line.substr(0, line.find(' '));
        const Json all = b.json("brewhouse");
        for (const auto& i : all["instruments"])
            if (i["stated"]["name"] == name) return Json(i["stated"]);
        return Json();
    };
    const Json marks = stated("marks --kind volume-marks --repeatability 200ml --bias-sd 1%");
    CHECK(marks["repeatability"] == 0.2);
    CHECK(marks["bias_sd_pct"] == 1);
    CHECK_FALSE(marks.contains("bias_sd"));
    const Json scale = stated("scale --kind balance --unit g --repeatability 5g --bias-sd 0.001kg");
    CHECK(scale["repeatability"] == 5);
    CHECK(scale["bias_sd"] == 1);
    const Json prism = stated("prism --kind refractometer --wort-factor 1.03");
    CHECK(prism["brix_to_plato"].get<double>() == near(1 / 1.03));
    CHECK(prism["repeatability"].get<double>() > 0); // an instrument that never errs would stop every balance
    const Json stem = stated("stem --kind hydrometer --unit plato");
    CHECK(stem["repeatability"].get<double>() == near(0.0006 * 250)); // a point of gravity is 1/4 of a degree
    CHECK(refusal(b, "brewhouse instrument x --kind hydrometer --unit brix") ==
          "a scale in brix is not what a hydrometer has");
    b.done("brewhouse vessel garage --point kettle-full --volume-by marks --dip 40cm=30L --dip 0cm=0L");
    const Json vessel = b.json("brewhouse show")["brewhouses"][0]["stated"]["vessels"][0];
    CHECK(vessel["dip_table"][0][0] == 0); // in the order of depth, however typed
    CHECK(vessel["volume_instrument"] == "marks");
}

TEST_CASE("recipe: items it names are made once, and a recipe that cannot be brewed is refused") {
    Brewery b;
    b.done("init");
    b.write("a.toml", by_mass);
    const Json added = b.json("recipe add FOLDER/a.toml");
    REQUIRE(added["items_made"].size() == 3);
    CHECK(added["items_made"][0]["class"] == "base");
    CHECK(added["items_made"][1]["kind"] == "hop"); // among the hops, whatever its name says
    CHECK(added["items_made"][2]["kind"] == "yeast");
    CHECK(refusal(b, "recipe add FOLDER/a.toml").find("holds nothing that the ledger does not hold already") !=
          std::string::npos);
    b.write("b.toml", "name = \"thin\"\nvolume_l = 20\noriginal_gravity_sg = 1.04\n"
                      "grist = [{item = \"pale ale malt\", share_pct = 80}]\n");
    CHECK(refusal(b, "recipe add FOLDER/b.toml").find("sum to 80") != std::string::npos);
    const Json scaled = b.json("recipe scale bitter 40L")["scaled"];
    CHECK(scaled["lines"][0]["needed_kg"] == 8);
    CHECK(scaled["lines"][1]["needed_kg"] == 0.06);
    CHECK(scaled["lines"][4]["needed_count"] == 2);
    CHECK(refusal(b, "recipe show biter") == "there is no recipe `biter`");
}

TEST_CASE("plan: the lot that spoils first, then the next; what lacks is listed and stops nothing") {
    Stocked b;
    const Json plan = b.json("plan bitter --on 2026-04-01 --volume 40L --sure");
    const auto& reserved = plan["reserved"];
    CHECK(reserved[0]["lot"] == "PAM-1");
    CHECK(reserved[0]["mass_kg"] == 3);
    CHECK(reserved[1]["lot"] == "PAM-2");
    CHECK(reserved[1]["mass_kg"] == 5);
    CHECK(plan["shortages"].size() == 1); // two packets, one there
    CHECK(plan["shortages"][0]["item"] == "ale yeast");
    CHECK(plan["shortages"][0]["missing_count"] == 1);
    CHECK(lot_row(b, "PAM-2")["promised_kg"] == 5);
    // past the first lot's date it is passed over, and what the first plan has is not promised twice
    const Json later = b.json("plan bitter --on 2026-07-01 --volume 140L --sure");
    CHECK(later["plan"] == "P2");
    CHECK(later["reserved"][0]["mass_kg"] == 20);
    CHECK(later["shortages"][0]["missing_kg"] == 8);
    CHECK(later["shortages"][0]["passed_over"][0]["why"] == "best before 2026-06-01");
    CHECK(b.json("plan")["plans"].size() == 2);
    CHECK(b.json("plan P1")["reserved"] == reserved);
}

TEST_CASE("plan: one that lacks malt is shown as the beer that was planned, with what it lacks") {
    Stocked b;
    b.done("count PAM-2 1kg --reason \"wrong sack\"");
    const Json made = b.json("plan bitter --on 2026-04-01 --volume 30L"); // 6 kg of malt, 4 there
    const Json shown = b.json("plan P1");
    CHECK(made["shortages"][0]["missing_kg"] == 2);
    CHECK(shown["shortages"][0]["missing_kg"] == 2);
    CHECK(shown["forecast"]["original_gravity_sg"]["value"].get<double>() ==
          near(made["forecast"]["original_gravity_sg"]["value"].get<double>(), 1e-9));
    b.done("receive \"pale ale malt\" 5kg --lot PAM-3 --best-before 2026-11-01");
    CHECK(b.json("plan P1")["shortages"][0]["item"] == "ale yeast"); // the malt is reserved now
    b.done("plan P1 --move 2026-04-01"); // its lots chosen anew
    CHECK(refusal(b, "plan P1 --move 2026-04-01") == "P1 is on 2026-04-01 already, and would reserve what it does");
}

TEST_CASE("plan: a promise whose lot has gone, or is on hold, is lacking") {
    Stocked b;
    b.done("plan bitter --on 2026-04-01"); // 3 kg of PAM-1, 1 kg of PAM-2
    CHECK(b.json("plan")["shortages"].empty());
    b.done("discard PAM-2 24kg --reason wet"); // all that was free
    b.done("discard PAM-1 2kg --reason wet");
    const Json lacks = b.json("plan")["shortages"];
    REQUIRE(lacks.size() == 1);
    CHECK(lacks[0]["missing_kg"] == 2);
    CHECK(b.json("plan P1")["shortages"][0]["missing_kg"] == 2);
    b.done("trace PAM-1 --hold damp");
    CHECK(b.json("plan P1")["shortages"][0]["missing_kg"] == 3);
}

TEST_CASE("plan --dry-run promises nothing") {
    Stocked b;
    const Json plan = b.json("plan bitter --dry-run");
    CHECK(plan["dry_run"] == true);
    CHECK(b.json("plan")["plans"].empty());
    CHECK(lot_row(b, "PAM-1")["promised_kg"] == 0);
}

TEST_CASE("plan: no brewhouse, or two and none named, is refused with what to type") {
    Brewery b;
    b.done("init");
    b.write("a.toml", by_mass);
    b.done("recipe add FOLDER/a.toml");
    CHECK(refusal(b, "plan bitter") == "there is no brewhouse to brew on yet");
    b.done("brewhouse add one 20L");
    b.done("brewhouse add two 50L");
    CHECK(refusal(b, "plan bitter") == "there are 2 brewhouses, and none is named");
    CHECK(b.json("plan bitter --brewhouse two")["brewhouse"] == "two");
}

TEST_CASE("brew: the plan's weights go out of stock, and what was weighed otherwise says so") {
    Stocked b;
    b.done("plan bitter");
    const Json brewed = b.json("brew P1 --weighed PAM-2=1.05kg --weighed G-1=28g@boil,60");
    CHECK(brewed["brew"]["code"] == "B1");
    REQUIRE(brewed["differences"].size() == 2);
    CHECK(brewed["differences"][0]["planned_kg"] == 1);
    CHECK(brewed["differences"][0]["weighed_kg"] == 1.05);
    CHECK(lot_row(b, "PAM-2")["on_hand_kg"] == 23.95);
    CHECK(lot_row(b, "PAM-2")["promised_kg"] == 0);
    CHECK(lot_row(b, "G-1")["on_hand_kg"] == near(0.2 - 0.028 - 0.02 - 0.05));
    CHECK(refusal(b, "brew P1") == "plan P1 was brewed as B1 on 2026-03-14");
}

TEST_CASE("brew: without stock it stops at 3, says what is free, and books nothing") {
    Stocked b;
    b.done("plan bitter");
    const Said short_lot = b.run("brew P1 --weighed PAM-1=3.5kg");
    CHECK(short_lot.status == 3);
    CHECK(short_lot.error == "not enough in stock: PAM-1 holds 3 kg of the 3.5 kg to be taken");
    CHECK(short_lot.hint == "free of pale ale malt: 24 kg in PAM-2");
    CHECK(b.json("brew")["brews"].empty());
    // a plan that was short of malt stops too, until the rest has come and is named
    b.done("plan bitter --volume 150L --sure");
    const Said short_plan = b.run("brew P2");
    CHECK(short_plan.status == 3);
    CHECK(short_plan.error.find("plan P2 reserves 24 kg of the 30 kg of pale ale malt that it needs") !=
          std::string::npos);
    CHECK(b.json("brew")["brews"].empty());
}

TEST_CASE("brew: a plan that could reserve no malt at all is a shortage, and still shows what it has") {
    Stocked b;
    b.done("brew --recipe bitter --add PAM-1=3kg --add PAM-2=25kg --sure");
    b.done("plan bitter --on 2026-04-01");
    CHECK(b.json("plan P1")["reserved"].size() == 4); // hops and yeast
    const Said said = b.run("brew P1");
    CHECK(said.status == 3);
    CHECK(said.error == "not enough in stock: plan P1 reserves nothing of the 4 kg of pale ale malt that it needs");
    CHECK(said.hint.starts_with("nothing is free of pale ale malt\n"));
    const Said by_recipe = b.run("brew --recipe bitter");
    CHECK(by_recipe.status == 3);
    CHECK(by_recipe.error.find("bitter finds nothing of the 4 kg of pale ale malt") != std::string::npos);
}

TEST_CASE("brew: a plan from a file that reserved nothing takes what a plan would take now") {
    Stocked b;
    b.write("plan.json", R"({"schema": "lotwort/exchange/1", "plans": [{"code": "P007", "date": "2026-03-14",
        "recipe": "bitter", "brewhouse": "garage", "volume_l": 20}]})");
    b.done("import FOLDER/plan.json");
    const Json brewed = b.json("brew P007");
    CHECK(brewed["brew"]["plan"] == "P007");
    CHECK(lot_row(b, "PAM-1")["on_hand_kg"] == 0);
    CHECK(lot_row(b, "PAM-2")["on_hand_kg"] == 24);
    CHECK(b.json("plan bitter")["plan"] == "P008"); // numbering goes on from the file's
}

TEST_CASE("brew --as-reserved brews a short plan with what it has") {
    Stocked b;
    b.done("plan bitter --volume 150L --sure");
    const Json brewed = b.json("brew P1 --as-reserved");
    CHECK(brewed["brew"]["additions"][0]["mass_kg"] == 3);
    CHECK(brewed["brew"]["additions"][1]["mass_kg"] == 25);
}

TEST_CASE("brew: a lot on hold is neither reserved nor weighed in") {
    Stocked b;
    b.write("held.json", R"({"schema": "lotwort/exchange/1", "lots": [{"code": "DAMP", "item": "pale ale malt",
        "received": "2026-03-01", "mass_kg": 25, "held": "damp sack"}]})");
    b.done("import FOLDER/held.json");
    CHECK(refusal(b, "brew --recipe bitter --add DAMP=4kg") == "--add: lot DAMP is on hold: damp sack");
    const Json plan = b.json("plan bitter --volume 200L --sure");
    CHECK(plan["shortages"][0]["passed_over"][0]["why"] == "held: damp sack");
}

TEST_CASE("brew: a lot put on hold after it was reserved is not weighed in, and another may take its place") {
    Stocked b;
    b.done("plan bitter");
    {
        lotwort::Ledger ledger(b.ledger_path(), lotwort::Access::write);
        lotwort::Book part;
        part.lots.push_back(ledger.lot("PAM-1")->lot);
        part.lots.front().held = "damp";
        lotwort::EntryHead head;
        head.kind = lotwort::EntryKind::hold;
        head.on = *lotwort::parse_iso_date("2026-03-14");
        head.booked_at = "2026-03-14T12:00:00Z";
        head.what = "put PAM-1 on hold";
        ledger.append(part, head);
    }
    CHECK(refusal(b, "brew P1") == "lot PAM-1 is on hold: damp");
    b.done("brew P1 --weighed PAM-1=0kg --weighed PAM-2=4kg");
}

TEST_CASE("brew without a plan takes what a plan would, or what is named") {
    Stocked b;
    const Json whole = b.json("brew --recipe bitter");
    CHECK(whole["brew"]["additions"].size() == 6); // two malt lots, three hop additions, yeast
    CHECK_FALSE(whole["brew"].contains("plan"));
    const Json named = b.json("brew --recipe bitter --add PAM-2=4.2kg --add G-1=25g@boil,60");
    CHECK(named["brew"]["code"] == "B2");
    CHECK(named["brew"]["additions"].size() == 2);
    CHECK(named["brew"]["additions"][1]["minutes"] == 60);
}

TEST_CASE("brew CODE --add deducts later, on its own day") {
    Stocked b;
    b.done("brew --recipe bitter --add PAM-2=4kg");
    b.today("2026-03-20");
    const Json more = b.json("brew B1 --add G-1=40g@dry");
    CHECK(more["brew"]["additions"].size() == 2);
    CHECK(more["brew"]["additions"][1]["on"] == "2026-03-20");
    CHECK(lot_row(b, "G-1")["on_hand_kg"] == 0.16);
    CHECK(refusal(b, "brew B1 --add G-1=40g") == "where did the hop G-1 go in?");
    CHECK(refusal(b, "brew B1 --add Y-1=10g") == "--add `10g` is a mass, and Y-1 is counted in pieces");
    CHECK(refusal(b, "brew B1 --add G1=40g@dry") == "--add: there is no lot `G1`");
}

TEST_CASE("the brew's sheet books nothing, and warns where work can hurt") {
    Stocked b;
    b.done("plan bitter");
    const std::string sheet = b.done("brew P1 --sheet");
    for (const char* said : {"PAM-1", "boil 60 min", "boil 10 min", "dry 5 days", "scald", "Caustic", "carbon dioxide"})
        CHECK_MESSAGE(sheet.find(said) != std::string::npos, said);
    CHECK(sheet.find("is expected there, cooled to 20 °C") != std::string::npos);
    CHECK(sheet.find("of water") != std::string::npos);
    CHECK(refusal(b, "brew P1 --sheet --grain 5C") ==
          "recipe `bitter` states no mash rest, and --grain is for its strike");
    CHECK(refusal(b, "brew P1 --grain 5C", 2).find("--grain has no effect here") != std::string::npos);
    CHECK(sheet.find("boil 60 min") < sheet.find("boil 10 min")); // as the clock runs down
    CHECK(b.json("brew")["brews"].empty());
}

TEST_CASE("measure: several readings in one go, each under its point") {
    Stocked b;
    b.done("brew --recipe bitter --add PAM-2=4kg");
    const Json read = b.json("measure B1 mash 66C pH5.4 strike-liquor 12L@72C kettle-full 24L@95C 10.2P 1.042@25C "
                             "fermenter 20.5kg 11.8Bx --at 14:30");
    REQUIRE(read["readings"].size() == 5);
    const auto reading = [&](std::size_t i) { return read["readings"][i]["reading"]; };
    CHECK(reading(0)["temperature_c"] == 66);
    CHECK(reading(0)["ph"] == 5.4);
    CHECK(reading(1)["volume_at_c"] == 72);
    CHECK(reading(2)["gravity_plato"] == 10.2); // the first gravity belongs to the volume
    CHECK(reading(2)["volume_l"] == 24);
    CHECK(reading(3)["point"] == "kettle-full"); // the second is a reading of its own
    CHECK(reading(3)["gravity_sg"] == 1.042);
    CHECK(reading(3)["gravity_at_c"] == 25);
    CHECK(reading(4)["mass_kg"] == 20.5);
    CHECK(reading(4)["at"] == "14:30");
    CHECK(read["readings"][4]["extract_plato"].get<double>() == near(11.8 / 1.04));
    const Json more = b.json("measure B1 final 1.010");
    CHECK(more["readings"][0]["reading"]["id"] == "r6"); // ids go on
}

TEST_CASE("measure: contradictions are booked, absurdities are not") {
    Stocked b;
    b.done("brew --recipe bitter --add PAM-2=4kg");
    b.done("measure B1 kettle-full 24L 1.050 fermenter 30L 1.060");
    CHECK(refusal(b, "measure B1 fermenter 1.5") == "`1.5` is no gravity of wort, which lies between 0.98 and 1.2");
    CHECK(refusal(b, "measure B1 fermenter 48") == "`48` is a number without a unit");
    CHECK(refusal(b, "measure B1 kettle-full 240L") ==
          "`240L` is not believable at kettle-full of garage, which brews 20 L");
    CHECK(refusal(b, "measure B1 kettel-full 24L") == "`kettel-full` is no point of the brew");
    CHECK(b.run("measure B1 kettel-full 24L").hint == "did you mean `kettle-full`?");
    CHECK(refusal(b, "measure B1 strike-liquor 1.040") == "`1.040` is a gravity, and strike-liquor is water");
    CHECK(refusal(b, "measure B1 kettle-full 24L 95C") ==
          "`95C` follows a volume or gravity, and it is not said whether that was read at it");
    CHECK(refusal(b, "measure B1 kettle-full 30cm") == "`30cm` is a depth, and no dip table is known for kettle-full");
    CHECK(refusal(b, "measure B1 24L kettle-full", 2) == "where was 24L read?");
    CHECK(refusal(b, "measure B1 kettle-full", 2) == "nothing is read at kettle-full");
    CHECK(refusal(b, "measure B9 fermenter 23L") == "there is no brew `B9`");
    CHECK(b.json("measure B1")["readings"].size() == 2);
}

TEST_CASE("measure: an instrument goes to the readings of its kind") {
    Stocked b;
    b.done("brewhouse instrument stem --kind hydrometer");
    b.done("brewhouse instrument marks --kind volume-marks");
    b.done("brew --recipe bitter --add PAM-2=4kg");
    const Json read = b.json("measure B1 kettle-full 24L@95C 1.042 --instrument stem --instrument marks");
    CHECK(read["readings"][0]["reading"]["gravity_instrument"] == "stem");
    CHECK(read["readings"][0]["reading"]["volume_instrument"] == "marks");
    CHECK(refusal(b, "measure B1 fermenter 20L --instrument stem").find("none of these readings") != std::string::npos);
    CHECK(refusal(b, "measure B1 fermenter 20L --instrument steam").find("there is no instrument `steam`") !=
          std::string::npos);
}

TEST_CASE("reconcile: fits the terminal, says what it cannot know, and gives a row for every brew") {
    Stocked b;
    b.done("brew --recipe bitter --add PAM-2=4kg");
    const std::string none = b.done("reconcile B1");
    CHECK(none.find("Nothing has been read yet") != std::string::npos);
    b.done("measure B1 kettle-full 24.5L@95C 1.042@20C fermenter 20L 1.047");
    const std::string text = b.done("reconcile B1");
    CHECK(widest_line(text) <= 80);
    CHECK(widest_line(b.done("reconcile --all")) <= 80);
    const Json all = b.json("reconcile --all");
    REQUIRE(all["brews"].size() == 1);
    CHECK(all["brews"][0]["efficiencies"]["brewhouse"]["value"] ==
          b.json("reconcile B1")["efficiencies"]["brewhouse"]["value"]);
    const std::string csv = b.done("reconcile --all --csv");
    CHECK(csv.starts_with("brew,date,recipe,brewhouse,conversion,conversion_sd,"));
    CHECK(std::ranges::count(csv, '\n') == 2);
    CHECK(refusal(b, "reconcile B2") == "there is no brew `B2`");
    CHECK(refusal(b, "reconcile B1 --about lautering") == "`lautering` is no efficiency");
    const Json about = b.json("reconcile B1 --about lauter");
    REQUIRE_FALSE(about["measure_next"].empty());
    for (const auto& next : about["measure_next"]) {
        CHECK(next["about"] == "lauter");
        CHECK(next["sd_then"].get<double>() < next["sd_now"].get<double>());
    }
}

TEST_CASE("the code of a plan, a brew or a lot is found in any capitals") {
    const Stocked b;
    b.done("plan bitter --volume 20L --on 2026-03-14");
    CHECK(b.done("plan p1") == b.done("plan P1"));
    CHECK(b.json("brew p1 --as-reserved")["brew"]["code"] == "B1");
    CHECK(b.run("brew p1").error == "plan P1 was brewed as B1 on 2026-03-14");
    CHECK(b.done("brew b1") == b.done("brew B1"));
    CHECK(b.done("trace b1") == b.done("trace B1"));
    CHECK(b.done("trace pam-1") == b.done("trace PAM-1"));
    CHECK(refusal(b, "brew b7") == "there is no plan or brew `b7`");
}
