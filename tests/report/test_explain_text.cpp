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
    CHECK(holds(explain_text(by_conversion(0.0026)), "higher than forecast by 0.0050: half is conversion; the rest"));
    CHECK(holds(explain_text(by_conversion(0.0051)), "higher than forecast by 0.0050: all is conversion; the rest"));
    CHECK(holds(explain_text(by_conversion(0.0081)),
                "higher than forecast by 0.0050: conversion alone comes to 0.0081; the rest"));
}
