// The insides of a GaussianSolver: the precision matrix, its factor, and its sentences as they stand.
#pragma once

#include "selected_inverse.hpp"
#include <algorithm>
#include <cmath>
#include <Eigen/OrderingMethods>
#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>
#include <lotwort/stats/gaussian_model.hpp>
#include <numbers>
#include <utility>

namespace lotwort::stats {

using Sparse = Eigen::SparseMatrix<double>;

inline const double log_two_pi = std::log(2.0 * std::numbers::pi);

inline double log_normal(double x, double mean, double variance) {
    const double d = x - mean;
    return -0.5 * (log_two_pi + std::log(variance) + d * d / variance);
}

// A Gaussian sentence as it stands now: a doubted one has its substitute here.
struct Standing {
    double value = 0.0;
    double precision = 0.0;
};

// D^-1/2 L^-1 P a of a combination a: the product of two is their covariance. The factor's tree leads from each of a's
// unknowns to all rows that are not 0, mostly few.
struct HalfSolved {
    std::vector<std::pair<int, double>> rows; // in order
    [[nodiscard]] double dot(const HalfSolved& other) const {
        double sum = 0.0;
        auto a = rows.begin(), b = other.rows.begin();
        while (a != rows.end() && b != other.rows.end()) {
            if (a->first == b->first)
                sum += a++->second * b++->second;
            else
                ++(a->first < b->first ? a : b);
        }
        return sum;
    }
};

struct GaussianSolver::Impl {
    const GaussianModel& model;
    Sparse q; // lower triangle
    Eigen::SimplicialLDLT<Sparse, Eigen::Lower, Eigen::AMDOrdering<int>> ldlt;
    std::vector<int> q_at; // where each pair of terms of each sentence goes in q's values
    std::vector<int> z_at; // and in the factor's pattern (-1 - i: the i-th diagonal)
    std::vector<Standing> standing;
    std::vector<double> variance; // v of each sentence, scaled, widened, narrow
    std::vector<Widened> widened; // in the last fit
    std::vector<double> log_scales;
    std::vector<char> is_doubted;
    SelectedInverse inverse;
    Eigen::VectorXd mean;
    double log_determinant = 0.0;
    GaussianFit fit;

    explicit Impl(const GaussianModel& m);
    [[nodiscard]] std::size_t n() const { return static_cast<std::size_t>(model.unknowns_); }
    template <class F>
    void each_pair(F&& f) const;
    void set_scales(const std::vector<double>& scales, const std::vector<Widened>& wide);
    void factorise();
    void invert();
    [[nodiscard]] double dot_mean(int sentence) const;
    [[nodiscard]] double dot_mean(const std::vector<Term>& terms) const;
    [[nodiscard]] std::vector<HalfSolved> half_solved(const std::vector<std::vector<Term>>& combinations) const;
    [[nodiscard]] double own_variance(int sentence, std::size_t first_pair) const;
    [[nodiscard]] double gaussian_log_likelihood() const;
    double update_doubts(bool move);
    void find_pairs();
    std::vector<std::size_t> first_pair; // of each sentence in q_at, z_at
};

// Calls f(sentence, pair number, i, j, product of coefficients) for every pair i >= j of terms.
template <class F>
void GaussianSolver::Impl::each_pair(F&& f) const {
    std::size_t pair = 0;
    for (int k = 0; k < model.sentences(); ++k) {
        const auto from = static_cast<std::size_t>(model.first_[static_cast<std::size_t>(k)]),
                   to = static_cast<std::size_t>(model.first_[static_cast<std::size_t>(k) + 1]);
        for (std::size_t i = from; i < to; ++i)
            for (std::size_t j = from; j <= i; ++j, ++pair) {
                const Term &a = model.terms_[i], &b = model.terms_[j];
                // an unordered pair off the diagonal stands once in the lower triangle; of one unknown named twice,
                // twice
                const double twice = i != j && a.unknown == b.unknown ? 2.0 : 1.0;
                f(k, pair, std::max(a.unknown, b.unknown), std::min(a.unknown, b.unknown),
                  twice * a.coefficient * b.coefficient);
            }
    }
}

} // namespace lotwort::stats
