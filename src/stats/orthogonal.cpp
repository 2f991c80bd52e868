#include "decompositions.hpp"
#include <algorithm>
#include <lotwort/stats/orthogonal.hpp>

namespace lotwort::stats {

using Eigen::MatrixXd;
using Eigen::VectorXd;

MatrixXd beside(const MatrixXd& a, double threshold) {
    Eigen::ColPivHouseholderQR<MatrixXd> qr(a);
    qr.setThreshold(threshold);
    return MatrixXd(qr.householderQ()).rightCols(a.rows() - qr.rank());
}

MatrixXd pseudo_inverse(const MatrixXd& a) {
    return a.completeOrthogonalDecomposition().pseudoInverse();
}

Turned turned(const MatrixXd& a, const VectorXd& y) {
    const Eigen::ColPivHouseholderQR<MatrixXd> qr(a);
    const MatrixXd triangle = qr.matrixQR().topRows(std::min(a.rows(), a.cols())).triangularView<Eigen::Upper>();
    return {triangle * qr.colsPermutation().transpose(), qr.householderQ().transpose() * y};
}

} // namespace lotwort::stats
