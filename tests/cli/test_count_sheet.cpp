// A count sheet printed, filled in and booked.
#include "brewery.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// 25 kg of malt A at 30.00, 10 kg of malt B without a price, 500 g of hop H at 20.00.
void stocked(const Brewery& b) {
    b.done("init");
    b.done("receive \"pale ale malt\" 25kg --lot A --price 30");
    b.done("receive \"pale ale malt\" 10kg --lot B");
    b.done("receive \"bittering hop\" 500g --lot H --price 20");
    b.done("receive \"ale yeast\" 10pieces --lot Y");
}

const char* const heading = "lot,item,unit,booked,counted,reason\n";

} // namespace

TEST_CASE("the sheet that was printed is the sheet that is booked") {
    const Brewery b;
    stocked(b);
    std::string sheet = b.done("count --sheet --csv");
    const auto fill = [&](const std::string& empty, const std::string& filled) {
        const auto at = sheet.find(empty);
        REQUIRE(at != std::string::npos);
        sheet.replace(at, empty.size(), filled);
    };
    fill("A,pale ale malt,kg,25,,", "A,pale ale malt,kg,25,24.2,spilled at the mill");
    fill("B,pale ale malt,kg,10,,", "B,pale ale malt,kg,10,10,");
    fill("Y,ale yeast,count,10,,", "Y,ale yeast,count,10,9,given away");
    b.write("filled.csv", sheet);
    const Json counted = b.json("count --from FOLDER/filled.csv");
    CHECK(counted["not_counted"] == Json::array({"H"}));
    REQUIRE(counted["lots"].size() == 3);
    for (const auto& row : counted["lots"])
        if (row["lot"] == "A") {
            CHECK(row["change_kg"] == -0.8);
            CHECK(row["worth"] == -0.96); // 30.00 / 25 kg * 0.8 kg
            CHECK(row["reason"] == "spilled at the mill");
        }
    CHECK(counted["entry"]["number"] == 6); // one entry for all
    CHECK(b.json("lot A")["on_hand_kg"] == 24.2);
    CHECK(b.json("lot Y")["on_hand_count"] == 9);
    CHECK(b.json("lot H")["on_hand_kg"] == 0.5);
    b.check_round_trip();
    b.done("reverse 6");
    CHECK(b.json("lot A")["on_hand_kg"] == 25);
}

TEST_CASE("every line that cannot be booked is named, and nothing is") {
    const Brewery b;
    stocked(b);
    b.write("filled.csv", std::string(heading) + "A,pale ale malt,kg,25,24.2,\nB,pale ale malt,kg,10,500,weighed\n"
                                                 "C,wheat malt,kg,5,5,\nH,bittering hop,kg,0.5,0.5L,\n"
                                                 "H,bittering hop,kg,0.5,0.5,\nH,bittering hop,kg,0.5,0.5,\n");
    const Said said = b.run("count --from FOLDER/filled.csv");
    CHECK(said.status == 1);
    for (const char* fault :
         {"line 2: 24.2 kg of A counted where 25 kg is booked, and no reason is given",
          "line 3: 500 kg of B counted, and only 10 kg of it ever came", "line 4: there is no lot `C`",
          "line 5: `0.5L` is a volume where a mass is asked for", "line 7: lot H stands twice"})
        CHECK_MESSAGE(said.error.find(fault) != std::string::npos, said.error);
    CHECK(b.json("lot A")["on_hand_kg"] == 25);
}

TEST_CASE("a tolerance or one reason serves for the lines that have none of their own") {
    const Brewery b;
    stocked(b);
    b.write("filled.csv", std::string(heading) + "A,,kg,,24.9,\nB,,kg,,9,\n");
    const Json counted = b.json("count --from FOLDER/filled.csv --tolerance 1% --reason \"mice\"");
    CHECK(counted["lots"][0]["reason"] == "within the tolerance of 1 %");
    CHECK(counted["lots"][1]["reason"] == "mice");
}

TEST_CASE("a sheet from a spreadsheet that writes decimal commas, units of its own and capitals") {
    const Brewery b;
    stocked(b);
    b.write("filled.csv", "Lot;Counted;Unit;Reason\nA;24,2;kg;spilled\nH;450 g;kg;spilled\n");
    b.done("count --from FOLDER/filled.csv");
    CHECK(b.json("lot A")["on_hand_kg"] == 24.2);
    CHECK(b.json("lot H")["on_hand_kg"] == 0.45);
}

TEST_CASE("a sheet that is none, or that nobody filled in") {
    const Brewery b;
    stocked(b);
    b.write("empty.csv", std::string(heading) + "A,pale ale malt,kg,25,,\n");
    CHECK(b.run("count --from FOLDER/empty.csv").error.find("nothing is filled in") != std::string::npos);
    b.write("other.csv", "lot,amount\nA,25\n");
    CHECK(b.run("count --from FOLDER/other.csv").error.find("has no column `counted`") != std::string::npos);
    CHECK(b.run("count A --from FOLDER/empty.csv").status == 2);
}
