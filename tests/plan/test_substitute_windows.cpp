// Many brews, a few opened at a time: what comes out keeps every rule, and comes near what all together would give.
#include "../../src/plan/substitute_thin.hpp"
#include "../../src/plan/substitute_windows.hpp"
#include "brewery.hpp"
#include <doctest/doctest.h>
#include <lotwort/plan/verify_substitution.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

// Six brews that ask for 120 kg of pale; 117 kg of it in lots, each with `odd` kg beyond a weigh step, and lager beside
// it.
SubstituteRequest six_brews(double odd) {
    SubstituteRequest request;
    request.today = day("2026-02-01");
    request.items = cards();
    for (int b = 0; b < 6; ++b) {
        auto brew = pale_ale(("P" + std::to_string(b + 1)).c_str(), "2026-03-01");
        brew.date += std::chrono::days(7 * b);
        request.brews.push_back(brew);
    }
    request.lots = {lot("A", "pale", 31.0 + odd), lot("B", "pale", 26.0 + odd), lot("C", "pale", 35.0 + odd),
                    lot("D", "pale", 25.0 + odd), lot("L", "lager", 25.0),      lot("K", "crystal", 8.0),
                    lot("H", "bitter", 0.8),      lot("F", "floral", 1.2)};
    return request;
}

SubstituteAnswer as_answer(const Solved& solved, AnswerKind kind) {
    SubstituteAnswer answer;
    answer.kind = kind;
    answer.objective = solved.objective;
    answer.lines = solved.lines;
    answer.scale = solved.scale;
    answer.crumbs = solved.crumbs;
    return answer;
}

} // namespace

TEST_CASE("brews filled in turn and opened together keep every rule and come near the best of all") {
    const auto request = six_brews(0.0);
    const auto c = substitution_case(request);
    const double bound = linear_bound(c, AnswerKind::nearest); // of all together, by another way
    REQUIRE(bound > 1.0);                                      // some lager has to go in
    const MipOptions limits;
    Budget budget(limits);
    Windows windows(c, AnswerKind::nearest, {}, budget);
    REQUIRE(windows.fill());
    const double filled = windows.objective();
    for (const auto& breach : breaches(request, as_answer(windows.solved(), AnswerKind::nearest))) FAIL_CHECK(breach);
    windows.improve(bound, 0.005);
    CHECK(windows.objective() <= filled);
    CHECK(windows.objective() >= bound - 1e-6);
    CHECK(windows.objective() == doctest::Approx(bound).epsilon(0.02));
    for (const auto& breach : breaches(request, as_answer(windows.solved(), AnswerKind::nearest))) FAIL_CHECK(breach);
}

TEST_CASE("a lot that ends between two weigh steps is taken whole by one brew or keeps more than a crumb") {
    const auto request = six_brews(0.004);
    const auto c = substitution_case(request);
    const MipOptions limits;
    Budget budget(limits);
    Windows windows(c, AnswerKind::nearest, {}, budget);
    REQUIRE(windows.fill());
    for (const auto& breach : breaches(request, as_answer(windows.solved(), AnswerKind::nearest))) FAIL_CHECK(breach);
}

TEST_CASE("what is reserved for a brew is left to it, and put into steps in its turn") {
    const auto request = six_brews(0.0);
    const auto c = substitution_case(request);
    const MipOptions limits;
    Budget budget(limits);
    Windows windows(c, AnswerKind::nearest, {}, budget);
    std::vector<AnswerLine> reserved; // the last brew's, by the scoop and not by the step
    reserved.push_back({"P6", 0, "pale", "A", 19.9963});
    REQUIRE(windows.fill(reserved));
    double pale = 0.0;
    for (const auto& line : windows.solved().lines)
        if (line.brew == "P6" && line.line == 0 && line.lot == "A") pale += line.mass_kg;
    CHECK(pale == doctest::Approx(20.0).epsilon(0.015));
    for (const auto& breach : breaches(request, as_answer(windows.solved(), AnswerKind::nearest))) FAIL_CHECK(breach);
}

TEST_CASE("a better answer from elsewhere is taken, a worse one is not") {
    auto request = six_brews(0.0);
    request.kinds = {AnswerKind::smaller};
    const auto c = substitution_case(request);
    const MipOptions limits;
    Budget budget(limits);
    Windows windows(c, AnswerKind::smaller, {}, budget);
    REQUIRE(windows.fill());
    const double before = windows.objective();
    Solved other = windows.solved();
    for (auto& [code, scale] : other.scale) scale = 0.5;
    other.objective = 0.5 * before;
    windows.adopt(other);
    CHECK(windows.objective() == before);
}
