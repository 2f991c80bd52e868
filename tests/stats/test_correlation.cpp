// GUM annex H.2: resistance and reactance from simultaneous readings of V, I and phase. Left out, the
// correlations between the readings give the wrong uncertainty; the negative test is kept.
#include "golden.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/stats/least_squares.hpp>

using namespace lotwort;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

const MatrixXd readings{{5.007, 4.994, 5.005, 4.990, 4.999},      // V
                        {19.663, 19.639, 19.640, 19.685, 19.678}, // mA
                        {1.0456, 1.0438, 1.0468, 1.0428, 1.0433}};

struct Impedance {
    VectorXd value; // R, X, Z
    VectorXd sd;
    MatrixXd correlation; // of the readings' means
};

Impedance impedance(bool with_correlation) {
    const VectorXd mean = readings.rowwise().mean();
    const MatrixXd deviation = readings.colwise() - mean;
    MatrixXd covariance = deviation * deviation.transpose() / 20.0; // n (n - 1)
    const VectorXd u = covariance.diagonal().cwiseSqrt();
    Impedance out;
    out.correlation = u.cwiseInverse().asDiagonal() * covariance * u.cwiseInverse().asDiagonal();
    if (!with_correlation) covariance = MatrixXd(covariance.diagonal().asDiagonal());

    // unknowns V, I, phi read directly; R = V/I cos phi and its kin are functions of them
    stats::LeastSquaresProblem p;
    p.observed = mean;
    p.covariance = covariance;
    p.start = VectorXd{{1.0, 1.0, 1.0}};
    p.scale = mean;
    p.model = [](const VectorXd& x, VectorXd& f, MatrixXd& jacobian) {
        jacobian.setIdentity();
        f = x;
    };
    const auto s = stats::solve(p);
    const double v = s.theta[0], i = s.theta[1] / 1000.0, phi = s.theta[2], z = v / i;
    out.value = VectorXd{{z * std::cos(phi), z * std::sin(phi), z}};
    MatrixXd slope(3, 3);
    slope << std::cos(phi) / i, -z * std::cos(phi) / i / 1000.0, -z * std::sin(phi), //
        std::sin(phi) / i, -z * std::sin(phi) / i / 1000.0, z * std::cos(phi),       //
        1.0 / i, -z / i / 1000.0, 0.0;
    out.sd = (slope * s.covariance * slope.transpose()).diagonal().cwiseSqrt();
    return out;
}

} // namespace

TEST_CASE("GUM H.2 at its printed values, and at the wrong ones where correlation is left out") {
    const auto right = impedance(true), wrong = impedance(false);
    for (const auto& row : test::golden_rows("11_reconciliation.tsv")) {
        if (row.function != "ds_gum_h2") continue;
        const std::string which = row.words.at("which");
        const std::map<std::string, double> found{{"R", right.value[0]},
                                                  {"X", right.value[1]},
                                                  {"Z", right.value[2]},
                                                  {"u_R", right.sd[0]},
                                                  {"u_X", right.sd[1]},
                                                  {"u_Z", right.sd[2]},
                                                  {"r_VI", right.correlation(0, 1)},
                                                  {"r_Vphi", right.correlation(0, 2)},
                                                  {"r_Iphi", right.correlation(1, 2)},
                                                  {"u0_R", wrong.sd[0]},
                                                  {"u0_X", wrong.sd[1]}};
        CHECK_MESSAGE(std::abs(found.at(which) - row.expected) <= row.tolerance, row.id, " ", which, " ",
                      found.at(which));
    }
}
