// What a brew cost: by line, with its freight, its part of a yeast that others pitched too, and a litre of it.
#include "brewery.hpp"
#include "near.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

std::int64_t hundredths(const Json& money) {
    return std::llround(money.get<double>() * 100.0);
}

void set_up(Brewery& b) {
    b.today("2026-03-20");
    b.done("init");
    b.done("brewhouse add garage 25L");
    b.write("pale.toml", "name = \"pale\"\nvolume_l = 20\n[[grist]]\nitem = \"pale ale malt\"\nmass_kg = 4\n");
    b.done("receive \"pale ale malt\" 25kg --lot PAM-1 --price 32.50 --on 2026-03-01");
    b.done("receive \"ale yeast\" 2L --lot Y-1 --price 10.00 --on 2026-03-01");
    b.done("recipe add FOLDER/pale.toml");
}

Json line_of(const Json& brew, const std::string& lot) {
    for (const Json& line : brew["cost_lines"])
        if (line["lot"] == lot) return line;
    FAIL("no line of ", lot);
    return brew;
}

} // namespace

// By hand: 4 kg of 25 kg at 32.50 are 5.20; 18.7 L were read in the fermenter and 18 L packaged: 5.20/18.7 is
// 0.278, 5.20/18 0.289.
TEST_CASE("a brew costs its lots' parts, and a litre of it what that is by the fermenter and by what is packaged") {
    Brewery b;
    set_up(b);
    b.done("brew --recipe pale --add PAM-1=4kg --on 2026-03-02");
    b.done("measure B1 fermenter 18.7L 1.048 final 1.010");
    b.done("package B1 36 bottles 0.5L");
    const Json brew = b.json("brew B1");
    CHECK(brew["cost"] == 5.2);
    CHECK(brew["freight"] == 0.0);
    CHECK(line_of(brew, "PAM-1")["cost"] == 5.2);
    CHECK(brew["per_litre_in_fermenter"] == 0.28);
    CHECK(brew["per_litre_packaged"] == 0.29);
    CHECK(b.done("brew B1").find("5.20 EUR; 0.28 a litre of 18.7 L in the fermenter, 0.29 of 18 L packaged") !=
          std::string::npos);
}

// By hand: 100 kg at 120.00 and 5 kg at 30.00 came at 18.00 of delivery: 14.40 and 3.60. 4 kg are 4.80 of the malt and
// 0.576 of its freight; 0.5 kg are 3.00 and 0.36.
TEST_CASE("the freight of an order is shared over its goods, and stands beside the cost") {
    Brewery b;
    set_up(b);
    b.done("offer terms Hillside --delivery 18 --lead 2days");
    b.write(
        "orders.json",
        "{\"schema\": \"lotwort/exchange/1\", \"currency\": \"EUR\", \"orders\": [{\"code\": \"O1\", \"supplier\": "
        "\"Hillside\", \"ordered\": \"2026-03-01\", \"lines\": [{\"item\": \"pale ale malt\", \"pack_kg\": 25, "
        "\"packs\": 4, \"cost\": 120}, {\"item\": \"pale ale malt\", \"pack_kg\": 5, \"packs\": 1, \"cost\": 30}]}]}");
    b.done("import FOLDER/orders.json");
    b.done("receive --order O1 \"pale ale malt\" 100kg --lot BIG --price 120 --on 2026-03-03");
    b.done("receive --order O1 \"pale ale malt\" 5kg --lot SMALL --price 30 --on 2026-03-03 --sure");
    b.done("brew --recipe pale --add BIG=4kg --add SMALL=0.5kg --on 2026-03-04");
    const Json brew = b.json("brew B1");
    CHECK(brew["cost"] == 7.8);
    CHECK(line_of(brew, "BIG")["freight"] == 0.58);
    CHECK(line_of(brew, "SMALL")["freight"] == 0.36);
    CHECK(brew["freight"] == 0.94);
    CHECK(b.json("trace B1")["brew"]["freight"] == 0.94);
    // from so much of goods on it is free
    b.done("offer terms Hillside --free-from 100");
    CHECK(b.json("brew B1")["freight"] == 0.0);
}

// By hand: lots of 120.00 and 30.00, a bill of 24.00: by value 19.20 and 4.80. 4 of 100 kg bear 0.768, 0.5 of 5 kg
// 0.48. By mass 24.00 are 22.86 and 1.14: 0.914 and 0.114.
TEST_CASE("the carrier's bill that comes after the goods is borne by the brews that used them; statements stay") {
    Brewery b;
    set_up(b);
    b.done("order add Hillside --line \"pale ale malt=4x25kg@120\" --line \"crystal malt=1x5kg@30\" --placed "
           "2026-03-01");
    b.done("receive --order O1 \"pale ale malt\" 100kg --lot BIG --on 2026-03-03");
    b.done("receive --order O1 \"crystal malt\" 5kg --lot SMALL --on 2026-03-03");
    b.done("brew --recipe pale --add BIG=4kg --add SMALL=0.5kg --on 2026-03-04");
    CHECK(b.json("brew B1")["freight"] == 0.0);
    const auto statement = [&] { // but for the entry up to which it is booked
        const std::string text = b.done("statement --from 2026-03-01 --to 2026-03-05");
        return text.substr(text.find('\n'));
    };
    const std::string before = statement();
    const std::string said = b.done("order change O1 --freight 24");
    CHECK(said.find("24.00 of freight beside the price of what came: BIG 19.20, SMALL 4.80\n") != std::string::npos);
    CHECK(said.find("borne by what used of it: B1\n") != std::string::npos);
    CHECK(said.find("next: lotwort order\n") != std::string::npos);
    CHECK(line_of(b.json("brew B1"), "BIG")["freight"] == 0.77);
    CHECK(line_of(b.json("brew B1"), "SMALL")["freight"] == 0.48);
    CHECK(b.json("brew B1")["cost"] == 7.8); // goods cost what they did
    CHECK(statement() == before + "beside these figures stand 24.00 EUR of freight of what was received: brews bear\n"
                                  "  it, stock does not\n");
    CHECK(b.json("order O1")["orders"][0]["freight_after"] == 24);
    CHECK(b.done("order O1").find("24.00 of freight was billed when goods had come, shared by value") !=
          std::string::npos);
    // another bill takes its place; by mass; none at all
    b.done("order change O1 --share mass");
    CHECK(line_of(b.json("brew B1"), "BIG")["freight"] == 0.91);
    CHECK(line_of(b.json("brew B1"), "SMALL")["freight"] == 0.11);
    b.check_round_trip();
    b.done("order change O1 --freight 0");
    CHECK(b.json("brew B1")["freight"] == 0.0);
    CHECK(b.run("order change O1 --discount 5").error ==
          "100 kg of pale ale malt have come of O1 already, at the price agreed");
}

TEST_CASE("freight that was stated is in the lots' price: of a bill only what is more is borne beside it") {
    Brewery b;
    set_up(b);
    b.done("order add Hillside --line \"pale ale malt=4x25kg@120\" --freight 10 --placed 2026-03-01");
    b.done("receive --order O1 \"pale ale malt\" 50kg --lot BIG --on 2026-03-03"); // 65.00 with its freight
    b.done("order close O1 --reason \"sold out\"");
    b.done("brew --recipe pale --add BIG=5kg --on 2026-03-04");
    CHECK(b.json("brew B1")["cost"] == 6.5);
    b.done("order change O1 --freight 16"); // of a closed order, too
    CHECK(b.json("brew B1")["cost"] == 6.5);
    CHECK(b.json("brew B1")["freight"] == 0.6); // a tenth of the 6.00
    CHECK(b.run("order change O1 --freight 9").error ==
          "50 kg of pale ale malt have come of O1 already, at the price agreed");
    CHECK(b.run("order change O1 --freight 20 --arrives 2026-03-20").error == "order O1 is closed: sold out");
}

// 0.5 L of 2 L at 10.00 are 2.50. Of that yeast three brews live: 0.84, 0.83 and 0.83.
TEST_CASE("bought yeast is shared by the brews it went through, to the last hundredth") {
    Brewery b;
    set_up(b);
    b.done("brew --recipe pale --add PAM-1=4kg --add Y-1=0.5L@fermenter --on 2026-03-02");
    CHECK(line_of(b.json("brew B1"), "Y-1")["cost"] == 2.5);
    b.done("receive \"ale yeast\" 1L --from-brew B1 --lot Y-2 --on 2026-03-08");
    b.done("brew --recipe pale --add PAM-1=4kg --add Y-2=0.5L@fermenter --on 2026-03-09");
    b.done("receive \"ale yeast\" 1L --from-brew B2 --lot Y-3 --on 2026-03-15");
    b.done("brew --recipe pale --add PAM-1=4kg --add Y-3=0.5L@fermenter --on 2026-03-16");
    std::int64_t yeast = 0, all = 0;
    for (const char* code : {"B1", "B2", "B3"}) {
        const Json brew = b.json(std::string("brew ") + code);
        const Json& line = brew["cost_lines"][1];
        CHECK(line["shared_by"] == 3);
        yeast += hundredths(line["cost"]);
        all += hundredths(brew["cost"]);
        CHECK(brew["without_price"].empty());
    }
    CHECK(yeast == 250);
    CHECK(all == 3 * 520 + 250);
    CHECK(b.json("brew B1")["cost_lines"][1]["cost"] == 0.84);
    CHECK(b.done("brew B3").find("1/3: 0.83") != std::string::npos);
}

// By hand: 500 g at 20.00 are 0.04 a gram: 30 g are 1.20 and 50 g 2.00.
TEST_CASE("a lot that went in at two places costs in each line what went in there") {
    Brewery b;
    set_up(b);
    b.done("receive \"hop one\" 500g --lot H-1 --alpha 10% --price 20 --on 2026-03-01");
    b.done("brew --recipe pale --add PAM-1=4kg --add H-1=30g@boil,60 --add H-1=50g@dry --on 2026-03-02");
    const std::string said = b.done("brew B1");
    const auto line_with = [&](const std::string& words) {
        const auto at = said.find(words);
        REQUIRE(at != std::string::npos);
        return said.substr(at, said.find('\n', at) - at);
    };
    CHECK(line_with("30 g  boil").ends_with(" 1.20"));
    CHECK(line_with("50 g  dry").ends_with(" 2.00"));
}

TEST_CASE("fruit of no stated extract counts for none, and that is said") {
    Brewery b;
    set_up(b);
    b.done("receive raspberries 5kg --kind other --lot F-1 --on 2026-03-01");
    b.done("brew --recipe pale --add PAM-1=4kg --add F-1=1kg@fermenter --on 2026-03-02");
    b.done("measure B1 fermenter 18.7L 1.048 final 1.010");
    const std::string says = "1 kg of raspberries in the fermenter count for no extract";
    CHECK(b.done("reconcile B1").find(says) != std::string::npos);
    b.done("item change raspberries --extract 10% --basis fine-as-is");
    CHECK(b.done("reconcile B1").find(says) == std::string::npos);
    CHECK(b.done("reconcile B1").find("0.10 kg of extract were given in the fermenter") != std::string::npos);
}

TEST_CASE("the list of brews has what they came to, a line each, and the newest on the first screen") {
    Brewery b;
    set_up(b);
    for (int i = 0; i < 25; ++i)
        b.done(fmt::format("brew --recipe pale --add PAM-1={}g --on 2026-03-{:02} --sure", 100 + i, 2 + i % 18));
    b.done("measure B7 fermenter 20L 1.048 --on 2026-03-19");
    b.done("measure B7 final 1.010 --on 2026-03-19");
    const std::string listed = b.done("brew");
    CHECK(std::count(listed.begin(), listed.end(), '\n') == 22);
    CHECK(listed.find("5 brews are earlier: lotwort brew --full") != std::string::npos);
    const std::string whole = b.done("brew --full");
    CHECK(std::count(whole.begin(), whole.end(), '\n') == 26);
    CHECK(whole.find("1.048  1.010    5.0") != std::string::npos);
    for (std::size_t at = 0; at < whole.size(); at = whole.find('\n', at) + 1) CHECK(whole.find('\n', at) - at <= 80);
    const Json json = b.json("brew");
    REQUIRE(json["figures"].size() == 25);
    for (const Json& figures : json["figures"])
        if (figures["brew"] == "B7") {
            CHECK(figures["alcohol_abv_pct"].get<double>() == near(5.02, 0.01));
            CHECK(figures["cost"] == 0.14);
            CHECK(figures["cost_per_hl"] == 0.70);
            CHECK(figures["volume_l"].get<double>() == near(20.0, 1e-6));
        }
    const std::string csv = b.done("brew --csv");
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 26);
    CHECK(csv.find("original_gravity_sg,final_gravity_sg,alcohol_abv_pct,efficiency_pct,volume_l,cost") !=
          std::string::npos);
}

TEST_CASE("a fermentation read day by day is shown as a curve, and beer that still moves is not sealed unasked") {
    Brewery b;
    set_up(b);
    b.done("brew --recipe pale --add PAM-1=4kg --on 2026-03-02");
    b.done("measure B1 fermenter 20L 1.048 --on 2026-03-02");
    b.done("measure B1 fermenting 1.020@21C --on 2026-03-05");
    b.done("measure B1 fermenting 1.014 pH4.3 --on 2026-03-07");
    const std::string shown = b.done("brew B1");
    CHECK(shown.find("  3  2026-03-05   1.0202   57 % ==============") != std::string::npos);
    CHECK(shown.find("it still moves") != std::string::npos);
    CHECK(std::count(shown.begin(), shown.end(), '\n') <= 24);
    CHECK(b.run("package B1 40 bottles 0.5L").error.find("it still moves") != std::string::npos);
    b.done("measure B1 fermenting 1.010 --on 2026-03-10");
    b.done("measure B1 fermenting 1.010 --on 2026-03-13");
    CHECK(b.json("brew B1")["fermentation"]["state"] == "has stopped");
    CHECK(b.json("package B1 40 bottles 0.5L")["remarks"].empty());
    b.check_round_trip();
}

// 4 kg of malt in 20 L, and 0.5 kg of sugar after the brew day: the alcohol of the whole.
TEST_CASE("sugar given in the fermenter is in the alcohol of reconcile, of the list and of the packages") {
    Brewery b;
    set_up(b);
    b.done("receive sucrose 2kg --lot SU-1 --price 2 --on 2026-03-01");
    b.done("brew --recipe pale --add PAM-1=4kg --on 2026-03-02");
    b.done("measure B1 fermenter 20L 1.040 final 1.006");
    const double plain = b.json("brew")["figures"][0]["alcohol_abv_pct"];
    b.done("brew B1 --add SU-1=0.5kg@fermenter --on 2026-03-04");
    const double sweet = b.json("brew")["figures"][0]["alcohol_abv_pct"];
    CHECK(sweet - plain == near(1.2, 0.1));
    const Json reconciled = b.json("reconcile B1");
    CHECK(reconciled["quantities"].contains("whole_original_gravity_sg"));
    CHECK(reconciled["quantities"]["alcohol_abv_pct"]["value"].get<double>() == near(sweet, 0.05));
    CHECK(b.json("package B1 10 bottles 0.5L")["packages"][0]["alcohol_abv_pct"].get<double>() == near(sweet, 1e-9));
}
