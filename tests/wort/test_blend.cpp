#include "near.hpp"
#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/blend.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;

TEST_CASE("two worts: kilograms add, litres do not quite") {
    const auto out = blend(WortVolume{Litres(10.0), Plato(20.0)}, WortVolume{Litres(10.0), Plato(4.0)});
    // by hand from the density table (golden SD rows: 1080.97 kg/m3 at 20 P, 1013.84 at 4 P): 10.8097 and 10.1384 kg
    const double m1 = extract_mass(Litres(10.0), Celsius(20.0), Plato(20.0)).value() / 0.20;
    const double m2 = extract_mass(Litres(10.0), Celsius(20.0), Plato(4.0)).value() / 0.04;
    CHECK(out.wort.extract.value() == near((m1 * 20.0 + m2 * 4.0) / (m1 + m2), 1e-12));
    CHECK(out.wort.extract.value() > 12.0); // the stronger half is the heavier
    CHECK(out.contraction.value() > 0.0);
    CHECK(out.contraction.value() < 0.05);
    // nothing is lost: extract and mass
    CHECK(extract_mass(out.wort.volume, Celsius(20.0), out.wort.extract).value() == near(m1 * 0.20 + m2 * 0.04, 1e-12));
}

TEST_CASE("liquor to bring wort down: the dilution it gives is the one asked for") {
    const WortVolume strong{Litres(20.0), Plato(15.0)};
    const Litres liquor = liquor_for_dilution(strong, Plato(12.0));
    // 20 L of 15 P weigh 21.185 kg: a quarter more in water
    CHECK(liquor.value() == near(21.185 * 0.25 / 0.9982, 1e-3));
    const auto diluted = blend(strong, WortVolume{liquor, Plato(0.0)});
    CHECK(diluted.wort.extract.value() == near(12.0, 1e-12));
    CHECK(liquor_for_dilution(strong, Plato(15.0)).value() == near(0.0, 0.0, 1e-9));
    CHECK_THROWS_WITH_AS((void)liquor_for_dilution(strong, Plato(16.0)),
                         "extract to dilute to in Plato: 16 is outside 1e-06 to 15", Error);
}

TEST_CASE("liquor that nobody recorded shows as water, a wrong gravity as extract") {
    const WortVolume wort{Litres(20.0), Plato(13.0)}, recorded{Litres(1.0), Plato(0.0)};
    const auto true_blend = blend(blend(wort, recorded).wort, WortVolume{Litres(2.0), Plato(0.0)}); // 2 L more went in
    const auto residual = blend_residual(wort, recorded, true_blend.wort);
    CHECK(residual.extract.value() == near(0.0, 0.0, 1e-9));
    CHECK(residual.water.value() == near(2.0 * 0.9982, 1e-4));
    WortVolume misread = blend(wort, recorded).wort;
    misread.extract = misread.extract + Plato(1.0);
    CHECK(blend_residual(wort, recorded, misread).extract.value() == near(0.23, 0.02));
}

TEST_CASE("two beers: alcohol and real extract mix by mass, and a beer with itself is itself") {
    const BeerVolume beer{Litres(30.0), Plato(4.2), Percent(3.9)};
    const auto same = blend(beer, beer);
    CHECK(same.beer.volume.value() == near(60.0, 1e-12));
    CHECK(same.contraction.value() == near(0.0, 0.0, 1e-10));
    CHECK(same.beer.real.value() == near(4.2));
    // with water: half the alcohol by mass, a little more than half by volume of the lighter part
    const auto thinned = blend(beer, BeerVolume{Litres(30.0), Plato(0.0), Percent(0.0)});
    CHECK(thinned.beer.alcohol_by_mass.value() == near(1.95, 0.01));
    CHECK(thinned.alcohol_by_volume.value() == near(0.5 * same.alcohol_by_volume.value(), 0.002));
    CHECK(thinned.apparent < same.apparent);
    // an ordinary beer's volume per cent is that of alcohol.hpp, whose density is by apparent extract
    const double apparent = tabarie_apparent_extract(4.2, 3.9);
    CHECK(same.alcohol_by_volume.value() == near(volume_pct_of_mass_pct(3.9, apparent), 1e-12));
}

TEST_CASE("what cannot be blended is refused and the range named") {
    const WortVolume wort{Litres(20.0), Plato(13.0)};
    CHECK_THROWS_AS((void)blend(wort, WortVolume{Litres(-1.0), Plato(0.0)}), Error);
    CHECK_THROWS_AS((void)blend(WortVolume{Litres(0.0), Plato(1.0)}, WortVolume{Litres(0.0), Plato(0.0)}), Error);
    CHECK_THROWS_WITH_AS((void)blend(wort, WortVolume{Litres(1.0), Plato(200.0)}),
                         "extract in Plato: 200 is outside -5 to 95", Error);
    CHECK_THROWS_WITH_AS((void)blend(BeerVolume{Litres(1.0), Plato(4.0), Percent(40.0)}, BeerVolume{}),
                         "alcohol in per cent by mass: 40 is outside 0 to 20", Error);
}

TEST_CASE("what a blend should be leaves nothing over; what is more of it is extract and water, each its own") {
    const WortVolume strong{Litres(10.0), Plato(12.0)}, thin{Litres(5.0), Plato(8.0)};
    const WortVolume both = blend(strong, thin).wort;
    CHECK(blend_residual(strong, thin, both).extract.value() == near(0.0, 0.0, 1e-9));
    CHECK(blend_residual(strong, thin, both).water.value() == near(0.0, 0.0, 1e-9));
    // a litre of the blend more: its extract, and the water that is the rest of its mass
    const WortVolume more{both.volume + Litres(1.0), both.extract};
    const double kg = wort_mass_kg(1.0, both.extract.value() / 100.0), extract = kg * both.extract.value() / 100.0;
    const BlendResidual over = blend_residual(strong, thin, more);
    CHECK(over.extract.value() == near(extract, 1e-9));
    CHECK(over.water.value() == near(kg - extract, 1e-9));
}
