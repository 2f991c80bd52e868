#include "near.hpp"
#include <doctest/doctest.h>
#include <lotwort/brew/kit.hpp>
#include <lotwort/core/error.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Brewhouse shed() {
    Brewhouse b;
    b.name = "shed";
    b.volume = Litres(23.0);
    return b;
}

Instrument instrument(const char* name, InstrumentKind kind, const char* unit) {
    Instrument i;
    i.name = name;
    i.kind = kind;
    i.unit = unit;
    return i;
}

} // namespace

TEST_CASE("a volume alone makes a kit, and what is typical is named") {
    const Kit kit = kit_of(shed());
    CHECK(kit.volume_l == 23.0);
    CHECK(kit.assumed.size() > 8);
    Brewhouse stated = shed();
    stated.conversion = Percent(94.0);
    stated.conversion_sd = Percent(1.5);
    const Kit known = kit_of(stated);
    CHECK(known.conversion == near(0.94));
    CHECK(known.conversion_sd == near(0.015));
    CHECK(known.assumed.size() == kit.assumed.size() - 2);
    CHECK(known.conversion_level_sd < known.conversion_sd);
}

TEST_CASE("a stated level cannot scatter more than the whole") {
    Brewhouse b = shed();
    b.boil_off = LitresPerHour(3.0);
    b.boil_off_sd = LitresPerHour(0.3);
    b.boil_off_level_sd = LitresPerHour(0.9);
    CHECK(kit_of(b).boil_off_level_sd_l_per_h == near(0.3));
}

TEST_CASE("no instrument reads without error: unstated scatter is the kind's, in the instrument's own unit") {
    const std::vector<Instrument> all{instrument("stem", InstrumentKind::hydrometer, "plato")};
    const auto taken = instrument_for("stem", InstrumentKind::hydrometer, shed(), ReadingPoint::fermenter, all);
    const auto typical = typical_instrument(InstrumentKind::hydrometer, Litres(23.0));
    // 0.004 SG is near enough one degree plato
    CHECK(*taken.repeatability == near(*typical.repeatability / 0.004));
}

TEST_CASE("an instrument of the wrong kind is refused by name") {
    const std::vector<Instrument> all{instrument("stem", InstrumentKind::hydrometer, "sg")};
    CHECK_THROWS_WITH_AS(
        (void)instrument_for("stem", InstrumentKind::volume_marks, shed(), ReadingPoint::kettle_full, all),
        "`stem` is a hydrometer and cannot take the volume at kettle-full", Error);
    CHECK_THROWS_WITH_AS((void)instrument_for("stam", InstrumentKind::hydrometer, shed(), ReadingPoint::fermenter, all),
                         "no instrument is called `stam`", Error);
}

TEST_CASE("marks of one vessel never stand in for another's; the only hydrometer does for all") {
    const std::vector<Instrument> all{instrument("kettle marks", InstrumentKind::volume_marks, "l"),
                                      instrument("stem", InstrumentKind::hydrometer, "sg")};
    const auto marks = instrument_for({}, InstrumentKind::volume_marks, shed(), ReadingPoint::fermenter, all);
    CHECK(marks.name == "typical fermenter marks");
    CHECK(instrument_for({}, InstrumentKind::hydrometer, shed(), ReadingPoint::fermenter, all).name == "stem");
}

TEST_CASE("a kettle of a hundred litres is sparged in a batch, a larger one continuously") {
    const auto sparge = [](double litres) {
        Brewhouse b;
        b.volume = Litres(litres);
        return kit_of(b).sparge;
    };
    CHECK(sparge(100.0) == Sparge::batch);
    CHECK(sparge(100.1) == Sparge::continuous);
}

TEST_CASE("steam goes with the kettle's surface: some seven per cent of five hectolitres an hour") {
    Brewhouse b;
    b.volume = Litres(23.0);
    CHECK(kit_of(b).boil_off_l_per_h == near(3.2));
    b.volume = Litres(500.0);
    CHECK(kit_of(b).boil_off_l_per_h / 500.0 == near(0.065, 0.1));
}

TEST_CASE("of two hydrometers none is taken unasked") {
    std::vector<Instrument> two(2);
    two[0].name = "blue stem";
    two[1].name = "red stem";
    for (Instrument& i : two) i.kind = InstrumentKind::hydrometer, i.repeatability = 0.001;
    CHECK(instrument_for({}, InstrumentKind::hydrometer, Brewhouse{}, ReadingPoint::fermenter, two).name ==
          "typical hydrometer");
}
