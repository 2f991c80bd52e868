// What records of brews may not say, and the last that they may.
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/brew/rules.hpp>

using namespace lotwort;

namespace {

// The fields that are told of; "itself" where the record is.
template <class Record>
std::string told(const Record& record) {
    std::string fields;
    check_rules(record, [&](std::string_view field, std::string_view) {
        fields += (fields.empty() ? "" : " ") + std::string(field.empty() ? "itself" : field);
    });
    return fields;
}

Date day(const char* iso) {
    return *parse_iso_date(iso);
}

Reading at(const char* time) {
    Reading reading;
    reading.volume = Litres(20.0);
    reading.at = time;
    return reading;
}

} // namespace

TEST_CASE("a day has 24 hours of 60 minutes") {
    for (const char* time : {"00:00", "09:59", "23:59"}) CHECK(told(at(time)).empty());
    for (const char* time : {"14:60", "24:00", "24:30", "9:30", "09.30", "ab:cd"}) CHECK(told(at(time)) == "at");
}

TEST_CASE("a reading is of one volume and one gravity at most, and of something; a fermenting one has its own day") {
    Reading reading;
    CHECK(told(reading) == "itself");
    reading.bitterness = BitternessUnits(30.0);
    reading.point = ReadingPoint::final_beer;
    reading.on = day("2026-03-14");
    CHECK(told(reading).empty());
    reading.point = ReadingPoint::fermenter;
    CHECK(told(reading).find("bitterness_ibu") == 0);
    reading = {};
    reading.volume = Litres(20.0);
    reading.brix = Brix(12.0);
    CHECK(told(reading).empty());
    reading.depth = Centimetres(10.0);
    CHECK(told(reading) == "itself");
    reading.depth.reset();
    reading.gravity_plato = Plato(12.0);
    CHECK(told(reading) == "itself");
}

TEST_CASE("a dip table rises in depth, and never falls in volume") {
    Vessel vessel;
    vessel.dip_table = {
        {Centimetres(0.0), Litres(5.0)}, {Centimetres(1.0), Litres(5.0)}, {Centimetres(2.0), Litres(6.0)}};
    CHECK(told(vessel).empty()); // a cone below its outlet: nothing comes out
    vessel.dip_table[1].depth = Centimetres(0.0);
    CHECK(told(vessel) == "dip_table");
    vessel.dip_table[1] = {Centimetres(1.0), Litres(4.9)};
    CHECK(told(vessel) == "dip_table");
}

TEST_CASE("what the fermenter holds of the extract the kettle held before, and hops boil no longer than the wort") {
    Brewhouse house;
    house.efficiency_kettle = house.efficiency_fermenter = Percent(75.0);
    CHECK(told(house).empty());
    house.efficiency_fermenter = Percent(75.1);
    CHECK(told(house) == "efficiency_fermenter_pct");
    Recipe recipe;
    recipe.boil = Minutes(60.0);
    recipe.hops = {HopLine{"hop", Stage::boil, Minutes(60.0), {}, {}, Grams(20.0), {}}};
    CHECK(told(recipe).empty());
    recipe.hops[0].minutes = Minutes(61.0);
    CHECK(told(recipe) == "hops[0].minutes");
}

TEST_CASE("a run, a tank and a plan end on the day they begin at the earliest") {
    Package run;
    run.on = day("2026-03-10");
    run.best_before = run.on;
    run.sent = {{run.on, "home", 1}};
    CHECK(told(run).empty());
    run.best_before = day("2026-03-09");
    run.sent[0].on = day("2026-03-09");
    CHECK(told(run) == "best_before sent[0].sent_on");
    Tank tank;
    tank.holds = "B1";
    tank.since = tank.till = day("2026-03-10");
    CHECK(told(tank).empty());
    tank.till = day("2026-03-09");
    CHECK(told(tank) == "till");
    Plan plan;
    plan.code = "P1";
    plan.date = day("2026-03-10");
    plan.tank = "FV1";
    plan.tank_till = plan.date;
    CHECK(told(plan).empty());
    plan.tank_till = day("2026-03-09");
    CHECK(told(plan) == "tank_till");
}
