// Many brews, a few opened at a time: what comes out keeps every rule, and comes near what all together would give.
#include "../../src/plan/substitute/thin.hpp"
#include "../../src/plan/substitute/windows.hpp"
#include "brewery.hpp"
#include "near.hpp"
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

// The six with windows on them.
struct Opened {
    SubstituteRequest request;
    AnswerKind kind;
    SubstitutionCase six = substitution_case(request);
    MipOptions limits;
    Budget budget{limits};
    Windows windows{six, kind, {}, budget};

    explicit Opened(double odd, AnswerKind asked = AnswerKind::nearest) : request(six_brews(odd)), kind(asked) {}

    void check_rules() const {
        const Solved solved = windows.solved();
        REQUIRE(solved.found);
        SubstituteAnswer answer;
        answer.kind = kind;
        answer.objective = solved.objective;
        answer.lines = solved.lines;
        answer.scale = solved.scale;
        answer.crumbs = solved.crumbs;
        for (const auto& breach : breaches(request, answer)) FAIL_CHECK(breach);
    }
};

} // namespace

TEST_CASE("brews filled in turn and opened together keep every rule and come near the best of all") {
    Opened open(0.0);
    const double bound = linear_bound(open.six, AnswerKind::nearest); // of all together, by another way
    REQUIRE(bound > 1.0);                                             // some lager has to go in
    REQUIRE(open.windows.fill());
    const double filled = open.windows.objective();
    open.check_rules();
    open.windows.improve(bound, 0.005);
    CHECK(open.windows.objective() <= filled);
    CHECK(open.windows.objective() >= bound - 1e-6);
    CHECK(open.windows.objective() == near(bound, 0.02));
    open.check_rules();
}

TEST_CASE("a lot that ends between two weigh steps is taken whole by one brew or keeps more than a crumb") {
    Opened open(0.004);
    REQUIRE(open.windows.fill());
    open.check_rules();
}

TEST_CASE("what is reserved for a brew is left to it, and put into steps in its turn") {
    Opened open(0.0);
    REQUIRE(open.windows.fill({{"P6", 0, "pale", "A", 19.9963}})); // the last brew's, by the scoop and not by the step
    double pale = 0.0;
    for (const auto& line : open.windows.solved().lines)
        if (line.brew == "P6" && line.line == 0 && line.lot == "A") pale += line.mass_kg;
    CHECK(pale == near(20.0, 0.015));
    open.check_rules();
}

TEST_CASE("a better answer from elsewhere is taken, a worse one is not") {
    Opened open(0.0, AnswerKind::smaller);
    REQUIRE(open.windows.fill());
    const double before = open.windows.objective();
    Solved other = open.windows.solved();
    for (auto& [code, scale] : other.scale) scale = 0.5;
    other.objective = 0.5 * before;
    open.windows.adopt(other);
    CHECK(open.windows.objective() == before);
    Opened empty(0.0, AnswerKind::smaller);
    empty.windows.adopt(other);
    CHECK(empty.windows.objective() == near(0.5 * before));
    empty.windows.adopt(open.windows.solved());
    CHECK(empty.windows.objective() == near(before));
}
