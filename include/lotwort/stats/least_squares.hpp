// Generalised nonlinear least squares: what quantities say, given readings that err and share errors.
//
//     y = f(theta) + e,  e ~ N(0, Sigma),  minimise (y - f)' Sigma^-1 (y - f)
//
// Gauss-Newton on the whitened problem (Sigma = L L', J~ = L^-1 J), each step by a rank-revealing QR. Where a full
// step does not descend it is damped by Levenberg and Marquardt's rule (Nocedal and Wright 2006, ch. 10).
// Uncertainties are those of the linearised problem at the solution: C = (J' Sigma^-1 J)^-1. This room knows no beer.
#pragma once

#include <Eigen/Core>
#include <functional>

namespace lotwort::stats {

struct LeastSquaresProblem {
    Eigen::VectorXd observed;   // y, m values
    Eigen::MatrixXd covariance; // Sigma, m x m, positive definite
    Eigen::VectorXd start;      // theta, n values
    Eigen::VectorXd scale;      // typical size of each theta, > 0: only conditions the numbers
    // Fills f (m) and J = df/dtheta (m x n) at theta.
    std::function<void(const Eigen::VectorXd& theta, Eigen::VectorXd& f, Eigen::MatrixXd& jacobian)> model;
    int max_iterations = 60;
    bool minimum_only = false; // theta, statistic and convergence alone: no covariances
    double tolerance = 1e-10;  // of the residual's part that a further step could still remove, in standard deviations
};

struct LeastSquaresSolution {
    Eigen::VectorXd theta;
    Eigen::MatrixXd covariance; // C, n x n; of a combination that nothing determines: undefined (see estimable)
    Eigen::VectorXd fitted;     // f(theta)
    Eigen::VectorXd residual;   // r = y - f
    Eigen::MatrixXd jacobian;
    Eigen::MatrixXd residual_covariance; // V = Sigma - J C J'
    Eigen::MatrixXd weight;              // Sigma^-1
    Eigen::MatrixXd null_space;          // n x (n - rank): directions of theta that no equation sees
    double statistic = 0.0;              // r' Sigma^-1 r, chi-square with degrees_of_freedom where all is well
    int rank = 0;
    int degrees_of_freedom = 0; // m - rank
    int iterations = 0;
    double remaining = 0.0; // length of the step still open, in standard deviations: the proof of convergence
    bool converged = false;

    // True where gradient' theta is determined by the equations (lies in the row space of J).
    [[nodiscard]] bool estimable(const Eigen::VectorXd& gradient) const;
};

// Throws Bug where Sigma is not positive definite or the model is not finite at the start.
[[nodiscard]] LeastSquaresSolution solve(const LeastSquaresProblem& problem);

// The generalised likelihood ratio for "observation i carries an unknown error b": T = (e_i' W r)^2 / (e_i' W V W e_i),
// chi-square with one degree of freedom if it carries none; b estimates the error (Narasimhan and Jordache
// 2000, ch. 7, for the linear case). `sees` is false where nothing else speaks of observation i.
struct MeanShift {
    bool sees = false;
    double statistic = 0.0;
    double error = 0.0;
    double error_sd = 0.0;
};
[[nodiscard]] MeanShift mean_shift(const LeastSquaresSolution& solution, int observation);

// Correlation of the evidence for errors in observations i and j: at +-1 they cannot be told apart.
[[nodiscard]] double evidence_correlation(const LeastSquaresSolution& solution, int i, int j);

} // namespace lotwort::stats
