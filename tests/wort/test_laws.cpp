// Laws that hold for any hop, blend, kettle and prism, tried on generated ones: the way back leads back, more is more,
// nothing is lost, no answer is NaN, and what lies outside is refused by name.
#include "generator.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <functional>
#include <limits>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/alcohol_rules.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/blend.hpp>
#include <lotwort/wort/boiling_point.hpp>
#include <lotwort/wort/colour.hpp>
#include <lotwort/wort/ethanol.hpp>
#include <lotwort/wort/hop_ageing.hpp>
#include <lotwort/wort/hop_analysis.hpp>
#include <lotwort/wort/instruments.hpp>
#include <lotwort/wort/isomerisation.hpp>
#include <lotwort/wort/refractometer.hpp>
#include <string>
#include <vector>

using namespace lotwort;
using namespace lotwort::wort;
using lotwort::test::Generator;
using lotwort::test::is_near;
using lotwort::test::seed;
using lotwort::test::tries;

TEST_CASE("prism: there and back, and a sweeter wort bends more") {
    MESSAGE("seed ", seed, ", ", tries, " readings");
    Generator g(seed + 10);
    for (int i = 0; i < tries; ++i) {
        const Brix reading(g.between(-1.0, 39.9));
        const double factor = g.between(0.95, 1.1);
        CAPTURE(reading.value());
        REQUIRE(is_near(brix(refractive_index(reading)).value(), reading.value()));
        REQUIRE(is_near(brix_of_plato(plato_of_brix(reading, factor), factor).value(), reading.value()));
        REQUIRE(refractive_index(reading + Brix(0.01)) > refractive_index(reading));
        const Plato extract(g.between(1.0, 40.0));
        REQUIRE(is_near(wort_factor_of(brix_of_plato(extract, factor), extract), factor));
    }
}

TEST_CASE("two readings: a higher one of the beer is a higher final gravity, always with a width") {
    Generator g(seed + 11);
    int answered = 0;
    for (int i = 0; i < tries; ++i) {
        const Brix wort(g.between(4.0, 32.0)), beer(wort.value() * g.between(0.3, 0.55));
        CAPTURE(wort.value());
        CAPTURE(beer.value());
        try {
            const auto estimate = final_gravity_from_refractometer(wort, beer);
            ++answered;
            REQUIRE(std::isfinite(estimate.gravity.value()));
            REQUIRE(estimate.sd.value() >= terrill_sd);
            REQUIRE(estimate.spread.value() >= 0.0);
            REQUIRE(final_gravity_from_refractometer(wort, beer - Brix(0.001)).gravity < estimate.gravity);
        } catch (const Error& e) { // too little fermented, or no gravity that beer has
            const std::string said = e.what();
            REQUIRE((said.find("fermented") != std::string::npos || said.find("outside") != std::string::npos));
        }
    }
    CHECK(answered > tries / 2);
}

TEST_CASE("alcohol by every rule: finite, more where more fermented, Balling inside the spread") {
    MESSAGE("seed ", seed, ", ", tries, " beers");
    Generator g(seed + 12);
    for (int i = 0; i < tries; ++i) {
        const Plato original(g.between(2.0, 35.0)), apparent(original.value() * g.between(-0.1, 0.95));
        CAPTURE(original.value());
        CAPTURE(apparent.value());
        const auto all = compare_alcohol(original, apparent);
        const auto drier = compare_alcohol(original, apparent - Plato(0.01 * original.value()));
        for (std::size_t k = 0; k < 4; ++k) { // the duty rule runs in tenths of a point
            REQUIRE(std::isfinite(all.rules[k].by_volume.value()));
            REQUIRE(drier.rules[k].by_volume > all.rules[k].by_volume);
        }
        REQUIRE(all.low <= all.rules[0].by_volume);
        REQUIRE(all.high >= all.rules[0].by_volume);
        REQUIRE(all.spread.value() < 15.0);

        const double real = g.between(0.0, 20.0), alcohol = g.between(0.0, 12.0);
        REQUIRE(is_near(tabarie_real_extract(tabarie_apparent_extract(real, alcohol), alcohol), real));
        REQUIRE(tabarie_apparent_extract(real, alcohol) <= real + 1e-12);
        const double oe = original.value(), n = g.between(0.0, oe);
        const double by_mass = balling_alcohol_by_mass(oe, n);
        // Balling's two formulas are one relation: 2.0665 A + n = OE (1 + 0.010665 A), to the printed digits
        REQUIRE(is_near(balling_original_extract(by_mass, n), oe, 2e-4 * oe));
    }
}

TEST_CASE("blending: nothing is lost, order does not matter, and the blend lies between") {
    MESSAGE("seed ", seed, ", ", tries, " blends");
    Generator g(seed + 13);
    const auto extract_of = [](const WortVolume& w) {
        return extract_mass(w.volume, Celsius(20.0), w.extract).value();
    };
    for (int i = 0; i < tries; ++i) {
        const WortVolume a{Litres(g.between(0.1, 500.0)), Plato(g.between(0.0, 40.0))};
        const WortVolume b{Litres(g.between(0.1, 500.0)), Plato(g.between(0.0, 40.0))};
        CAPTURE(a.extract.value());
        CAPTURE(b.extract.value());
        const Blend ab = blend(a, b), ba = blend(b, a);
        REQUIRE(is_near(ab.wort.volume.value(), ba.wort.volume.value()));
        REQUIRE(is_near(ab.wort.extract.value(), ba.wort.extract.value()));
        REQUIRE(ab.wort.extract >= std::min(a.extract, b.extract) - Plato(1e-12));
        REQUIRE(ab.wort.extract <= std::max(a.extract, b.extract) + Plato(1e-12));
        REQUIRE(is_near(extract_of(ab.wort), extract_of(a) + extract_of(b)));
        REQUIRE(std::abs(ab.contraction / ab.wort.volume) < 0.006);
        const auto residual = blend_residual(a, b, ab.wort);
        REQUIRE(is_near(residual.extract.value(), 0.0));
        REQUIRE(is_near(residual.water.value(), 0.0));
        const WortVolume strong{a.volume, Plato(g.between(5.0, 40.0))};
        const Plato aim(g.between(0.5, strong.extract.value()));
        const Litres liquor = liquor_for_dilution(strong, aim);
        REQUIRE(liquor.value() >= 0.0);
        REQUIRE(is_near(blend(strong, WortVolume{liquor, Plato(0.0)}).wort.extract.value(), aim.value()));

        const BeerVolume x{a.volume, Plato(g.between(0.0, 12.0)), Percent(g.between(0.0, 10.0))};
        const BeerVolume y{b.volume, Plato(g.between(0.0, 12.0)), Percent(g.between(0.0, 10.0))};
        const auto beer = blend(x, y);
        REQUIRE(std::isfinite(beer.alcohol_by_volume.value()));
        REQUIRE(beer.apparent <= beer.beer.real);
        REQUIRE(std::abs(beer.contraction / beer.beer.volume) < 0.006);
    }
}

TEST_CASE("boiling: there and back, and cooler at every step up the hill") {
    MESSAGE("seed ", seed, ", ", tries, " altitudes");
    Generator g(seed + 14);
    for (int i = 0; i < tries; ++i) {
        const double t = g.between(1.0, 148.0);
        CAPTURE(t);
        REQUIRE(is_near(boiling_c(saturation_pressure_pa(t)), t));
        const Metres h(g.between(-500.0, 5999.0));
        REQUIRE(boiling_point(h + Metres(1.0)) < boiling_point(h));
    }
}

TEST_CASE("stands and cooling: longer and hotter is more, never more than the clock, pieces add up") {
    MESSAGE("seed ", seed, ", ", tries, " courses");
    Generator g(seed + 15);
    for (int i = 0; i < tries; ++i) {
        const double length = g.between(0.5, 90.0), from = g.between(1.0, 99.0), to = g.between(1.0, 99.0);
        const auto worth = [](double m0, double c0, double m1, double c1) {
            return equivalent_boil(
                std::vector<TimedTemperature>{{Minutes(m0), Celsius(c0)}, {Minutes(m1), Celsius(c1)}});
        };
        CAPTURE(length);
        CAPTURE(from);
        CAPTURE(to);
        const auto whole = worth(0.0, from, length, to);
        REQUIRE(whole.minutes.value() > 0.0);
        REQUIRE(whole.minutes.value() < length);
        REQUIRE(std::isfinite(whole.sd.value()));
        REQUIRE(whole.sd.value() > 0.0);
        REQUIRE(worth(0.0, from, 2.0 * length, to).minutes > whole.minutes);
        REQUIRE(worth(0.0, from + 1.0, length, to).minutes > whole.minutes);
        const double cut = g.between(0.1, 0.9), middle = from + cut * (to - from);
        const double parts = worth(0.0, from, cut * length, middle).minutes.value() +
                             worth(cut * length, middle, length, to).minutes.value();
        REQUIRE(is_near(parts, whole.minutes.value()));
        const double share = iso_fraction(length, from) + alpha_remaining(length, from);
        REQUIRE(share > 0.0);
        REQUIRE(share <= 1.0 + 1e-12); // the rest is lost
    }
}

TEST_CASE("hops: bitterness and mass, colour and colour units, index and loss, there and back") {
    MESSAGE("seed ", seed, ", ", tries, " hops");
    Generator g(seed + 16);
    for (int i = 0; i < tries; ++i) {
        const Percent alpha(g.between(0.5, 20.0));
        const Litres beer(g.between(1.0, 1000.0));
        const double u = utilisation(SpecificGravity(g.between(0.99, 1.2)), Minutes(g.between(0.5, 240.0)));
        const BitternessUnits units(g.between(0.1, 120.0));
        REQUIRE(is_near(bitterness(hops_for(units, alpha, u, beer), alpha, u, beer).value(), units.value()));
        const Ebc colour(g.between(0.1, 300.0));
        REQUIRE(is_near(beer_colour(colour_units_for(colour)).value(), colour.value()));
        REQUIRE(is_near(malt_ebc(malt_lovibond(colour)).value(), colour.value()));
        REQUIRE(colour_units_for(colour + Ebc(0.1)) > colour_units_for(colour));
        const double lost = g.between(0.0, 90.0), slope = g.between(101.8, 114.6);
        REQUIRE(is_near(hsi_loss_pct(hsi_of_loss(lost, slope), slope), lost));
        const double boil = g.between(0.0, 239.0), gravity = g.between(0.99, 1.19);
        REQUIRE(tinseth_utilisation(gravity, boil + 0.1) > tinseth_utilisation(gravity, boil));
        REQUIRE(tinseth_utilisation(gravity + 0.001, boil + 0.1) < tinseth_utilisation(gravity, boil + 0.1));
    }
}

TEST_CASE("ageing: older, warmer or worse packed is never more alpha, and never without a width") {
    MESSAGE("seed ", seed, ", ", tries, " bales");
    Generator g(seed + 17);
    constexpr std::array packings{Packing::none,   Packing::bag,      Packing::airtight, Packing::barrier,
                                  Packing::vacuum, Packing::nitrogen, Packing::unknown};
    for (int i = 0; i < tries; ++i) {
        HopStorage s;
        s.alpha = Percent(g.between(0.5, 20.0));
        s.alpha_sd = Percent(g.between(0.0, 1.0));
        s.days = g.between(0.0, 2000.0);
        s.temperature = Celsius(g.between(-30.0, 35.0));
        s.temperature_sd = CelsiusDifference(g.between(0.0, 8.0));
        s.packing = packings[g.one_of(packings.size())];
        s.lost_in_six_months = Percent(g.between(5.0, 70.0));
        CAPTURE(s.days);
        CAPTURE(s.temperature.value());
        CAPTURE(word(s.packing));
        const AgedAlpha now = aged_alpha(s);
        REQUIRE(now.alpha.value() >= 0.0);
        REQUIRE(now.alpha <= s.alpha);
        REQUIRE(std::isfinite(now.sd.value()));
        REQUIRE(now.sd.value() >= 0.0);
        REQUIRE(now.hsi >= fresh_hsi - 1e-12);
        HopStorage later = s, warmer = s, open = s;
        later.days += 1.0;
        warmer.temperature = s.temperature + CelsiusDifference(1.0);
        open.packing = Packing::none;
        REQUIRE(aged_alpha(later).alpha < now.alpha);
        REQUIRE(aged_alpha(warmer).alpha <= now.alpha);
        REQUIRE(aged_alpha(open).alpha <= now.alpha);
        s.hsi_then = g.between(0.2, 0.4);
        s.hsi_now = *s.hsi_then + g.between(0.0, 0.4);
        const AgedAlpha measured = aged_alpha(s);
        REQUIRE(measured.alpha <= s.alpha);
        REQUIRE(std::isfinite(measured.sd.value()));
    }
}

TEST_CASE("scales: twice as coarse is twice as uncertain; more results never widen a comparison") {
    Generator g(seed + 18);
    for (int i = 0; i < tries; ++i) {
        const double a = g.between(1e-6, 10.0), r = g.between(0.0, 1.0), big = r + g.between(0.0, 2.0);
        const int n = 1 + static_cast<int>(g.one_of(20));
        REQUIRE(u_triangular(a) < u_rectangular(a));
        REQUIRE(is_near(u_rectangular(2.0 * a), 2.0 * u_rectangular(a)));
        REQUIRE(is_near(u_resolution(2.0 * a), u_rectangular(a)));
        REQUIRE(critical_difference(r, big, n + 1) <= critical_difference(r, big, n) + 1e-15);
        REQUIRE(critical_difference(r, big, n) >= 0.0);
        REQUIRE(reading_uncertainty(a, r).repeatability > 0.0);
    }
}

namespace {

// f refuses each x outside low to high, and NaN, by a message that names the range.
void refuses_outside(const char* what, double low, double high, const std::function<void(double)>& f) {
    CAPTURE(std::string(what));
    Generator g(seed + 19);
    REQUIRE_NOTHROW(f(low));
    REQUIRE_NOTHROW(f(high));
    const auto refused = [&](double x) {
        CAPTURE(x);
        try {
            f(x);
            FAIL("taken");
        } catch (const Error& e) {
            REQUIRE(e.kind() == ErrorKind::refused);
            REQUIRE(std::string(e.what()).find(" is outside ") != std::string::npos);
        }
    };
    refused(std::numeric_limits<double>::quiet_NaN());
    const double width = high - low;
    for (int i = 0; i < 5000; ++i) {
        refused(low - width * g.between(1e-5, 10.0));
        refused(high + width * g.between(1e-5, 10.0));
    }
}

} // namespace

TEST_CASE("out of range is refused and the range named, wherever one looks") {
    MESSAGE("seed ", seed, ", 10000 inputs a function");
    refuses_outside("index", 1.331, 1.4, [](double x) { (void)brix(x); });
    refuses_outside("Brix", -5.0, 95.0, [](double x) { (void)plato_of_brix(Brix(x)); });
    refuses_outside("wort factor", 0.9, 1.2, [](double x) { (void)brix_of_plato(Plato(12.0), x); });
    refuses_outside("altitude", -500.0, 6000.0, [](double x) { (void)boiling_point(Metres(x)); });
    refuses_outside("pressure", 620.0, 470e3, [](double x) { (void)solve_boiling_c(x); });
    refuses_outside("stand", 0.0, 130.0, [](double x) { (void)equivalent_boil(Minutes(10.0), Celsius(x)); });
    refuses_outside("boil", 60.0, 130.0,
                    [](double x) { (void)equivalent_boil(Minutes(10.0), Celsius(80.0), Celsius(x)); });
    refuses_outside("boil's gravity", 0.99, 1.2,
                    [](double x) { (void)utilisation(SpecificGravity(x), Minutes(60.0)); });
    refuses_outside("boil's minutes", 0.0, 1440.0,
                    [](double x) { (void)utilisation(SpecificGravity(1.05), Minutes(x)); });
    refuses_outside("ethanol", 0.0, 100.0, [](double x) { (void)ethanol_density(Percent(x), Celsius(20.0)); });
    refuses_outside("ethanol's temperature", -20.0, 40.0,
                    [](double x) { (void)ethanol_density(Percent(5.0), Celsius(x)); });
    refuses_outside("ethanol by volume", 0.0, 100.0, [](double x) { (void)alcohol_by_volume_of_mixture(Percent(x)); });
    refuses_outside("original extract", 12.0, 35.0, [](double x) { (void)alcohol_by_volume(Plato(x), Plato(12.0)); });
    refuses_outside("apparent extract", -5.0, 12.0, [](double x) { (void)compare_alcohol(Plato(12.0), Plato(x)); });
    refuses_outside("blend", -5.0, 95.0, [](double x) {
        (void)blend(WortVolume{Litres(1.0), Plato(x)}, WortVolume{Litres(1.0), Plato(10.0)});
    });
    refuses_outside("storage index", 0.1, 3.0, [](double x) {
        HopStorage s;
        s.alpha = Percent(10.0);
        s.hsi_now = x;
        (void)aged_alpha(s);
    });
    refuses_outside("store", -80.0, 60.0, [](double x) {
        HopStorage s;
        s.alpha = Percent(10.0);
        s.temperature = Celsius(x);
        (void)aged_alpha(s);
    });
    refuses_outside("dilution", 1e-6, 1000.0, [](double x) {
        (void)hop_analysis(x, HopAbsorbance<double>{0.1, 0.5, 0.6});
    });
    refuses_outside("absorbance", 0.0, 5.0, [](double x) { (void)bitterness_of_absorbance(x); });
    refuses_outside("colour units", 0.0, 1e6, [](double x) { (void)beer_colour(MaltColourUnits(x)); });
}
