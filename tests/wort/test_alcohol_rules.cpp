// The published rules for alcohol beside each other: how far they lie apart, and that the spread says so.
#include "near.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/alcohol_rules.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;

TEST_CASE("side by side, printed: the rules lie within 3 % of Balling's for ordinary beers") {
    std::string table = "\n   OG     FG   " + std::string("rule, % by volume, against Balling");
    for (const double og : {1.036, 1.044, 1.048, 1.060, 1.075, 1.090}) {
        const SpecificGravity original(og), final(1.0 + 0.24 * (og - 1.0));
        const auto all = compare_alcohol(plato(original), plato(final));
        CAPTURE(og);
        for (const auto& ruled : all.rules) {
            table += fmt::format("\n{:.3f}  {:.4f}  {:20} {:5.2f} {:+5.1f} %", og, final.value(), word(ruled.rule),
                                 ruled.by_volume.value(), ruled.from_balling.value());
            if (ruled.rule == AlcoholRule::rule_of_1917) continue;
            CHECK(ruled.by_volume >= all.low);
            CHECK(ruled.by_volume <= all.high);
            if (og <= 1.06) CHECK(std::abs(ruled.from_balling.value()) < 3.3);
        }
        CHECK(all.rules.front().rule == AlcoholRule::balling);
        CHECK(all.rules.front().by_volume.value() == near(alcohol_by_volume(original, final).value()));
        CHECK(all.spread.value() == near(100.0 * (all.high - all.low).value() / all.rules.front().by_volume.value()));
        // what the forecast takes as one standard uncertainty covers the spread on both sides
        CHECK(all.spread.value() < 2.0 * 100.0 * alcohol_rule_spread);
    }
    MESSAGE(table);
}

TEST_CASE("a rule's four factors are one rule: a = q b, c = q b/(1 - q)") {
    for (const double oe : {8.0, 12.0, 16.0, 20.0}) {
        CAPTURE(oe);
        const auto balling = balling_factors(oe);
        CHECK(balling.a == near(balling.q * balling.b));
        CHECK(balling.c == near(balling.q * balling.b / (1.0 - balling.q)));
        // fitted one by one, so they agree within their standard errors (0.010 of a, 0.013 of c)
        const auto cutaia = cutaia_factors(oe);
        CHECK(std::abs(cutaia.a - cutaia.q * cutaia.b) < 0.010);
        const auto doemens = doemens_factors(oe);
        CHECK(std::abs(doemens.a - doemens.q * doemens.b) < 0.003);
        CHECK(std::abs(doemens.c - doemens.q * doemens.b / (1.0 - doemens.q)) < 0.02);
    }
}

TEST_CASE("Balling's factor form is Balling's formula") {
    const double original = 13.0, apparent = 3.0;
    const double real = balling_real_extract(original, apparent);
    const double alcohol = balling_alcohol_by_mass(original, real);
    const auto f = balling_factors(original);
    CHECK(f.a * (original - apparent) == near(alcohol, 1e-12));
    CHECK(f.b * (original - real) == near(alcohol, 1e-12));
    CHECK(f.c * (real - apparent) == near(alcohol, 1e-12));
}

TEST_CASE("Tabarie's rule there and back, and nothing to correct without alcohol") {
    const double apparent = tabarie_apparent_extract(4.5, 4.0);
    CHECK(tabarie_real_extract(apparent, 4.0) == near(4.5, 1e-11));
    CHECK(apparent < 4.5);
    CHECK(tabarie_real_extract(4.5, 0.0) == near(4.5, 1e-11));
    // The physics sides with Cutaia's quotient, to its standard error of 0.009, and finds Balling's real extract 0.1 to
    // 0.2 P low.
    for (const double original : {11.0, 12.0, 14.0}) {
        const double beer = 0.22 * original;
        const auto cutaia = cutaia_factors(original);
        const double found = tabarie_real_extract(beer, cutaia.a * (original - beer));
        CHECK(std::abs(found - (original - cutaia.q * (original - beer))) < 0.009 * (original - beer));
        CHECK(found - balling_real_extract(original, beer) > 0.05);
        CHECK(found - balling_real_extract(original, beer) < 0.2);
    }
}

TEST_CASE("the rule of 1917 asks more wort of the same beer than Balling does: 0.1 to 0.25 P") {
    for (const double alcohol : {3.2, 3.6}) {
        const double more = original_extract_of_1917(alcohol, 5.0) - balling_original_extract(alcohol, 5.0);
        CHECK(more > 0.08);
        CHECK(more < 0.26);
    }
}

TEST_CASE("nothing fermented: no alcohol by any rule, and no spread; a very strong beer leaves the duty table") {
    const auto none = compare_alcohol(Plato(12.0), Plato(12.0));
    for (const auto& ruled : none.rules) CHECK(ruled.by_volume.value() == near(0.0, 0.0, 1e-9));
    CHECK(none.spread.value() == 0.0);
    CHECK(none.rules.size() == 5);
    CHECK(compare_alcohol(Plato(32.0), Plato(4.0)).rules.size() == 4);
    CHECK_THROWS_WITH_AS((void)alcohol_by_volume_duty_rule(SpecificGravity(1.120), SpecificGravity(1.010)),
                         "gravity points fermented: 110 is outside 0 to 100.7", Error);
    CHECK_THROWS_AS((void)compare_alcohol(Plato(10.0), Plato(11.0)), Error);
}

TEST_CASE(
    "in 1917 half of what is really gone was taken for alcohol, and rules are told by how far they lie off Balling") {
    const AlcoholComparison of = compare_alcohol(Plato(12.0), Plato(2.5));
    const auto found = std::ranges::find(of.rules, AlcoholRule::rule_of_1917, &RuledAlcohol::rule);
    REQUIRE(found != of.rules.end());
    const double real = 0.1808 * 12.0 + 0.8192 * 2.5; // Balling's real extract
    CHECK(found->by_volume.value() == near(volume_pct_of_mass_pct(0.5 * (12.0 - real), 2.5), 1e-4));
    CHECK(found->by_volume.value() < of.rules[0].by_volume.value());
    for (const RuledAlcohol& rule : of.rules)
        CHECK(rule.from_balling.value() ==
              near(100.0 * (rule.by_volume.value() / of.rules[0].by_volume.value() - 1.0), 1e-9, 1e-9));
}
