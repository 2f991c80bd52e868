// Where a limit binds: the answer stays inside it, and the interval ends at it instead of being cut off.
#include "../../src/infer/reconcile/limits.hpp"
#include "near.hpp"
#include "simulated_brew.hpp"
#include <cmath>
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

// One unknown read once: y = x + e, sd 1.
stats::LeastSquaresProblem one_reading(double y) {
    stats::LeastSquaresProblem p;
    p.observed = VectorXd{{y}};
    p.covariance = MatrixXd{{1.0}};
    p.start = VectorXd{{1.0}};
    p.scale = VectorXd{{1.0}};
    p.model = [](const VectorXd& x, VectorXd& f, MatrixXd& jacobian) {
        jacobian.setOnes();
        f = x;
    };
    return p;
}

const std::vector<infer_detail::Limit> not_below_zero{{"zero", VectorXd{{1.0}}}};

} // namespace

TEST_CASE("far from the limit the interval is the normal one") {
    const auto e = infer_detail::solve_within(one_reading(10.0), not_below_zero).estimate(10.0, VectorXd{{1.0}});
    CHECK(e.sd == near(1.0));
    CHECK(e.low == near(10.0 - 1.6449, 1e-5));
}

TEST_CASE("a reading beyond the limit answers the limit, and the interval leaves a tenth of what is possible") {
    // x is N(-1, 1) over x >= 0: the likeliest 90 % run from 0 to h, 1 - Phi(h + 1) = 0.1 (1 - Phi(1)); SciPy's
    // norm.isf
    const auto limited = infer_detail::solve_within(one_reading(-1.0), not_below_zero);
    CHECK(std::abs(limited.solution.theta[0]) < 1e-6);
    REQUIRE(limited.held.size() == 1);
    const auto e = limited.estimate(limited.solution.theta[0], VectorXd{{1.0}});
    CHECK(std::abs(e.low) < 1e-3);
    CHECK(std::abs(e.high - 1.147782) < 2e-3);
}

TEST_CASE("near the limit the interval is cut on one side and wider on the other") {
    // x is N(1, 1) over x >= 0: Phi(h - 1) = Phi(-1) + 0.9 Phi(1); SciPy's norm.ppf
    const auto e = infer_detail::solve_within(one_reading(1.0), not_below_zero).estimate(1.0, VectorXd{{1.0}});
    CHECK(std::abs(e.low) < 1e-3);
    CHECK(std::abs(e.high - 2.377787) < 2e-3);
}

TEST_CASE("a limit on what nothing was read of is held as well") {
    // x + y is read, and nothing of x - y; the search begins with y far below nothing
    stats::LeastSquaresProblem p;
    p.observed = VectorXd{{2.0}};
    p.covariance = MatrixXd{{0.01}};
    p.start = VectorXd{{12.0, -10.0}};
    p.scale = VectorXd{{10.0, 10.0}};
    p.model = [](const VectorXd& theta, VectorXd& f, MatrixXd& jacobian) {
        jacobian.setOnes();
        f[0] = theta.sum();
    };
    const std::vector<infer_detail::Limit> limits{{"x", VectorXd{{1.0, 0.0}}}, {"y", VectorXd{{0.0, 1.0}}}};
    const auto either = infer_detail::solve_within(p, limits);
    CHECK(std::abs(either.solution.theta.sum() - 2.0) < 1e-6);
    CHECK(std::abs(either.solution.theta[1]) < 1e-6);
    CHECK(infer_detail::is_settled(either, limits));
    // and where not even a sum tells of it
    p.model = [](const VectorXd& theta, VectorXd& f, MatrixXd& jacobian) {
        jacobian << 1.0, 0.0;
        f[0] = theta[0];
    };
    const auto unseen = infer_detail::solve_within(p, limits);
    CHECK(std::abs(unseen.solution.theta[0] - 2.0) < 1e-6);
    CHECK(std::abs(unseen.solution.theta[1]) < 1e-6);
    CHECK(infer_detail::is_settled(unseen, limits));
    CHECK(std::isfinite(unseen.estimate(2.0, VectorXd{{1.0, 0.0}}).sd));
}

TEST_CASE("a figure that is the limit itself ends at it: no interval beyond") {
    // q = 1 - x, x >= 0, read at x = -1: q is 1 at the limit, and nothing above 1 can be
    const auto limited = infer_detail::solve_within(one_reading(-1.0), not_below_zero);
    const auto e = limited.estimate(1.0 - limited.solution.theta[0], VectorXd{{-1.0}});
    CHECK(std::abs(e.high - 1.0) < 1e-3);
    CHECK(std::abs(e.low - (1.0 - 1.147782)) < 2e-3);
}

TEST_CASE("two limits at once: the interval holds 90 % of what lies inside both, summed cell by cell") {
    // x and y read at mean with sd 1 and correlation rho; x >= 0 and y >= 0; the figure asked for is x - y / 2
    struct Case {
        double x, y, rho;
    };
    for (const auto& [x0, y0, rho] : {Case{-0.5, 0.3, 0.6}, {0.5, -1.0, -0.5}, {-1.0, -1.0, 0.3}, {1.5, 0.2, 0.8}}) {
        INFO("x " << x0 << ", y " << y0 << ", correlation " << rho);
        stats::LeastSquaresProblem p;
        p.observed = VectorXd{{x0, y0}};
        p.covariance = MatrixXd{{1.0, rho}, {rho, 1.0}};
        p.start = VectorXd{{1.0, 1.0}};
        p.scale = VectorXd{{1.0, 1.0}};
        p.model = [](const VectorXd& x, VectorXd& f, MatrixXd& jacobian) {
            jacobian.setIdentity();
            f = x;
        };
        const auto limited = infer_detail::solve_within(p, {{"x", VectorXd{{1.0, 0.0}}}, {"y", VectorXd{{0.0, 1.0}}}});
        const VectorXd asked{{1.0, -0.5}};
        const auto e = limited.estimate(asked.dot(limited.solution.theta), asked);
        double inside = 0.0, all = 0.0;
        for (double x = 0.005; x < 8.0; x += 0.01)
            for (double y = 0.005; y < 8.0; y += 0.01) {
                const double u = x - x0, v = y - y0;
                const double mass = std::exp(-0.5 * (u * u - 2.0 * rho * u * v + v * v) / (1.0 - rho * rho));
                all += mass;
                if (x - 0.5 * y >= e.low && x - 0.5 * y <= e.high) inside += mass;
            }
        CHECK(std::abs(inside / all - 0.9) < 0.012);
    }
}

TEST_CASE("readings that ask for more extract than the grist holds answer a conversion of 100 % and say so") {
    auto brew = simulate({.conversion = 0.99});
    read_everything(brew);
    for (auto& r : brew.input.brew.readings)
        if (r.gravity_sg) r.gravity_sg = *r.gravity_sg + GravityDifference(0.002);
    brew.input.lots.at("malt").lot.certificate->extract_sd = Percent(0.2);
    const auto r = reconcile(brew.input);
    const auto& conversion = *r.efficiencies.conversion.estimate;
    CHECK(conversion.value <= 1.0 + 1e-5);
    CHECK(conversion.high <= 1.0 + 1e-5);
    CHECK(conversion.low < conversion.value);
    CHECK(std::abs(conversion.value - 1.0) < 1e-5);
    bool said = false;
    for (const auto& remark : r.remarks) said = said || remark.starts_with("no more can dissolve than the grist holds");
    CHECK(said);
}
