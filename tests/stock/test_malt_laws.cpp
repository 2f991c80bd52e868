// Laws that hold for any malt, tried on generated ones: every basis there and back, more is more, no answer is NaN, and
// what no malt holds is refused.
#include "wort/generator.hpp"
#include <doctest/doctest.h>
#include <limits>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/extract_basis.hpp>
#include <lotwort/stock/malt.hpp>

using namespace lotwort;
using lotwort::test::Generator;
using lotwort::test::is_near;
using lotwort::test::seed;
using lotwort::test::tries;

TEST_CASE("extract on any basis: there and back, more is more") {
    MESSAGE("seed ", seed, ", ", tries, " malts, each on twelve bases");
    Generator g(seed + 40);
    for (int i = 0; i < tries; ++i) {
        const Percent fine_dry(g.between(5.0, 100.0)), moisture(g.between(0.0, 15.0));
        CAPTURE(fine_dry.value());
        CAPTURE(moisture.value());
        for (std::size_t k = 0; k < WordsOf<ExtractBasis>::list.size(); ++k) {
            const auto basis = static_cast<ExtractBasis>(k);
            CAPTURE(std::string(word(basis)));
            const double stated = extract_on_basis(fine_dry, basis, moisture);
            REQUIRE(is_near(fine_dry_extract(stated, basis, moisture).value(), fine_dry.value()));
            REQUIRE(extract_on_basis(fine_dry + Percent(0.01), basis, moisture) > stated);
            if (word(basis).ends_with("as-is"))
                REQUIRE(extract_on_basis(fine_dry, basis, moisture + Percent(0.01)) < stated);
        }
    }
}

TEST_CASE("the laboratory's figures: there and back") {
    MESSAGE("seed ", seed, ", ", tries, " malts");
    Generator g(seed + 41);
    for (int i = 0; i < tries; ++i) {
        const double extract = g.between(40.0, 90.0), moisture = g.between(0.0, 12.0), wk = g.between(0.0, 600.0);
        CAPTURE(extract);
        CAPTURE(moisture);
        REQUIRE(is_near(congress_extract_pct(congress_wort_plato(extract, moisture), moisture), extract));
        REQUIRE(congress_wort_plato(extract + 0.01, moisture) > congress_wort_plato(extract, moisture));
        REQUIRE(is_near(congress_of_iob(iob_of_congress(extract)), extract));
        REQUIRE(iob_of_congress(extract + 0.01) > iob_of_congress(extract));
        REQUIRE(is_near(wk_of_lintner_degrees(lintner_degrees_of_wk(wk)), wk));
        REQUIRE(is_near(as_is_pct(dry_pct(extract, moisture), moisture), extract));
        REQUIRE(noonan_as_is_pct(extract, moisture) < as_is_pct(extract, moisture) + 0.2 * moisture);
        const double strength = g.between(1.0, 400.0); // g/L
        const double degrees = litre_degrees_of_sucrose(strength);
        REQUIRE(degrees > 370.0);
        REQUIRE(degrees < 387.0);
        REQUIRE(litre_degrees_of_sucrose(strength + 1.0) < degrees);
        const Percent difference(g.between(0.0, 6.0));
        REQUIRE(modification_class(difference + Percent(0.1)) >= modification_class(difference));
    }
}

TEST_CASE("no malt holds more than its dry matter, and a NaN is no extract") {
    MESSAGE("seed ", seed, ", ", tries, " impossible malts");
    Generator g(seed + 42);
    for (int i = 0; i < tries; ++i) {
        const double more = g.between(105.1, 1000.0), wet = g.between(50.1, 99.0);
        CHECK_THROWS_AS((void)fine_dry_extract(more, ExtractBasis::fine_dry, Percent(4.0)), Error);
        CHECK_THROWS_AS((void)fine_dry_extract(80.0, ExtractBasis::fine_as_is, Percent(wet)), Error);
    }
    CHECK_THROWS_AS(
        (void)fine_dry_extract(std::numeric_limits<double>::quiet_NaN(), ExtractBasis::fine_dry, Percent(4)), Error);
    CHECK_THROWS_AS((void)litre_degrees_of_sucrose(0.0), Error);
    CHECK_THROWS_AS((void)modification_class(Percent(-0.1)), Error);
}
