// Fifty small substitutions against every yes/no pattern tried out; tests/bench/substitute_enumerated does 500.
#include "plan/enumerated.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/plan/verify_substitution.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

TEST_CASE("fifty small substitutions: the bound is the optimum of every pattern tried, the answer within 0.2 % of it") {
    int answered = 0, none = 0;
    const AnswerKind kinds[] = {AnswerKind::nearest, AnswerKind::cheapest, AnswerKind::oldest, AnswerKind::smaller};
    for (unsigned seed = 1; seed <= 50; ++seed) {
        const AnswerKind kind = kinds[seed % 4];
        const auto request = drawn_request(seed, kind);
        const double best = enumerated_optimum(request, kind);
        const auto found = substitute(request);
        CAPTURE(seed);
        CAPTURE(best);
        if (!std::isfinite(best) || (kind == AnswerKind::smaller && best > -1e-6)) {
            ++none;
            for (const auto& answer : found.answers) CHECK(answer.crumbs > 0); // only where a rule gave way
            continue;
        }
        REQUIRE(found.answers.size() == 1);
        ++answered;
        const auto& answer = found.answers[0];
        CHECK(std::abs(answer.bound - best) <= 1e-6 * std::max(1.0, std::abs(best)));
        if (answer.gap > 0.002) { // a small brew: it is the weigh step that costs so much
            const double stepped = enumerated_optimum(request, kind, true);
            CHECK(answer.objective - stepped <= 0.002 * std::max(1.0, std::abs(stepped)));
        }
        for (const auto& breach : breaches(request, answer)) FAIL_CHECK(breach);
    }
    CHECK(answered >= 20);
    CHECK(none >= 3);
}
