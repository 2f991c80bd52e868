// What is asked of substitute in the tests: a brew that is short of its base malt, and its answers by kind.
#pragma once

#include "near.hpp"
#include "plan/brewers_store.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/plan/substitute.hpp>
#include <lotwort/plan/verify_substitution.hpp>

namespace lotwort::test {

// Pale is 8 kg short, lager is there.
inline plan::SubstituteRequest short_of_pale() {
    plan::SubstituteRequest request;
    request.brews = {pale_ale("P1", "2026-03-01")};
    request.items = cards();
    request.lots = {lot("P", "pale", 12.0), lot("L", "lager", 25.0), lot("C", "crystal", 5.0), lot("B", "bitter", 1.0),
                    lot("F", "floral", 1.0)};
    request.today = day("2026-02-01");
    return request;
}

inline const plan::SubstituteAnswer* of_kind(const plan::Substitution& found, plan::AnswerKind kind) {
    const auto at = std::ranges::find(found.answers, kind, &plan::SubstituteAnswer::kind);
    return at == found.answers.end() ? nullptr : &*at;
}
const plan::SubstituteAnswer* of_kind(const plan::Substitution&&, plan::AnswerKind) = delete;

inline double taken(const plan::SubstituteAnswer& answer, const char* lot) {
    double sum = 0.0;
    for (const auto& line : answer.lines)
        if (line.lot == lot) sum += line.mass_kg;
    return sum;
}

inline plan::SubstituteAnswer nearest(plan::SubstituteRequest request) {
    request.kinds = {plan::AnswerKind::nearest};
    const auto found = plan::substitute(request);
    REQUIRE_MESSAGE(found.answers.size() == 1, (found.none.empty() ? "" : found.none[0].reason));
    for (const auto& breach : plan::breaches(request, found.answers[0])) FAIL_CHECK(breach);
    return found.answers[0];
}

inline plan::Effect nearest_recipe(plan::SubstituteRequest request) {
    request.kinds = {plan::AnswerKind::nearest};
    return plan::substitute(request).recipe.at("P1");
}

inline std::string why_none(plan::SubstituteRequest request) {
    request.kinds = {plan::AnswerKind::nearest};
    const auto found = plan::substitute(request);
    CHECK(found.answers.empty());
    REQUIRE(found.none.size() == 1);
    return found.none[0].reason;
}

} // namespace lotwort::test
