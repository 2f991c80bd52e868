// Data reconciliation and gross-error tests on the published heat-exchanger bypass (Narasimhan and Jordache
// 2000), where readings and balances are linear.
#include "golden.hpp"
#include "near.hpp"
#include <array>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/stats/distributions.hpp>
#include <lotwort/stats/least_squares.hpp>

using namespace lotwort;
using namespace lotwort::test;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

// Six streams: 1 feed splits into 2 and 3, which leave as 4 and 5 and join as 6. Two flows fix them all.
stats::LeastSquaresSolution reconciled(double second_stream) {
    stats::LeastSquaresProblem p;
    p.observed = VectorXd{{101.91, second_stream, 34.65, 64.20, 36.44, 98.88}};
    p.covariance = MatrixXd::Identity(6, 6);
    p.start = VectorXd{{1.0, 1.0}};
    p.scale = VectorXd{{1.0, 1.0}};
    p.model = [](const VectorXd& flow, VectorXd& f, MatrixXd& jacobian) {
        jacobian << 1, 1, 1, 0, 0, 1, 1, 0, 0, 1, 1, 1;
        f = jacobian * flow;
    };
    return stats::solve(p);
}

} // namespace

TEST_CASE("the published reconciliation example comes out at its printed values") {
    for (const auto& row : test::golden_rows("11_reconciliation.tsv")) {
        if (row.function != "ds_dr") continue;
        const auto solution = reconciled(row.words.at("case") == "bias" ? 68.45 : 64.45);
        const std::string what = row.words.at("what");
        const int i = row.args.contains("i") ? static_cast<int>(row.arg("i")) - 1 : 0;
        double found = 0.0;
        if (what == "x")
            found = solution.fitted[i];
        else if (what == "gamma")
            found = solution.statistic;
        else if (what == "za") // measurement test: root of the likelihood ratio for an error in one reading
            found = std::sqrt(stats::mean_shift(solution, i).statistic);
        else if (what == "zc") // nodal test: of the balances themselves, A y
            found = [&] {
                const std::array<std::array<double, 6>, 4> a{
                    {{1, -1, -1, 0, 0, 0}, {0, 1, 0, -1, 0, 0}, {0, 0, 1, 0, -1, 0}, {0, 0, 0, 1, 1, -1}}};
                double imbalance = 0.0, variance = 0.0;
                for (std::size_t k = 0; k < 6; ++k) {
                    const double y = solution.fitted[static_cast<int>(k)] + solution.residual[static_cast<int>(k)];
                    imbalance += a[static_cast<std::size_t>(i)][k] * y;
                    variance += a[static_cast<std::size_t>(i)][k] * a[static_cast<std::size_t>(i)][k];
                }
                return std::abs(imbalance) / std::sqrt(variance);
            }();
        CHECK_MESSAGE(std::abs(found - row.expected) <= row.tolerance, row.id, " ", what, " ", found);
    }
    CHECK(reconciled(64.45).degrees_of_freedom == 4);
}

TEST_CASE("the biased stream is the strongest suspect and its error is estimated near the 4 that was added") {
    const auto solution = reconciled(68.45);
    int strongest = 0;
    for (int i = 1; i < 6; ++i)
        if (stats::mean_shift(solution, i).statistic > stats::mean_shift(solution, strongest).statistic) strongest = i;
    CHECK(strongest == 1);
    const auto shift = stats::mean_shift(solution, 1);
    CHECK(std::abs(shift.error - 4.0) < 2.0 * shift.error_sd);
}

TEST_CASE("an error that two readings share does not average out") {
    // two readings of one quantity, 1 own error each and a shared bias of 1: sd = sqrt(1/2 + 1), by hand
    stats::LeastSquaresProblem p;
    p.observed = VectorXd{{10.0, 12.0}};
    p.covariance = MatrixXd{{2.0, 1.0}, {1.0, 2.0}};
    p.start = VectorXd{{0.0}};
    p.scale = VectorXd{{1.0}};
    p.model = [](const VectorXd& x, VectorXd& f, MatrixXd& jacobian) {
        jacobian.setOnes();
        f = jacobian * x;
    };
    const auto solution = stats::solve(p);
    CHECK(solution.theta[0] == near(11.0));
    CHECK(std::sqrt(solution.covariance(0, 0)) == near(std::sqrt(1.5)));
}

TEST_CASE("what no equation sees is said, not invented") {
    // only the sum of two unknowns is read
    stats::LeastSquaresProblem p;
    p.observed = VectorXd{{5.0}};
    p.covariance = MatrixXd{{0.04}};
    p.start = VectorXd{{1.0, 100.0}};
    p.scale = VectorXd{{1.0, 100.0}};
    p.model = [](const VectorXd& x, VectorXd& f, MatrixXd& jacobian) {
        jacobian.setOnes();
        f = jacobian * x;
    };
    const auto solution = stats::solve(p);
    CHECK(solution.rank == 1);
    CHECK(solution.degrees_of_freedom == 0);
    CHECK(solution.estimable(VectorXd{{1.0, 1.0}}));
    CHECK_FALSE(solution.estimable(VectorXd{{1.0, 0.0}}));
    CHECK_FALSE(solution.estimable(VectorXd{{1.0, -1.0}}));
    const VectorXd sum{{1.0, 1.0}};
    CHECK(std::sqrt(sum.dot(solution.covariance * sum)) == near(0.2));
}

TEST_CASE("tail probabilities and quantiles at values printed in every table") {
    CHECK(stats::chi_square_upper_tail(9.488, 4) ==
          near(0.05, 0.0, 1.1e-5)); // half a unit of the printed 9.488, by the density 0.0206
    CHECK(stats::chi_square_quantile(0.95, 4) == near(9.488, 1e-4));
    CHECK(stats::normal_quantile(0.95) == near(1.644854, 1e-6));
}

TEST_CASE("two readings of one quantity: either may be out by their difference, and nobody can tell which") {
    stats::LeastSquaresProblem p;
    p.observed = Eigen::Vector2d(10.0, 13.0);
    p.covariance = Eigen::Vector2d(1.0, 4.0).asDiagonal(); // good to 1 and to 2
    p.start = Eigen::VectorXd::Constant(1, 11.0);
    p.scale = Eigen::VectorXd::Constant(1, 10.0);
    p.model = [](const Eigen::VectorXd& theta, Eigen::VectorXd& f, Eigen::MatrixXd& jacobian) {
        f.setConstant(theta[0]);
        jacobian.setOnes();
    };
    const auto solution = stats::solve(p);
    const auto shift = stats::mean_shift(solution, 0);
    CHECK(shift.error == near(-3.0));
    CHECK(shift.error_sd == near(std::sqrt(5.0)));
    CHECK(shift.statistic == near(9.0 / 5.0));
    CHECK(stats::evidence_correlation(solution, 0, 1) == near(-1.0));
}
