// Readings as loggers and spreadsheets write them.
#include "brewery.hpp"
#include "near.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void brewed(const Brewery& b) {
    b.done("init");
    b.done("brewhouse add garage 23L");
    b.done("receive \"pale ale malt\" 25kg --lot PAM-1");
    b.write("pale.toml", "name = \"pale\"\nvolume_l = 20\ngrist = [{item = \"pale ale malt\", mass_kg = 4.5}]\n");
    b.done("recipe add FOLDER/pale.toml");
    b.done("brew --recipe pale");
}

Json readings(const Brewery& b) {
    return Json::parse(b.done("export"))["brews"][0]["readings"];
}

} // namespace

TEST_CASE("semicolons and decimal commas, units from the mapping, 77 degrees Fahrenheit are 25") {
    const Brewery b;
    brewed(b);
    b.write("log.csv", "\xEF\xBB\xBFStamp;Where;Litres;SG;Temp\r\n10.03.2026 9:05;kettle-full;28,5;1,038;77\r\n");
    b.done("import FOLDER/log.csv --readings --set brew=B1 --map at=stamp --map point=Where --map volume:L=Litres "
           "--map gravity=SG --map volume-at:F=Temp --map gravity-at:F=Temp");
    const Json all = readings(b);
    REQUIRE(all.size() == 1);
    CHECK(all[0]["at"] == "09:05");
    CHECK(all[0]["point"] == "kettle-full");
    CHECK(all[0]["volume_l"] == 28.5);
    CHECK(all[0]["gravity_sg"] == 1.038);
    CHECK(all[0]["volume_at_c"].get<double>() == near(25.0));
}

TEST_CASE("columns headed by their meaning need no mapping; empty rows are passed over; the log may grow") {
    const Brewery b;
    brewed(b);
    const std::string head = "brew,point,at,volume,gravity,ph\n";
    const std::string first = "b1,fermenter,14:00,20L,11.2P,\nB1,fermenter,14:10,,,\nB1,kettle-full,11:00,,,5.3\n";
    b.write("log.csv", head + first);
    b.done("import FOLDER/log.csv --readings");
    CHECK(readings(b).size() == 2);
    CHECK(b.done("import FOLDER/log.csv --readings").find("nothing booked") != std::string::npos);
    b.write("log.csv", head + first + "B1,fermenter,15:00,20L,11.2P,\n"); // the same, an hour on
    b.done("import FOLDER/log.csv --readings");
    CHECK(readings(b).size() == 3);
    b.write("log.csv", head + "B1,fermenter,16:00,20L,,\nB1,fermenter,16:00,20L,,\n"); // twice is twice
    b.done("import FOLDER/log.csv --readings");
    CHECK(readings(b).size() == 5);
    b.done("import FOLDER/log.csv --readings");
    CHECK(readings(b).size() == 5);
    b.check_round_trip();
}

TEST_CASE("a log of a day before the brew is another brew's") {
    const Brewery b;
    brewed(b);
    const std::string head = "brew,point,at,volume\n";
    b.write("log.csv", head + "B1,fermenter,2026-03-13 14:05,20L\nB1,fermenter,2026-03-14 14:05,20L\n");
    const Said said = b.run("import FOLDER/log.csv --readings");
    CHECK(said.error.find("line 2, column at: B1 was brewed on 2026-03-14, after 2026-03-13") != std::string::npos);
    CHECK(said.error.find("line 3") == std::string::npos);
    b.write("log.csv", head + "B1,fermenter,2026-03-14T14:05,20L\n");
    b.done("import FOLDER/log.csv --readings");
}

TEST_CASE("every line that cannot be used is named, and none is booked") {
    const Brewery b;
    brewed(b);
    b.write("log.csv", "point,at,volume\nfermenter,14:00,20L\nfermentor,14:00,20L\nfermenter,26:00,20L\n"
                       "fermenter,14:00,900L\nfermenter,14:00,20\n");
    const Said said = b.run("import FOLDER/log.csv --readings --set brew=B1");
    CHECK(said.status == 1);
    CHECK(said.error.starts_with("4 lines of "));
    for (const char* line : {"line 3, column point: `fermentor`", "line 4, column at: `26:00`",
                             "line 5, column volume: `900L`", "line 6, column volume: `20`"})
        CHECK_MESSAGE(said.error.find(line) != std::string::npos, line, " in ", said.error);
    CHECK(said.error.find("line 2") == std::string::npos);
    CHECK_FALSE(Json::parse(b.done("export"))["brews"][0].contains("readings"));

    // a line that is wrong in several places is told of all of them
    b.write("log.csv", "Gyle,Where,Vol,SG,When\nB1,fermenter,900L,abc,26:00\nB7,fermentor,20L,1.9,\n");
    const Said many = b.run("import FOLDER/log.csv --readings --map brew=Gyle --map point=Where --map volume=Vol "
                            "--map gravity=SG --map at=When");
    CHECK(many.error.starts_with("2 lines of "));
    for (const char* place : {"line 2, column Vol: `900L`", "line 2, column SG: `abc`", "line 2, column When: `26:00`",
                              "line 3, column Gyle: there is no brew `B7`"})
        CHECK_MESSAGE(many.error.find(place) != std::string::npos, place, " in ", many.error);
}
