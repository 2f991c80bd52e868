// Eigen's rank-revealing decompositions of a dense matrix, compiled once (decompositions.cpp) instead of in each
// source.
#pragma once

#include <Eigen/QR>

extern template class Eigen::ColPivHouseholderQR<Eigen::MatrixXd>;
extern template class Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd>;
