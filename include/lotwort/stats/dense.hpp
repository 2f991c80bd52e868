// Dense matrices: what one reaches and what it does not (the parts of readings that some unknowns could explain, and
// the rest). Also the products and factors that several sources need, compiled once.
//
// What is reached is found by QR with column pivots (Golub and Van Loan, Matrix Computations, 4th ed., 5.4.2): a pivot
// below `threshold` of the largest counts as none. Columns are to be of comparable size.
#pragma once

#include <Eigen/Core>

namespace lotwort::stats {

// Orthonormal columns that span what the columns of `a` (m x n) do not reach: m x (m - rank).
[[nodiscard]] Eigen::MatrixXd beside(const Eigen::MatrixXd& a, double threshold = 1e-9);

// Moore and Penrose's inverse, n x m; pivots below 1e-15 or so of the largest count as none.
[[nodiscard]] Eigen::MatrixXd pseudo_inverse(const Eigen::MatrixXd& a);

// a x = y turned so that no more rows than min(m, n) speak of x: rows x = the first of turned, of norms that fall; the
// others of turned speak of y alone. An orthogonal turn: errors N(0, 1) stay so.
struct Turned {
    Eigen::MatrixXd rows; // min(m, n) x n
    Eigen::VectorXd turned;
};
[[nodiscard]] Turned turned(const Eigen::MatrixXd& a, const Eigen::VectorXd& y);

[[nodiscard]] Eigen::MatrixXd product(const Eigen::MatrixXd& a, const Eigen::MatrixXd& b);

// a b a^T
[[nodiscard]] Eigen::MatrixXd sandwich(const Eigen::MatrixXd& a, const Eigen::MatrixXd& b);

// L^-1 a, where S = L L^T is the covariance of a's rows: errors N(0, S) become N(0, 1). S must be positive definite
// (Bug otherwise).
[[nodiscard]] Eigen::MatrixXd whitened(const Eigen::MatrixXd& covariance, const Eigen::MatrixXd& a);

// Of a positive definite matrix (Bug otherwise).
[[nodiscard]] Eigen::MatrixXd inverse(const Eigen::MatrixXd& definite);

} // namespace lotwort::stats
