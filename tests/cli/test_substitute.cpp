// A brewery that is short of pale malt: the answers, what is booked of them, and what the brew remembers.
#include "brewery.hpp"
#include "flowing.hpp"
#include "near.hpp"
#include <algorithm>
#include <cmath>

using namespace lotwort;
using namespace lotwort::test;

namespace {

constexpr const char* bitter = R"(name = "bitter"
volume_l = 20
boil_minutes = 60
grist = [{item = "pale ale malt", mass_kg = 4}, {item = "crystal malt", mass_kg = 0.2}]
hops = [{item = "goldings", minutes = 60, mass_g = 100}, {item = "goldings", minutes = 5, mass_g = 60}]
)";

// 3 kg of the 4 kg pale ale malt, and lager malt enough.
struct Short : Brewery {
    Short() {
        write("bitter.toml", bitter);
        done("init");
        done("brewhouse add garage 20L");
        done("item add \"pale ale malt\" --class base --extract 81% --basis fine-dry --moisture 4% --colour 6EBC --wk "
             "200");
        done("item add \"lager malt\" --class base --extract 80.5% --basis fine-dry --moisture 4.5% --colour 4EBC --wk "
             "250");
        done("item add \"crystal malt\" --class caramel --extract 75% --basis fine-dry --moisture 5% --colour 120EBC");
        done("item add goldings --kind hop --alpha 5%");
        done("recipe add FOLDER/bitter.toml");
        done("receive \"pale ale malt\" 3kg --lot PAM-1 --price 6 --best-before 2026-12-01");
        done("receive \"lager malt\" 25kg --lot LAG-1 --price 30 --best-before 2026-10-01");
        done("receive \"crystal malt\" 5kg --lot CM-1 --price 10");
        done("receive goldings 500g --lot G-1 --price 9 --alpha 5% --analysed 2026-03-14 --oil 0.8");
        done("plan bitter --on 2026-03-20");
    }
};

Json answer_of(const Json& found, const char* kind) { // null: none of that kind
    for (const auto& answer : found["answers"])
        if (answer["kind"] == kind) return answer;
    return {};
}

double mass_of(const Json& answer, const char* lot) {
    double sum = 0.0;
    for (const auto& line : answer["lines"])
        if (line["lot"] == lot) sum += line["mass_kg"].get<double>();
    return sum;
}

// P1 lacks a kilogram of pale ale malt, for which pale malt stands in.
void plan_short_of_pale_ale_malt(const Brewery& b, const std::string& hops) {
    b.begin({"\"pale ale malt\" 3.4kg --lot PAM-1", "\"pale malt\" 25kg --lot PM-1", "Goldings 100g --lot GOL-1"});
    b.put_recipe("golden", "{item = \"pale ale malt\", mass_kg = 4.4}", hops);
    (void)b.run("plan golden --on 2026-03-20");
}

} // namespace

TEST_CASE("the shortage comes first, then answers that differ in kind") {
    const Short b;
    const Json found = b.json("substitute");
    REQUIRE(found["shortages"].size() == 1);
    CHECK(found["shortages"][0]["item"] == "pale ale malt");
    CHECK(found["shortages"][0]["missing_kg"] == 1.0);
    for (const char* kind : {"nearest", "smaller", "short", "buy"}) // one malt alone may stand in: there is no choice
        CHECK_FALSE(answer_of(found, kind).is_null());
    const Json nearest = answer_of(found, "nearest");
    CHECK(mass_of(nearest, "PAM-1") == near(3.0));
    // 1 kg at 0.81 * 0.96 asks for 1.0115 kg at 0.805 * 0.955, and the scale weighs 10 g
    CHECK(mass_of(nearest, "LAG-1") == near(1.01));
    CHECK(nearest["sentence"].get<std::string>().starts_with(
        "Take 1.01 kg of LAG-1, lager malt, for the missing 1 kg of pale ale malt: gravity as forecast, "));
    for (const auto& line : nearest["lines"]) CHECK(line["changed"] == (line["lot"] == "LAG-1"));
    CHECK(nearest["gap"].get<double>() < 0.005);
    CHECK(nearest["scale"]["P1"] == 1.0);
    // 3 kg at 2.00, 1.01 kg at 1.20, 0.2 kg at 2.00 and 160 g at 18.00 a kilogram
    CHECK(nearest["cost"].get<double>() == near(10.49, 0.005));
    // 60 g of 0.8 ml per 100 g go in late
    CHECK(nearest["effect"]["P1"]["hop_oil_ml"].get<double>() == near(0.48, 0.02));
    CHECK(answer_of(found, "smaller")["scale"]["P1"].get<double>() == near(0.75)); // the recipe as it is
    const std::string text = b.done("substitute");
    CHECK(text.starts_with("P1 on 2026-03-20 lacks 1 kg of its 4 kg of pale ale malt\n\n1 nearest: Take 1.01 kg of "));
    CHECK(std::ranges::count(text, '\n') <= 24);
    CHECK(text.find("next: lotwort substitute --take 1\n") != std::string::npos);
    const std::string whole = b.done("substitute --show 1");
    CHECK(whole.find("to notice: ") != std::string::npos);
    CHECK(whole.find("the taste of lager malt in place of pale ale malt") != std::string::npos);
    CHECK(whole.find("LAG-1  lager malt  1.01 kg  new\n") != std::string::npos);
}

TEST_CASE("what the plan comes to with nothing missing is the forecast that plan shows") {
    const Short b;
    const Json forecast = b.json("plan P1")["forecast"], meant = b.json("substitute P1")["recipe"]["P1"];
    for (const char* figure : {"original_gravity_sg", "volume_l", "colour_ebc", "bitterness_ibu"})
        CHECK(std::abs(forecast[figure]["value"].get<double>() - meant[figure].get<double>()) < 1e-9);
}

TEST_CASE(
    "an adopted answer is one entry: the plan's forecast is the effect, the recipe stays, a reversal restores it") {
    const Short b;
    const std::string recipe = b.done("recipe show bitter"), before = b.done("plan P1 --json");
    const Json found = b.json("substitute P1 --take 1");
    CHECK(found["entry"]["what"] == "adopted the nearest substitution for P1");
    const Json& effect = found["answers"][0]["effect"]["P1"];
    const Json plan = b.json("plan P1");
    for (const char* figure : {"original_gravity_sg", "volume_l", "colour_ebc", "bitterness_ibu"}) {
        CAPTURE(figure);
        CHECK(std::abs(plan["forecast"][figure]["value"].get<double>() - effect[figure].get<double>()) < 1e-9);
        CHECK(std::abs(plan["forecast"][figure]["sd"].get<double>() -
                       effect[std::string(figure) + "_sd"].get<double>()) < 1e-9);
    }
    CHECK(b.done("recipe show bitter") == recipe);
    CHECK(b.done("plan").find("lacks") == std::string::npos);
    CHECK(b.json("verify")["sound"] == true);
    b.check_round_trip();
    b.done("reverse " + std::to_string(found["entry"]["number"].get<int>()));
    CHECK(b.done("plan P1 --json") == before);
}

TEST_CASE("the brew records what each weighing was in place of") {
    Short b;
    b.done("substitute --take nearest");
    CHECK(b.done("brew P1 --sheet").find("lager malt") != std::string::npos);
    b.today("2026-03-20");
    const Json brew = b.json("brew P1");
    int replaced = 0;
    for (const auto& addition : brew["brew"]["additions"])
        if (addition.contains("instead_of")) {
            ++replaced;
            CHECK(addition["lot"] == "LAG-1");
            CHECK(addition["instead_of"] == "pale ale malt");
        }
    CHECK(replaced == 1);
    CHECK(b.done("brew B1").find("IN PLACE OF") != std::string::npos);
    CHECK(b.json("brew B1")["brew"]["additions"] == brew["brew"]["additions"]);
    b.check_round_trip();
}

TEST_CASE("an item that must never stand in does not, and no full-size answer is exit status 3") {
    const Short b;
    b.done("item change \"lager malt\" --stands-for \"pale ale malt=never\"");
    CHECK(b.done("item show \"lager malt\"").find("but never for  pale ale malt") != std::string::npos);
    const Said said = b.run("substitute --json");
    CHECK(said.status == 3);
    const Json found = Json::parse(said.out);
    CHECK(answer_of(found, "nearest").is_null());
    CHECK_FALSE(answer_of(found, "smaller").is_null()); // 3 kg of 4
    CHECK(answer_of(found, "smaller")["scale"]["P1"].get<double>() == near(0.75));
    REQUIRE_FALSE(found["none"].empty());
    CHECK(found["none"][0]["reason"] == "P1: nothing in store may stand in for pale ale malt");
    CHECK(b.run("substitute --kind smaller").status == 0);
    CHECK(b.run("substitute --kind buy").status == 0);
    CHECK(b.run("substitute --kind nearest").status == 3);
}

TEST_CASE("a smaller batch is adopted with its volume") {
    const Short b;
    b.done("item change \"lager malt\" --stands-for \"pale ale malt=never\"");
    const Json found = b.json("substitute --take smaller");
    const double scale = found["answers"][0]["scale"]["P1"].get<double>();
    CHECK(b.json("plan P1")["volume_l"].get<double>() == near(20.0 * scale));
}

TEST_CASE("under a limit of nodes the answer is the same again") {
    const Short b;
    CHECK(b.done("substitute --limit 500nodes --json") == b.done("substitute --limit 500nodes --json"));
}

TEST_CASE("the model goes to a file as MPS or LP") {
    const Short b;
    b.done("substitute --model FOLDER/m.mps");
    b.done("substitute --kind cheapest --model FOLDER/m.lp");
    CHECK(b.read("m.mps").starts_with("NAME nearest FREE\nROWS\n"));
    const std::string lp = b.read("m.lp");
    CHECK(lp.find("Minimize\n") != std::string::npos);
    CHECK(lp.find("P1 line 0 LAG-1") != std::string::npos);
    CHECK(lp.ends_with("End\n"));
    CHECK(b.run("substitute --model FOLDER/m.lp").status == 1); // it is there
    CHECK(b.run("substitute --model FOLDER/m.txt").error.find("neither .mps nor .lp") != std::string::npos);
}

TEST_CASE("stock and plan say what lacks, and what to type") {
    const Short b;
    const std::string lack = "P1 on 2026-03-20 lacks 1 kg of pale ale malt\nnext: lotwort substitute\n";
    CHECK(b.done("stock").ends_with(lack));
    CHECK(b.done("plan").ends_with(lack));
    CHECK(b.json("stock")["shortages"][0]["missing_kg"] == 1.0);
    CHECK(b.json("plan")["shortages"][0]["item"] == "pale ale malt");
}

TEST_CASE("a plan that is not named keeps what it was promised, and one that lacks nothing is not booked anew") {
    const Short b;
    b.done("receive \"pale ale malt\" 3kg --lot PAM-2 --price 6 --best-before 2026-12-02");
    b.done("plan bitter --on 2026-03-21"); // P1 has all of it now, P2 2 kg
    const Json found = b.json("substitute --kind smaller");
    REQUIRE(found["answers"].size() == 1);
    CHECK(found["answers"][0]["effect"].size() == 1);
    CHECK(found["answers"][0]["scale"]["P2"].get<double>() == near(0.5));
    CHECK(mass_of(found["answers"][0], "PAM-1") == 0.0);
}

TEST_CASE("no open plan is told, and a preference is not a ban") {
    Brewery b;
    b.done("init");
    CHECK(b.done("substitute") == "no open plans; next: lotwort plan RECIPE --on DATE\n");
    CHECK(b.json("substitute")["answers"].empty());
    CHECK(b.run("substitute --take 1").status == 1);
}

TEST_CASE("a late hop goes by its kind's aroma, and of two by the one of its strength; its page says the same") {
    Brewery b;
    b.begin({"\"pale ale malt\" 25kg --lot PAM-1", "Goldings 10g --lot GOL-1", "Fuggle 100g --lot FUG-1",
             "Northdown 100g --lot NOR-1", "Saaz 100g --lot SAA-1"}); // English too, and stronger by half
    b.put_recipe("late", "{item = \"pale ale malt\", mass_kg = 4}", "{item = \"Goldings\", minutes = 5, mass_g = 30}");
    (void)b.run("plan late --on 2026-03-20");
    const std::string text = b.done("substitute");
    CHECK(text.starts_with("P1 on 2026-03-20 lacks 20 g of its 30 g of Goldings\n\n"
                           "1 nearest: Take 20 g of FUG-1, Fuggle, for the missing 20 g of Goldings: gravity\n"
                           "  as forecast.\n"));
    const std::string page = b.done("report substitute");
    const auto at = page.find("Take 20 g of FUG-1, Fuggle, for the missing 20 g of Goldings");
    REQUIRE(at != std::string::npos);
    CHECK(at < page.find("lacks 20 g of its 30 g"));
    CHECK(page.find("5: short") != std::string::npos);
    CHECK(b.run("report substitute P9").error == "there is no open plan `P9`");
}

TEST_CASE("a hop that lacks at three times of the brew is one thing to fetch, and what goes where is shown") {
    Brewery b;
    b.begin({"\"pale ale malt\" 25kg --lot PAM-1", "Cascade 25g --lot CAS-1", "Centennial 200g --lot CEN-1"});
    b.put_recipe("three", "{item = \"pale ale malt\", mass_kg = 4}",
                 "{item = \"Cascade\", stage = \"dry\", mass_g = 40},"
                 "{item = \"Cascade\", stage = \"stand\", minutes = 10, temperature_c = 80, mass_g = 20},"
                 "{item = \"Cascade\", minutes = 5, mass_g = 10}");
    CHECK(b.run("plan three --on 2026-03-20").out.find("\nLacking: 45 g of 70 g of Cascade.\n") != std::string::npos);
    const std::string text = b.done("substitute --show 1");
    CHECK(text.starts_with("P1 on 2026-03-20 lacks 45 g of its 70 g of Cascade\n\n"
                           "1 nearest: Take 45 g of CEN-1, Centennial, for the missing 45 g of Cascade:"));
    for (const char* row : {"Cascade, dry                    CAS-1                25 g",
                            "                                CEN-1  Centennial    15 g  new",
                            "Cascade, stand 10 min at 80 °C  CEN-1  Centennial    20 g  new",
                            "Cascade, boil 5 min             CEN-1  Centennial    10 g  new"})
        CHECK_MESSAGE(text.find(row) != std::string::npos, row);
    CHECK(flowing(b.run("substitute").out)
              .find("5 short: Brew without the 45 g of Cascade, so with no hops in the stand:") != std::string::npos);
}

TEST_CASE("where nothing stands in for a late hop, brewing without it goes before brewing a third") {
    Brewery b;
    b.begin({"\"pale ale malt\" 25kg --lot PAM-1", "Goldings 20g --lot GOL-1"});
    b.put_recipe("late", "{item = \"pale ale malt\", mass_kg = 4}", "{item = \"Goldings\", minutes = 5, mass_g = 30}");
    (void)b.run("plan late --on 2026-03-20");
    const Said said = b.run("substitute");
    CHECK(said.status == 3);
    CHECK(said.out.find("5 short: Brew without the 10 g of Goldings") < said.out.find("4 smaller: Brew "));
    CHECK(said.out.find("next: lotwort substitute --take 5\n") != std::string::npos);
    b.done("offer add \"Hill & Sons\" Goldings 100g 4.50 --lead 2days");
    CHECK(b.run("substitute").out.find("next: lotwort buy\n") != std::string::npos); // it is there in time
}

TEST_CASE("what an answer leaves to be got lacks until it is there, and no brew goes without it in silence") {
    Brewery b;
    plan_short_of_pale_ale_malt(
        b, "{item = \"Goldings\", minutes = 60, mass_g = 30}, {item = \"Saaz\", stage = \"dry\", mass_g = 30}");
    CHECK(b.run("substitute").status == 3);
    (void)b.run("substitute --take 1");
    CHECK(b.done("stock").find("Saaz") != std::string::npos);
    CHECK(b.json("plan P1")["shortages"][0]["missing_kg"].get<double>() == near(0.03));
    CHECK(b.run("substitute").out.starts_with("P1 on 2026-03-20 lacks all its 30 g of Saaz\n"));
    const Said refused = b.run("brew P1");
    CHECK(refused.status == 3);
    CHECK(refused.error == "not enough in stock: plan P1 reserves nothing of the 30 g of Saaz that it needs");
    CHECK(b.done("receive Saaz 100g --lot SAA-1").find("P1 takes 30 g of SAA-1") != std::string::npos);
    CHECK(b.run("substitute").status == 0);
    CHECK(b.run("brew P1 --add saa-1=5g@dry --dry-run").status == 0); // in any capitals
    const auto reserved = b.json("plan P1")["reserved"]; // the stand-in, as it was taken, and what has come
    CHECK(reserved[1]["lot"] == "PM-1");
    CHECK(reserved.back()["lot"] == "SAA-1");
    CHECK(b.json("plan P1")["shortages"].empty());
    CHECK(b.run("plan P1 --move 2026-03-20").error == "P1 is on 2026-03-20 already, and would reserve what it does");
    b.done("brew P1");
    CHECK(b.json("brew B1")["brew"]["additions"].size() == 4);
    b.check_round_trip();
}

TEST_CASE("a stand-in that is thrown away is awaited from then on, and another lot of it may take its place") {
    Brewery b;
    plan_short_of_pale_ale_malt(b, "{item = \"Goldings\", minutes = 60, mass_g = 30}");
    b.done("substitute --take 1");
    const std::string lost = b.done("discard PM-1 25kg --reason damp");
    CHECK(lost.find("what can stand in: lotwort substitute P1") != std::string::npos);
    CHECK(b.run("brew P1").status == 3); // it is not forgotten
    b.done("receive \"pale malt\" 5kg --lot PM-2");
    b.done("substitute --take 1");
    CHECK(b.json("plan P1")["shortages"].empty());
    b.done("brew P1");
    CHECK(b.json("brew B1")["brew"]["additions"][1]["instead_of"] == "pale ale malt");
}

TEST_CASE("what a brewer leaves away is not asked for at the scales") {
    Brewery b;
    b.begin({"\"pale ale malt\" 5kg --lot PAM-1", "Goldings 100g --lot GOL-1"});
    b.put_recipe("golden", "{item = \"pale ale malt\", mass_kg = 4.4}",
                 "{item = \"Goldings\", minutes = 60, mass_g = 30}, {item = \"Saaz\", stage = \"dry\", mass_g = 30}");
    (void)b.run("plan golden --on 2026-03-20");
    b.done("substitute --take short");
    b.done("brew P1");
    CHECK(b.json("brew B1")["brew"]["additions"].size() == 2);
}

TEST_CASE("what is due by order stays awaited in a plan that follows an answer, and stands on its sheet") {
    Brewery b;
    b.begin({"\"pale ale malt\" 3kg --lot PAM-1", "\"pale malt\" 25kg --lot PM-1", "Goldings 100g --lot GOL-1"});
    b.put_recipe("small", "{item = \"pale ale malt\", mass_kg = 4}",
                 "{item = \"Goldings\", minutes = 60, mass_g = 30}");
    b.put_recipe("golden", "{item = \"pale ale malt\", mass_kg = 6}",
                 "{item = \"Goldings\", minutes = 60, mass_g = 30}");
    (void)b.run("plan small --on 2026-03-20");
    b.done("offer add Hillside \"pale ale malt\" 1kg 2 --lead 2days");
    b.done("buy --order"); // two packs: one is for safety
    b.done("plan P1 --cancel \"no thirst\"");
    (void)b.run("plan golden --on 2026-03-20");
    const double pale = mass_of(answer_of(b.json("substitute"), "nearest"), "PM-1");
    CHECK(pale == near(1.0, 0.03)); // of 3 kg that lack, two come
    b.done("substitute --take 1");
    CHECK(b.done("plan P2").find("2 kg of pale ale malt is due on order by then") != std::string::npos);
    const Said refused = b.run("brew P2");
    CHECK(refused.status == 3);
    CHECK(refused.error.starts_with("not enough in stock: plan P2 reserves 4.0"));
    CHECK(b.done("brew P2 --sheet").find("(to come)  pale ale malt               2 kg  was") != std::string::npos);
}

TEST_CASE("an earlier brew is served before a later one, which is then the one to fill") {
    Brewery b;
    b.begin({"\"pale ale malt\" 7kg --lot PAM-1", "Goldings 100g --lot GOL-1"});
    b.put_recipe("bitter", "{item = \"pale ale malt\", mass_kg = 4.4}",
                 "{item = \"Goldings\", minutes = 60, mass_g = 45}");
    b.done("plan bitter --on 2026-04-10");
    b.done("plan bitter --on 2026-03-16"); // P2 comes first
    CHECK(b.json("plan P2")["shortages"].empty());
    CHECK(b.json("plan P1")["reserved"][0]["mass_kg"] == 2.6);
    CHECK(b.json("plan")["shortages"][0]["plan"] == "P1");
    CHECK(b.json("plan")["shortages"][0]["missing_kg"] == 1.8);
    b.check_round_trip();
}
