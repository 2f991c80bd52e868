// Laws of water, spirits, other people's fits and the textbooks' figures, tried on generated inputs.
#include "generator.hpp"
#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/ethanol.hpp>
#include <lotwort/wort/published.hpp>
#include <lotwort/wort/textbook.hpp>
#include <lotwort/wort/volume.hpp>
#include <lotwort/wort/water.hpp>

using namespace lotwort;
using namespace lotwort::wort;
using lotwort::test::Generator;
using lotwort::test::is_near;
using lotwort::test::seed;
using lotwort::test::tries;

TEST_CASE("water: lighter at every step from 4 °C to the boil, air makes it lighter still below 40 °C") {
    MESSAGE("seed ", seed, ", ", tries, " temperatures");
    Generator g(seed + 60);
    for (int i = 0; i < tries; ++i) {
        const Celsius cool(g.between(4.0, 99.9)),
            warm = cool + CelsiusDifference(g.between(1e-4, 100.0 - cool.value()));
        CAPTURE(cool.value());
        CAPTURE(warm.value());
        REQUIRE(water_density(warm) < water_density(cool));
        REQUIRE(is_near(water_contraction(cool, warm) * water_contraction(warm, cool), 1.0, 1e-12));
        REQUIRE(water_contraction(warm, cool) < 1.0);
        const Celsius tap(g.between(0.0, 40.0));
        REQUIRE(aerated_water_density(tap).value() <= water_tanaka_kg_m3(tap.value()) + 1e-3);
    }
}

TEST_CASE("ethanol and water: stronger by mass is stronger by volume, up to spirit alone") {
    MESSAGE("seed ", seed, ", ", tries, " mixtures");
    Generator g(seed + 61);
    for (int i = 0; i < tries; ++i) {
        const Percent by_mass(g.between(0.0, 99.9));
        const Celsius at(g.between(-20.0, 40.0));
        CAPTURE(by_mass.value());
        CAPTURE(at.value());
        const double abv = alcohol_by_volume_of_mixture(by_mass).value();
        REQUIRE(abv >= by_mass.value());
        REQUIRE(abv <= 100.0);
        REQUIRE(alcohol_by_volume_of_mixture(by_mass + Percent(0.05)).value() > abv);
        const double density = ethanol_density(by_mass, at).value();
        REQUIRE(density > 770.0);
        REQUIRE(density < 1005.0);
    }
}

TEST_CASE("other people's fits rise with gravity wherever each holds, and their inverses lead back") {
    MESSAGE("seed ", seed, ", ", tries, " gravities");
    Generator g(seed + 62);
    for (int i = 0; i < tries; ++i) {
        const ApparentGravity s(g.between(1.0, 1.1298)), more(s.value() + 1e-4);
        CAPTURE(s.value());
        REQUIRE(published::plato_asbc(more) > published::plato_asbc(s));
        REQUIRE(published::brix_nbs(more) > published::brix_nbs(s));
        REQUIRE(published::plato_lincoln(more) > published::plato_lincoln(s));
        REQUIRE(published::plato_de_clerck(more) > published::plato_de_clerck(s));
        const Plato p(g.between(0.0, 29.9));
        REQUIRE(published::gravity_inverse_form(p + Plato(0.01)) > published::gravity_inverse_form(p));
        REQUIRE(is_near(published::plato_asbc(published::gravity_asbc(p)).value(), p.value()));
        const double beyond = g.between(0.001, 50.0);
        CHECK_THROWS_AS((void)published::gravity_asbc(Plato(30.0 + beyond)), Error);
        CHECK_THROWS_AS((void)published::plato_lincoln(ApparentGravity(1.13 + beyond)), Error);
        CHECK_THROWS_AS((void)published::gravity_inverse_form(Plato(-beyond)), Error);
    }
}

TEST_CASE("the textbooks' figures: mass stays, there and back") {
    MESSAGE("seed ", seed, ", ", tries, " brews");
    namespace tb = textbook;
    Generator g(seed + 63);
    for (int i = 0; i < tries; ++i) {
        const Plato strength(g.between(1.0, 30.0));
        const Kilograms wort(g.between(1.0, 5000.0));
        const Kilograms gone(wort.value() * g.between(0.0, 0.6));
        CAPTURE(strength.value());
        const Plato boiled = tb::after_boil(strength, wort, gone);
        REQUIRE(is_near(boiled.value() * (wort - gone).value() / (strength.value() * wort.value()), 1.0, 1e-12));
        REQUIRE(boiled >= strength);
        REQUIRE(is_near(tb::first_wort(tb::mash_liquor_for(strength)).value(), strength.value()));
        const Litres before(g.between(1.0, 5000.0)), after(before.value() * g.between(0.3, 1.0));
        REQUIRE(is_near(before.value() * (1.0 - tb::evaporation(before, after).value() / 100.0), after.value(), 1e-8));
        const Percent efficiency(g.between(40.0, 99.0)), extract(g.between(50.0, 85.0));
        const double gravity = specific_gravity(strength).value();
        // the short form's grist, with the gravity it leaves out put back, gives that efficiency again
        const Kilograms grist = tb::grist_short_form(before, strength, efficiency, extract);
        const double yield = tb::brewhouse_yield(before, strength, 1.0, grist, 1.0).value();
        REQUIRE(is_near(yield, efficiency.value() * extract.value() / 100.0));
        REQUIRE(tb::extract(before, strength, gravity) > tb::extract(before, strength, 1.0));
        const Kilograms dry(g.between(0.1, 1000.0));
        const Percent water(g.between(0.0, 98.0));
        REQUIRE(is_near(tb::spent_grain(dry, water).value() * (1.0 - water.value() / 100.0) / dry.value(), 1.0, 1e-12));
        CHECK_THROWS_AS((void)tb::after_boil(strength, wort, wort), Error);
    }
}
