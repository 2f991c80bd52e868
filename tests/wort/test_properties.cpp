// Laws that hold for any wort, tried on generated ones. The seed is fixed and printed: a failure comes back.
#include "generator.hpp"
#include "near.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/hydrometer.hpp>
#include <lotwort/wort/published.hpp>
#include <lotwort/wort/volume.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;
using lotwort::test::Generator;
using lotwort::test::is_near;
using lotwort::test::seed;
using lotwort::test::tries;

namespace {

Plato any_plato(Generator& g) {
    return Plato(g.between(least_plato, most_plato));
}
Celsius any_temperature(Generator& g) {
    return Celsius(g.between(least_wort_c, most_wort_c));
}

} // namespace

TEST_CASE("the inverse of an inverse is where one started, to 1e-9 P") {
    MESSAGE("seed ", seed, ", ", tries, " worts");
    Generator g(seed);
    for (int i = 0; i < tries; ++i) {
        const Plato p = any_plato(g);
        const Celsius t = any_temperature(g), t0(g.between(0.0, 30.0));
        CAPTURE(p.value());
        CAPTURE(t.value());
        CAPTURE(t0.value());
        REQUIRE(is_near(plato(specific_gravity(p)).value(), p.value()));
        REQUIRE(is_near(plato(apparent_gravity(p)).value(), p.value()));
        REQUIRE(is_near(plato(gravity_60f(p)).value(), p.value()));
        REQUIRE(is_near(plato(gravity_15c(p)).value(), p.value()));
        REQUIRE(is_near(plato_of_density(wort_density(p, t), t).value(), p.value()));
        const double w = p.value() / 100.0;
        REQUIRE(is_near(plato_from_hydrometer(hydrometer_mark_of(w, t.value(), t0.value()), t, t0).value(), p.value()));
        const Litres hot(g.between(0.1, 5000.0));
        REQUIRE(std::abs(volume_at(volume_at(hot, p, t, t0), p, t0, t) / hot - 1.0) < 1e-12);
        const Plato beer_strength(g.between(0.0, 30.0));
        REQUIRE(is_near(published::plato_asbc(published::gravity_asbc(beer_strength)).value(), beer_strength.value()));
    }
}

TEST_CASE("more extract is heavier at every temperature, and floats a stem higher") {
    MESSAGE("seed ", seed, ", ", tries, " pairs of worts");
    Generator g(seed + 1);
    for (int i = 0; i < tries; ++i) {
        const Plato p = Plato(g.between(least_plato, most_plato - 0.001));
        const Plato more = p + Plato(g.between(1e-6, most_plato - p.value()));
        const Celsius t = any_temperature(g);
        CAPTURE(p.value());
        CAPTURE(more.value());
        CAPTURE(t.value());
        REQUIRE(wort_density(p, t) < wort_density(more, t));
        REQUIRE(specific_gravity(p) < specific_gravity(more));
        REQUIRE(apparent_gravity(p) < apparent_gravity(more));
        REQUIRE(hydrometer_mark_of(p.value() / 100.0, t.value(), 20.0) <
                hydrometer_mark_of(more.value() / 100.0, t.value(), 20.0));
        REQUIRE(sucrose_density_slope(p.value() / 100.0, t.value()) > 0.0);
    }
}

TEST_CASE("hot wort is lighter than cool wort") {
    Generator g(seed + 2);
    for (int i = 0; i < tries; ++i) {
        const Plato p(g.between(0.0, 40.0));
        const Celsius cool(g.between(4.0, 99.0));
        const Celsius hot = cool + CelsiusDifference(g.between(0.01, 100.0 - cool.value()));
        CAPTURE(p.value());
        CAPTURE(cool.value());
        CAPTURE(hot.value());
        REQUIRE(wort_density(p, hot) < wort_density(p, cool));
        REQUIRE(volume_at(Litres(1.0), p, hot, cool).value() < 1.0);
    }
}

TEST_CASE("any fermentation gives finite alcohol, none where nothing fermented, more where more did") {
    MESSAGE("seed ", seed, ", ", tries, " beers");
    Generator g(seed + 3);
    for (int i = 0; i < tries; ++i) {
        const Plato original(g.between(1.0, 35.0));
        const Plato apparent(g.between(-0.15 * original.value(), original.value()));
        CAPTURE(original.value());
        CAPTURE(apparent.value());
        const double abv = alcohol_by_volume(original, apparent).value();
        REQUIRE(std::isfinite(abv));
        REQUIRE(abv >= 0.0);
        REQUIRE(abv < 30.0);
        const Plato drier(apparent.value() - 0.01);
        REQUIRE(alcohol_by_volume(original, drier).value() > abv);
        REQUIRE(alcohol_by_volume(original, original).value() == near(0.0, 0.0, 1e-9));
        REQUIRE(real_extract(original, apparent) >= apparent);
    }
}
