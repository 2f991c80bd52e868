// Where a limit binds: the answer stays inside it, and the interval ends at it instead of being cut off.
#include "../../src/infer/limits.hpp"
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
    CHECK(e.sd == doctest::Approx(1.0));
    CHECK(e.low == doctest::Approx(10.0 - 1.6449).epsilon(1e-5));
}

TEST_CASE("a reading beyond the limit answers the limit, with the profile's interval by hand") {
    // S(x) = (x + 1)^2 over x >= 0: best at 0 with S = 1; S - 1 <= 2.7055 up to sqrt(3.7055) - 1
    const auto limited = infer_detail::solve_within(one_reading(-1.0), not_below_zero);
    CHECK(std::abs(limited.solution.theta[0]) < 1e-6);
    REQUIRE(limited.held.size() == 1);
    const auto e = limited.estimate(limited.solution.theta[0], VectorXd{{1.0}});
    CHECK(std::abs(e.low) < 1e-6);
    CHECK(e.high == doctest::Approx(std::sqrt(1.0 + 2.705543) - 1.0).epsilon(1e-5));
}

TEST_CASE("near the limit the interval is cut on one side only where the likelihood is") {
    // S(x) = (x - 1)^2 over x >= 0: best 0 at 1; reaches 2.7055 at 1 + 1.6449 above, and the limit below
    const auto e = infer_detail::solve_within(one_reading(1.0), not_below_zero).estimate(1.0, VectorXd{{1.0}});
    CHECK(std::abs(e.low) < 1e-6);
    CHECK(e.high == doctest::Approx(2.6449).epsilon(1e-4));
}

TEST_CASE("a figure that is the limit itself ends at it: no interval beyond") {
    // q = 1 - x, x >= 0, read at x = -1: q is 1 at the limit, and nothing above 1 can be
    const auto limited = infer_detail::solve_within(one_reading(-1.0), not_below_zero);
    const auto e = limited.estimate(1.0 - limited.solution.theta[0], VectorXd{{-1.0}});
    CHECK(std::abs(e.high - 1.0) < 1e-6);
    CHECK(e.low == doctest::Approx(2.0 - std::sqrt(1.0 + 2.705543)).epsilon(1e-5));
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
