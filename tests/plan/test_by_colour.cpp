// Caramel and roasted malts are there for their colour: what stands in for them is weighed by it where extract would
// make another beer.
#include "near.hpp"
#include "plan/brewers_store.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/plan/stand_in.hpp>
#include <lotwort/plan/verify_substitution.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

Substitution found(SubstituteRequest request) {
    request.kinds = {AnswerKind::nearest};
    return substitute(request);
}

SubstituteAnswer only_answer(const SubstituteRequest& request) {
    const auto all = found(request);
    REQUIRE_MESSAGE(all.answers.size() == 1, (all.none.empty() ? "" : all.none[0].reason));
    for (const auto& breach : breaches(request, all.answers[0])) FAIL_CHECK(breach);
    return all.answers[0];
}

AnswerLine& line_of(SubstituteAnswer& answer, const char* lot) {
    return *std::ranges::find(answer.lines, lot, &AnswerLine::lot);
}

constexpr const char* ale = "pale ale malt=4500,caramel malt 120=300|bitter hop=30@60";
constexpr const char* porter = "pale ale malt=4500,chocolate malt=200|bitter hop=40@60";

} // namespace

TEST_CASE("of a caramel malt twice as dark about half is taken: the colour stays, and the extract hardly moves") {
    const auto request = short_brew(ale, "caramel malt 120=200", "caramel malt 250");
    const auto answer = only_answer(request);
    CHECK(answer.sentence.find("of caramel malt 120, by its colour: ") != std::string::npos);
    CHECK(answer.off_colour.empty());
    CHECK(answer.opened.empty());
    const Effect &meant = found(request).recipe.at("P1"), &now = answer.effect.at("P1");
    CHECK(std::abs(now.colour_ebc.value - meant.colour_ebc.value) < 0.3);
    CHECK(now.extract_kg.value < meant.extract_kg.value);
    CHECK(now.extract_kg.value > 0.98 * meant.extract_kg.value);
}

TEST_CASE("where extract keeps the colour it is by extract") {
    const auto answer = only_answer(short_brew(ale, "caramel malt 120=200", "caramel malt 150"));
    CHECK(answer.sentence.find("by its colour") == std::string::npos);
}

TEST_CASE("a roasted malt that extract does not make up is no line to be got where its colour is there") {
    const auto answer =
        only_answer(short_brew(porter, "chocolate malt=130,pale ale malt=500", "black malt=90,pale malt"));
    CHECK(answer.to_get.empty());
    CHECK(answer.left.empty());
}

TEST_CASE("of a roasted malt that neither makes up, what there is is told by the more") {
    const auto all = found(short_brew(porter, "chocolate malt=130", "black malt=60"));
    REQUIRE(all.none.size() == 1);
    CHECK(all.none[0].reason == "P1: what may stand in for chocolate malt fills 67 % of the missing 130 g");
}

TEST_CASE("a tenth of the grist is no matter of colour alone: half of it would make a weaker beer") {
    const auto all = found(short_brew("pale ale malt=4500,caramel malt 120=600|bitter hop=30@60",
                                      "caramel malt 120=500", "caramel malt 250"));
    REQUIRE(all.none.size() == 1);
    CHECK(all.none[0].reason == "P1: what may stand in would miss its colour");
}

TEST_CASE("with pale malt to spare a tenth of the grist is half of the darker one, and pale malt for its extract") {
    auto request = short_brew("pale ale malt=4500,caramel malt 120=600|bitter hop=30@60", "caramel malt 120=500",
                              "caramel malt 250,pale ale malt=500");
    const auto answer = only_answer(request);
    const Effect &meant = found(request).recipe.at("P1"), &now = answer.effect.at("P1");
    CHECK(std::abs(now.colour_ebc.value - meant.colour_ebc.value) < 1.0);
    CHECK(now.extract_kg.value == near(meant.extract_kg.value, 0.004));
    REQUIRE(answer.opened.size() == 1);
    CHECK(answer.opened[0].ends_with(" g more of pale ale malt, for else what may stand in would miss its colour"));
}

TEST_CASE("the second hand finds a colour malt that gives neither its extract nor its colour") {
    const auto request = short_brew(ale, "caramel malt 120=200", "caramel malt 250");
    for (const double grams : {50.0, 80.0, 120.0, 150.0}) {
        CAPTURE(grams);
        auto answer = only_answer(request);
        line_of(answer, "caramel-malt-250-B").mass_kg = grams / 1000.0;
        const auto broken = breaches(request, answer);
        CHECK(std::ranges::any_of(broken, [](const std::string& breach) { return breach.starts_with("S5:"); }));
    }
}

TEST_CASE("what has been weighed of a caramel malt counts by its colour, or by its extract where that is more") {
    const auto items = brewers_items();
    const auto item = [&](const char* name) { return *std::ranges::find(items, name, &Item::name); };
    const auto counts = [&](const char* asked, const char* other) {
        return *counts_as({}, item(asked), item(other), lot("L", other, 1.0).lot, day("2026-03-01"));
    };
    // SRM = 1.3546 L - 0.76, EBC = 1.97 SRM
    CHECK(counts("caramel malt 120", "caramel malt 250") == near((250.0 / 1.97 + 0.76) / (120.0 / 1.97 + 0.76), 1e-3));
    CHECK(counts("caramel malt 250", "caramel malt 120") == near(75.0 / 74.0, 1e-3));
    CHECK(counts("pale ale malt", "mild malt") == near(80.0 / 81.0, 1e-3)); // base malt is there for its extract
}
