// Eigen's dense work that several sources ask for, compiled once (dense.cpp) instead of in each.
#pragma once

#include <Eigen/Cholesky>
#include <Eigen/QR>
#include <lotwort/stats/dense.hpp>

extern template class Eigen::LLT<Eigen::MatrixXd>;
extern template class Eigen::ColPivHouseholderQR<Eigen::MatrixXd>;
extern template class Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd>;

namespace lotwort::stats {

using RankRevealing = Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd>;

// The shortest x that minimizes |y - A x|.
[[nodiscard]] Eigen::VectorXd shortest_solution(const RankRevealing& a, const Eigen::VectorXd& y);

[[nodiscard]] Eigen::MatrixXd pseudo_inverse(const RankRevealing& a);

// The directions of x that A does not see, as columns.
[[nodiscard]] Eigen::MatrixXd null_space(const RankRevealing& a);

// L^-1 a of S = L L^T.
[[nodiscard]] Eigen::MatrixXd whitened(const Eigen::LLT<Eigen::MatrixXd>& factor, const Eigen::MatrixXd& a);

[[nodiscard]] Eigen::MatrixXd inverse(const Eigen::LLT<Eigen::MatrixXd>& factor);

} // namespace lotwort::stats
