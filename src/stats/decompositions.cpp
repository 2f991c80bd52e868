#include "decompositions.hpp"

template class Eigen::ColPivHouseholderQR<Eigen::MatrixXd>;
template class Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd>;
