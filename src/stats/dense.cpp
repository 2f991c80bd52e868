#include "decompositions.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>

template class Eigen::LLT<Eigen::MatrixXd>;
template class Eigen::ColPivHouseholderQR<Eigen::MatrixXd>;
template class Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd>;

namespace lotwort::stats {

using Eigen::MatrixXd;
using Eigen::VectorXd;

VectorXd shortest_solution(const RankRevealing& a, const VectorXd& y) {
    return a.solve(y);
}

MatrixXd pseudo_inverse(const RankRevealing& a) {
    return a.pseudoInverse();
}

MatrixXd null_space(const RankRevealing& a) {
    // rows of Z in A P = Q [T 0; 0 0] Z past the rank span what A does not see
    const MatrixXd unseen = a.matrixZ().bottomRows(a.cols() - a.rank()).transpose();
    return a.colsPermutation() * unseen;
}

MatrixXd whitened(const Eigen::LLT<MatrixXd>& factor, const MatrixXd& a) {
    return factor.matrixL().solve(a);
}

MatrixXd inverse(const Eigen::LLT<MatrixXd>& factor) {
    return factor.solve(MatrixXd::Identity(factor.rows(), factor.rows()));
}

MatrixXd whitened(const MatrixXd& covariance, const MatrixXd& a) {
    const Eigen::LLT<MatrixXd> factor(covariance);
    LOTWORT_CHECK(factor.info() == Eigen::Success);
    return whitened(factor, a);
}

MatrixXd inverse(const MatrixXd& definite) {
    const Eigen::LLT<MatrixXd> factor(definite);
    LOTWORT_CHECK(factor.info() == Eigen::Success);
    return inverse(factor);
}

MatrixXd product(const MatrixXd& a, const MatrixXd& b) {
    return a * b;
}

MatrixXd sandwich(const MatrixXd& a, const MatrixXd& b) {
    return product(product(a, b), a.transpose());
}

MatrixXd beside(const MatrixXd& a, double threshold) {
    Eigen::ColPivHouseholderQR<MatrixXd> qr(a);
    qr.setThreshold(threshold);
    return MatrixXd(qr.householderQ()).rightCols(a.rows() - qr.rank());
}

MatrixXd pseudo_inverse(const MatrixXd& a) {
    return pseudo_inverse(RankRevealing(a));
}

Turned turned(const MatrixXd& a, const VectorXd& y) {
    const Eigen::ColPivHouseholderQR<MatrixXd> qr(a);
    const MatrixXd triangle = qr.matrixQR().topRows(std::min(a.rows(), a.cols())).triangularView<Eigen::Upper>();
    return {triangle * qr.colsPermutation().transpose(), qr.householderQ().transpose() * y};
}

} // namespace lotwort::stats
