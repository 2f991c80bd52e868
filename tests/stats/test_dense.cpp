// What a matrix reaches and what it does not, held to the equations that define it.
#include "near.hpp"
#include <doctest/doctest.h>
#include <Eigen/Dense>
#include <lotwort/stats/dense.hpp>

using namespace lotwort;
using namespace lotwort::test;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

// the third column is the first less twice the second: rank 2
const MatrixXd of_rank_two{{1.0, 2.0, -3.0}, {0.5, -1.0, 2.5}, {2.0, 0.3, 1.4}, {-1.0, 1.2, -3.4}, {0.7, 0.1, 0.5}};

bool same(const MatrixXd& a, const MatrixXd& b) {
    return (a - b).norm() <= 1e-12 * (1.0 + a.norm() + b.norm());
}

} // namespace

TEST_CASE("what lies beside a matrix is orthonormal, meets none of its columns, and fills up the space") {
    const MatrixXd b = stats::beside(of_rank_two);
    CHECK(b.cols() == 3); // 5 rows less rank 2
    CHECK(same(b.transpose() * b, MatrixXd::Identity(3, 3)));
    CHECK(same(b.transpose() * of_rank_two, MatrixXd::Zero(3, 3)));
}

TEST_CASE("the pseudo-inverse keeps Penrose's four equations") {
    const MatrixXd& a = of_rank_two;
    const MatrixXd x = stats::pseudo_inverse(a);
    CHECK(same(a * x * a, a));
    CHECK(same(x * a * x, x));
    CHECK(same((a * x).transpose(), a * x));
    CHECK(same((x * a).transpose(), x * a));
}

TEST_CASE("turned equations say of x what the others said, and the rest keeps what is left") {
    const MatrixXd a = of_rank_two.leftCols(2);
    const VectorXd y{{0.3, -1.0, 2.2, 0.4, 1.7}};
    const auto [rows, turned] = stats::turned(a, y);
    CHECK(rows.rows() == 2);
    CHECK(same(rows.transpose() * rows, a.transpose() * a));
    CHECK(same(rows.transpose() * turned.head(2), a.transpose() * y));
    CHECK(turned.norm() == near(y.norm()));
    const VectorXd best = (a.transpose() * a).inverse() * (a.transpose() * y);
    CHECK(turned.tail(3).norm() == near((y - a * best).norm()));
}
