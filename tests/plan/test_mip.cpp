// The small interface to the solver: models that can be solved on paper, and small ones tried out in full.
#include "near.hpp"
#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdio>
#include <doctest/doctest.h>
#include <lotwort/plan/mip.hpp>
#include <random>
#include <unistd.h>

using namespace lotwort::test;

using namespace lotwort::plan;

TEST_CASE("a linear programme with its optimum at a corner") {
    // max 3x + 5y, x <= 4, 2y <= 12, 3x + 2y <= 18: x = 2, y = 6, 36
    Mip model;
    const int x = model.column("x", 0.0, 4.0, -3.0), y = model.column("y", 0.0, no_limit, -5.0);
    model.row("y", {{y, 2.0}}, -no_limit, 12.0);
    model.row("both", {{x, 3.0}, {y, 2.0}}, -no_limit, 18.0);
    const auto answer = solve(model);
    REQUIRE(answer.status == MipStatus::optimal);
    CHECK(answer.objective == near(-36.0, 1e-9));
    CHECK(answer.values[0] == near(2.0));
    CHECK(answer.values[1] == near(6.0));
    CHECK(answer.bound == near(-36.0));
}

TEST_CASE("nothing or at least so much: the take that is too small is not made") {
    // 0.3 wanted of a sack with a least take of 0.5, at a penalty of 2 a unit missing and 1 a unit taken:
    // nothing costs 0.6, 0.5 costs 0.5
    Mip model;
    const int take = model.column("take", 0.0, 2.0, 1.0), missing = model.column("missing", 0.0, no_limit, 2.0);
    const int taken = model.semicontinuous(take, 0.5);
    model.row("wanted", {{take, 1.0}, {missing, 1.0}}, 0.3, no_limit);
    auto answer = solve(model);
    CHECK(answer.objective == near(0.5));
    CHECK(answer.values[static_cast<std::size_t>(taken)] == 1.0);
    model.set_cost(missing, 1.5); // now nothing costs 0.45
    answer = solve(model);
    CHECK(answer.objective == near(0.45));
    CHECK(answer.values[static_cast<std::size_t>(take)] == 0.0);
}

TEST_CASE("whole weigh steps: the least multiple of 0.07 that is at least 1 is 1.05") {
    Mip model;
    const int mass = model.column("mass", 0.0, 5.0, 1.0);
    const int steps = model.in_steps(mass, 0.07);
    model.row("enough", {{mass, 1.0}}, 1.0, no_limit);
    const auto answer = solve(model);
    CHECK(answer.objective == near(1.05));
    CHECK(answer.values[static_cast<std::size_t>(steps)] == 15.0);
}

TEST_CASE("no answer is told from an answer, with whole numbers and without") {
    Mip model;
    const int x = model.column("x", 0.0, 1.0, 1.0);
    model.row("too much", {{x, 1.0}}, 2.0, no_limit);
    CHECK(solve(model).status == MipStatus::infeasible);
    CHECK_FALSE(solve(model).found());
    Mip odd; // 2n = 3
    const int n = odd.whole("n", 0.0, 5.0);
    odd.row("odd", {{n, 2.0}}, 3.0, 3.0);
    CHECK(solve(odd).status == MipStatus::infeasible);
}

namespace {

// 8 yes/no choices, 3 rows of small whole numbers.
Mip generated(unsigned seed, double& best) {
    std::mt19937 chance(seed);
    const auto draw = [&](int low, int high) {
        return low + static_cast<int>(chance() % static_cast<unsigned>(high - low + 1));
    };
    Mip model;
    for (int i = 0; i < 8; ++i) model.yes_no("y", draw(-9, 9));
    for (int r = 0; r < 3; ++r) {
        std::vector<Term> terms;
        for (int i = 0; i < 8; ++i) terms.push_back({i, static_cast<double>(draw(-5, 5))});
        model.row("r", terms, draw(-6, 0), draw(1, 8));
    }
    best = no_limit;
    for (unsigned pattern = 0; pattern < 256; ++pattern) {
        std::vector<double> values;
        for (unsigned i = 0; i < 8; ++i) values.push_back((pattern >> i) & 1U);
        if (model.worst_breach(values) == 0.0) best = std::min(best, model.objective_of(values));
    }
    return model;
}

} // namespace

TEST_CASE("forty small models agree with trying every pattern out") {
    int feasible = 0;
    for (unsigned seed = 1; seed <= 40; ++seed) {
        double best = no_limit;
        const Mip model = generated(seed, best);
        const auto answer = solve(model);
        CAPTURE(seed);
        CHECK(answer.found() == std::isfinite(best));
        if (!answer.found()) continue;
        ++feasible;
        CHECK(answer.objective == near(best, 1e-9));
        CHECK(model.worst_breach(answer.values) < 1e-6);
    }
    CHECK(feasible > 20);
}

TEST_CASE("an interrupt ends the search, with what there is") {
    // 30 numbers to be split as evenly as can be: no relaxation helps
    Mip model;
    std::mt19937 chance(7);
    std::vector<Term> sum;
    for (int i = 0; i < 30; ++i)
        sum.push_back({model.yes_no("left"), 2.0 * static_cast<double>(100000 + chance() % 900000)});
    double total = 0.0;
    for (const Term& term : sum) total += term.factor / 2.0;
    const int off = model.column("off", 0.0, no_limit, 1.0);
    auto above = sum, below = sum;
    above.push_back({off, -1.0});
    below.push_back({off, 1.0});
    model.row("above", above, -no_limit, total);
    model.row("below", below, total, no_limit);
    std::atomic<bool> stop = true;
    MipOptions options;
    options.stop = &stop;
    const auto stopped = solve(model, options);
    CHECK(stopped.status == MipStatus::stopped);
    CHECK(stopped.nodes < 50);
    options.stop = nullptr;
    options.most_nodes = 20;
    const auto limited = solve(model, options);
    CHECK(limited.status == MipStatus::stopped);
    if (limited.found()) {
        CHECK(model.worst_breach(limited.values) < 1e-5);
        CHECK(limited.bound <= limited.objective);
    }
}

TEST_CASE("the solver prints nothing") {
    std::fflush(stdout);
    std::FILE* caught = std::tmpfile();
    const int out = dup(1), err = dup(2);
    dup2(fileno(caught), 1);
    dup2(fileno(caught), 2);
    double best = 0.0;
    (void)solve(generated(3, best));
    Mip none;
    none.row("none", {{none.whole("n", 0.0, 1.0), 1.0}}, 3.0, 3.0);
    (void)solve(none);
    std::fflush(stdout);
    std::fflush(stderr);
    dup2(out, 1);
    dup2(err, 2);
    close(out);
    close(err);
    std::fseek(caught, 0, SEEK_END);
    CHECK(std::ftell(caught) == 0);
    std::fclose(caught);
}

TEST_CASE("a model is written as LP, a range as two rows") {
    Mip model;
    const int x = model.column("pale ale malt", 0.5, 4.0, 1.25), n = model.whole("takes", 0.0, 3.0);
    const int free = model.column("off", -no_limit, no_limit);
    model.row("extract", {{x, 0.8}, {n, -1.0}}, -1.0, 2.0);
    model.row("balance", {{free, 1.0}, {x, 1.0}}, 3.0, 3.0);
    CHECK(to_lp(model, "lotwort") == "\\ lotwort\n\\ C0: pale ale malt\n\\ C1: takes\n\\ C2: off\n"
                                     "Minimize\n COST: + 1.25 C0\nSubject To\n"
                                     "\\ R0: extract\n R0_low: + 0.8 C0 - 1 C1 >= -1\n R0_high: + 0.8 C0 - 1 C1 <= 2\n"
                                     "\\ R1: balance\n R1: + 1 C0 + 1 C2 = 3\n"
                                     "Bounds\n 0.5 <= C0 <= 4\n 0 <= C1 <= 3\n C2 free\nGeneral\n C1\nEnd\n");
}

TEST_CASE("a model is written as MPS") {
    Mip model;
    const int x = model.column("pale ale malt", 0.5, 4.0, 1.25), n = model.whole("takes", 0.0, 3.0);
    model.row("extract", {{x, 0.8}, {n, -1.0}}, -1.0, 2.0);
    CHECK(to_mps(model, "lotwort") ==
          "NAME lotwort FREE\nROWS\n N COST\n* R0: extract\n L R0\nCOLUMNS\n"
          "* C0: pale ale malt\n C0 COST 1.25\n C0 R0 0.8\n M1 'MARKER' 'INTORG'\n"
          "* C1: takes\n C1 COST 0\n C1 R0 -1\n MEND 'MARKER' 'INTEND'\nRHS\n RHS R0 2\n"
          "RANGES\n RNG R0 3\nBOUNDS\n LO BND C0 0.5\n UP BND C0 4\n UP BND C1 3\nENDATA\n");
}

TEST_CASE("a proof that is looked at twice, and an answer that is to be better than another") {
    // three sacks of 7 and two of 5, to be no less than 12.5: 14 by two of the first
    Mip model;
    const int large = model.whole("large", 0.0, 3.0, 7.0), small = model.whole("small", 0.0, 2.0, 5.0);
    model.row("enough", {{large, 7.0}, {small, 5.0}}, 12.5, no_limit);
    MipOptions options;
    CHECK_FALSE(solve(model, options).looked_twice);
    options.twice = true;
    const auto answer = solve(model, options);
    CHECK(answer.objective == near(14.0));
    CHECK(answer.looked_twice);
    options.better_than = 13.9;
    CHECK(solve(model, options).status == MipStatus::infeasible);
    options.better_than = 14.1;
    CHECK(solve(model, options).objective == near(14.0));
    model.row("too much", {{large, 7.0}, {small, 5.0}}, 40.0, no_limit); // 31 are all there is
    options.better_than = no_limit;
    const auto none = solve(model, options);
    CHECK(none.status == MipStatus::infeasible);
    CHECK(none.looked_twice);
}
