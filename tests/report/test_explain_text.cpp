// The sentence of an explained surprise: what a part of the difference is called.
#include "flowing.hpp"
#include <doctest/doctest.h>
#include <lotwort/report/explain.hpp>

using namespace lotwort;
using namespace lotwort::report;
using lotwort::test::holds;

namespace {

// 1.050 for 1.045, of which conversion made so much and lautering the others.
Explanation by_conversion(double part) {
    ExplainedOutcome outcome{"original_gravity_sg", normal_estimate(1.045, 0.003), 1.050, true, 0.005, {}};
    outcome.parts.push_back({"conversion", normal_estimate(part, 0.001), true});
    outcome.parts.push_back({"lautering", normal_estimate(0.005 - part, 0.004), false});
    Explanation explanation;
    explanation.brew = "B1";
    explanation.outcomes.push_back(outcome);
    return explanation;
}

} // namespace

TEST_CASE("a part is told as a share that people say, and one that is more than all in the outcome's unit") {
    CHECK(holds(explain_text(by_conversion(0.0026)),
                "higher than forecast by 0.0050: half of it is conversion; the rest is smaller than"));
    CHECK(holds(explain_text(by_conversion(0.0048)),
                "higher than forecast by 0.0050: nearly all of it is conversion; the rest is smaller than"));
    CHECK(holds(explain_text(by_conversion(0.0081)), "higher than forecast by 0.0050: conversion made 0.0081; what "
                                                     "worked against it, 0.0031, is smaller than what your readings can tell."));
}

TEST_CASE("nothing is left of a difference that one part made whole") {
    CHECK(holds(explain_text(by_conversion(0.005)), "higher than forecast by 0.0050: all of it is conversion. "));
    CHECK(holds(explain_text(by_conversion(0.00502)), "higher than forecast by 0.0050: all of it is conversion. "));
}

TEST_CASE("the parts that are named and what is left sum to the difference") {
    Explanation explanation = by_conversion(0.003);
    auto& parts = explanation.outcomes.front().parts;
    parts.back() = {"lautering", normal_estimate(0.0031, 0.001), true};
    parts.push_back({"boil-off and volume", normal_estimate(-0.0006, 0.0001), true});
    parts.push_back({"reading error", normal_estimate(-0.0005, 0.002), false});
    CHECK(holds(explain_text(explanation), "higher than forecast by 0.0050: lautering made 0.0031, conversion made "
                                           "0.0030; boil-off and volume worked against it by 0.0006; what "
                                           "worked against it, 0.0005, is smaller than what your readings can tell."));
}
