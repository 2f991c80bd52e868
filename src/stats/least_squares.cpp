#include "decompositions.hpp"
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/least_squares.hpp>

namespace lotwort::stats {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int most_idle = 3;
constexpr double creeping = 1e-3;        // of the objective in a step
constexpr double rank_threshold = 1e-11; // of the largest pivot, columns scaled to comparable size

// The whitened, scaled problem at one theta.
struct Linearised {
    VectorXd f;
    MatrixXd jacobian;
    VectorXd white_residual;
    MatrixXd white_jacobian; // L^-1 J diag(scale)
    double objective = 0.0;

    Linearised(const LeastSquaresProblem& p, const Eigen::LLT<MatrixXd>& chol, const VectorXd& theta)
        : f(p.observed.size()), jacobian(p.observed.size(), theta.size()) {
        jacobian.setZero();
        p.model(theta, f, jacobian);
        white_residual = whitened(chol, p.observed - f);
        white_jacobian = whitened(chol, jacobian * p.scale.asDiagonal());
        objective = white_residual.squaredNorm();
    }
    [[nodiscard]] bool finite() const { return f.allFinite() && jacobian.allFinite(); }
};

RankRevealing decomposed(const Linearised& at) {
    RankRevealing qr(at.white_jacobian.rows(), at.white_jacobian.cols());
    qr.setThreshold(rank_threshold);
    qr.compute(at.white_jacobian);
    return qr;
}

// argmin |r - J s|^2 + damping |s|^2
VectorXd damped_step(const Linearised& at, double damping) {
    const Index m = at.white_jacobian.rows(), n = at.white_jacobian.cols();
    MatrixXd stacked(m + n, n);
    stacked << at.white_jacobian, std::sqrt(damping) * MatrixXd::Identity(n, n);
    VectorXd right = VectorXd::Zero(m + n);
    right.head(m) = at.white_residual;
    return shortest_solution(RankRevealing(stacked), right);
}

} // namespace

bool LeastSquaresSolution::estimable(const VectorXd& gradient) const {
    if (null_space.cols() == 0) return true;
    const double unseen = (null_space.transpose() * gradient).norm();
    return unseen <= 1e-7 * gradient.norm();
}

namespace {

// The search, from the start to where no step is open: `here` and `qr` are of the last theta.
struct Search {
    VectorXd theta;
    Linearised here;
    RankRevealing qr;
    int iterations = 0;
    double remaining = 0.0;
    bool converged = false;

    Search(const LeastSquaresProblem& p, const Eigen::LLT<MatrixXd>& chol)
        : theta(p.start), here(p, chol, p.start), qr(here.white_jacobian.rows(), here.white_jacobian.cols()) {
        LOTWORT_CHECK(here.finite());
        for (int idle = 0; iterations < p.max_iterations && idle < most_idle; ++iterations) {
            qr = decomposed(here);
            const VectorXd full = shortest_solution(qr, here.white_residual);
            remaining = (here.white_jacobian * full).norm();
            converged = remaining <= p.tolerance;
            const double before = here.objective;
            if (converged || !move(p, chol, full)) return;
            // along the edge of where the model is one at all, the search creeps: the minimum is then known well enough
            idle = p.minimum_only && before - here.objective < creeping * here.objective ? idle + 1 : 0;
        }
        qr = decomposed(here);
    }

private:
    // A full step, or a damped one where it does not give what it promised. False where none does.
    bool move(const LeastSquaresProblem& p, const Eigen::LLT<MatrixXd>& chol, const VectorXd& full) {
        double damping = 0.0;
        for (int attempt = 0; attempt < 20; ++attempt) {
            const VectorXd step = damping == 0.0 ? full : damped_step(here, damping);
            const VectorXd trial = theta + p.scale.cwiseProduct(step);
            Linearised there(p, chol, trial);
            // a step that gives far less than the straight line promised has left the region where the line holds
            const double promised = here.objective - (here.white_residual - here.white_jacobian * step).squaredNorm();
            // at the bottom the objective cannot fall by more than rounding: a small step is then taken as it is
            const bool at_rounding = remaining * remaining <= 1e-12 * (1.0 + here.objective);
            if (there.finite() && (here.objective - there.objective > 0.25 * promised || at_rounding)) {
                theta = trial;
                here = std::move(there);
                return true;
            }
            damping = damping == 0.0 ? 1e-6 * here.white_jacobian.squaredNorm() / static_cast<double>(theta.size())
                                     : damping * 10.0;
        }
        return false;
    }
};

// theta's covariance, and the directions that no equation sees.
void add_uncertainties(const LeastSquaresProblem& p, const Eigen::LLT<MatrixXd>& chol, const Search& search,
                       LeastSquaresSolution& out) {
    const Index n = p.start.size();
    out.weight = stats::inverse(chol);
    const MatrixXd inverse = p.scale.asDiagonal() * pseudo_inverse(search.qr); // theta = inverse * (white y)
    out.covariance = product(inverse, inverse.transpose());
    out.residual_covariance = p.covariance - sandwich(out.jacobian, out.covariance);
    out.null_space.resize(n, 0);
    if (out.rank == n) return;
    // gradients are of theta: d theta = scale * d s, so an unseen direction of theta is scale * unseen
    out.null_space = p.scale.asDiagonal() * null_space(search.qr);
    for (Index j = 0; j < out.null_space.cols(); ++j) out.null_space.col(j).normalize();
}

} // namespace

LeastSquaresSolution solve(const LeastSquaresProblem& p) {
    const Index m = p.observed.size(), n = p.start.size();
    LOTWORT_CHECK(p.covariance.rows() == m && p.covariance.cols() == m && p.scale.size() == n);
    const Eigen::LLT<MatrixXd> chol(p.covariance);
    LOTWORT_CHECK(chol.info() == Eigen::Success);
    const Search search(p, chol);

    LeastSquaresSolution out;
    out.iterations = search.iterations;
    out.remaining = search.remaining;
    out.converged = search.converged;
    out.rank = static_cast<int>(search.qr.rank());
    out.theta = search.theta;
    out.statistic = search.here.objective;
    out.degrees_of_freedom = static_cast<int>(m) - out.rank;
    out.fitted = search.here.f;
    out.residual = p.observed - out.fitted;
    if (p.minimum_only) return out;
    out.jacobian = search.here.jacobian;
    add_uncertainties(p, chol, search, out);
    return out;
}

MeanShift mean_shift(const LeastSquaresSolution& s, int i) {
    const VectorXd w = s.weight.col(i);
    const double information = w.dot(s.residual_covariance * w);
    MeanShift shift;
    // compare with the information that the observation alone would carry
    if (information <= 1e-9 * s.weight(i, i)) return shift;
    shift.sees = true;
    const double score = w.dot(s.residual);
    shift.statistic = score * score / information;
    shift.error = score / information;
    shift.error_sd = 1.0 / std::sqrt(information);
    return shift;
}

double evidence_correlation(const LeastSquaresSolution& s, int i, int j) {
    const VectorXd wi = s.weight.col(i), wj = s.weight.col(j);
    const double ii = wi.dot(s.residual_covariance * wi), jj = wj.dot(s.residual_covariance * wj);
    if (ii <= 0.0 || jj <= 0.0) return 0.0;
    return wi.dot(s.residual_covariance * wj) / std::sqrt(ii * jj);
}

} // namespace lotwort::stats
