#include "selected_inverse.hpp"
#include <algorithm>
#include <cmath>
#include <Eigen/OrderingMethods>
#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/gaussian_model.hpp>
#include <numbers>
#include <utility>

namespace lotwort::stats {

namespace {

using Eigen::Index;
using Sparse = Eigen::SparseMatrix<double>;

const double log_two_pi = std::log(2.0 * std::numbers::pi);

double log_normal(double x, double mean, double variance) {
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

} // namespace

int GaussianModel::say(const std::vector<Term>& terms, double value, double sd, int scale) {
    LOTWORT_CHECK(sd > 0.0 && std::isfinite(value) && scale < scales_);
    for (const Term& t : terms) {
        LOTWORT_CHECK(t.unknown >= 0 && t.unknown < unknowns_);
        terms_.push_back(t);
    }
    first_.push_back(static_cast<int>(terms_.size()));
    value_.push_back(value);
    sd_.push_back(sd);
    scale_.push_back(scale);
    return sentences() - 1;
}

void GaussianModel::link(int a, int b) {
    say({{a, 0.0}, {b, 0.0}}, 0.0, 1.0 / std::sqrt(2.0 * std::numbers::pi));
}

int GaussianModel::doubt(int sentence, double p, double widening) {
    LOTWORT_CHECK(p > 0.0 && p < 1.0 && widening > 1.0);
    doubts_.push_back({sentence, p, widening});
    return static_cast<int>(doubts_.size()) - 1;
}

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

GaussianSolver::Impl::Impl(const GaussianModel& m) : model(m) {
    std::vector<Eigen::Triplet<double>> entries;
    first_pair.assign(static_cast<std::size_t>(m.sentences()) + 1, 0);
    each_pair([&](int k, std::size_t pair, int i, int j, double) {
        entries.emplace_back(i, j, 1.0);
        first_pair[static_cast<std::size_t>(k) + 1] = pair + 1;
    });
    for (int i = 0; i < m.unknowns_; ++i) entries.emplace_back(i, i, 0.0);
    q.resize(m.unknowns_, m.unknowns_);
    q.setFromTriplets(entries.begin(), entries.end());
    q_at.resize(entries.size() - n());
    each_pair([&](int, std::size_t pair, int i, int j, double) {
        const int* from = q.innerIndexPtr() + q.outerIndexPtr()[j];
        const int* to = q.innerIndexPtr() + q.outerIndexPtr()[j + 1];
        q_at[pair] = static_cast<int>(std::lower_bound(from, to, i) - q.innerIndexPtr());
    });
    ldlt.analyzePattern(q);
    standing.resize(m.value_.size());
    variance.resize(m.value_.size());
    is_doubted.assign(m.value_.size(), 0);
    for (const auto& d : m.doubts_) is_doubted[static_cast<std::size_t>(d.sentence)] = 1;
}

void GaussianSolver::Impl::set_scales(const std::vector<double>& scales, const std::vector<Widened>& wide) {
    LOTWORT_CHECK(static_cast<int>(scales.size()) == model.scales_);
    const bool first = log_scales.empty() && fit.mean.empty();
    for (std::size_t k = 0; k < standing.size(); ++k) {
        const double factor = model.scale_[k] < 0 ? 1.0 : std::exp(scales[static_cast<std::size_t>(model.scale_[k])]);
        variance[k] = model.sd_[k] * model.sd_[k] * factor * factor;
        if (is_doubted[k] && !first) continue; // where expectation propagation left it
        standing[k] = {model.value_[k], 1.0 / variance[k]};
    }
    for (const Widened& w : wide) {
        const auto k = static_cast<std::size_t>(w.sentence);
        LOTWORT_CHECK(!is_doubted[k]);
        variance[k] += w.sd * w.sd;
        standing[k].precision = 1.0 / variance[k];
    }
    log_scales = scales;
    widened = wide;
}

void GaussianSolver::Impl::factorise() {
    std::fill(q.valuePtr(), q.valuePtr() + q.nonZeros(), 0.0);
    Eigen::VectorXd b = Eigen::VectorXd::Zero(model.unknowns_);
    each_pair([&](int k, std::size_t pair, int, int, double product) {
        q.valuePtr()[q_at[pair]] += product * standing[static_cast<std::size_t>(k)].precision;
    });
    for (std::size_t k = 0; k < standing.size(); ++k)
        for (int t = model.first_[k]; t < model.first_[k + 1]; ++t) {
            const Term& term = model.terms_[static_cast<std::size_t>(t)];
            b[term.unknown] += term.coefficient * standing[k].precision * standing[k].value;
        }
    ldlt.factorize(q);
    LOTWORT_CHECK(ldlt.info() == Eigen::Success);
    const auto& d = ldlt.vectorD();
    LOTWORT_CHECK(d.minCoeff() > 0.0);
    log_determinant = d.array().log().sum();
    mean = ldlt.solve(b);
}

void GaussianSolver::Impl::find_pairs() {
    z_at.resize(q_at.size());
    const auto& p = ldlt.permutationP().indices();
    each_pair([&](int, std::size_t pair, int i, int j, double) {
        const int a = p[i], b = p[j];
        z_at[pair] = inverse.position(std::max(a, b), std::min(a, b));
    });
}

void GaussianSolver::Impl::invert() {
    const Sparse& l = ldlt.matrixL().nestedExpression();
    inverse.compute(l.outerIndexPtr(), l.innerIndexPtr(), l.valuePtr(), ldlt.vectorD().data(), l.cols());
    if (z_at.empty()) find_pairs();
}

double GaussianSolver::Impl::dot_mean(int sentence) const {
    double sum = 0.0;
    const auto k = static_cast<std::size_t>(sentence);
    for (int t = model.first_[k]; t < model.first_[k + 1]; ++t) {
        const Term& term = model.terms_[static_cast<std::size_t>(t)];
        sum += term.coefficient * mean[term.unknown];
    }
    return sum;
}

double GaussianSolver::Impl::dot_mean(const std::vector<Term>& terms) const {
    double sum = 0.0;
    for (const Term& term : terms) sum += term.coefficient * mean[term.unknown];
    return sum;
}

std::vector<HalfSolved> GaussianSolver::Impl::half_solved(const std::vector<std::vector<Term>>& combinations) const {
    const Sparse& l = ldlt.matrixL().nestedExpression();
    const Eigen::VectorXd d = ldlt.vectorD(); // given by value
    const auto& p = ldlt.permutationP().indices();
    std::vector<HalfSolved> out;
    std::vector<double> x(n(), 0.0);
    std::vector<char> is_reached(n(), 0);
    for (const auto& terms : combinations) {
        std::vector<int> rows;
        const auto reach = [&](int row) {
            // up the tree: the first below the diagonal is the row's parent, and all others are above that
            while (row >= 0 && !is_reached[static_cast<std::size_t>(row)]) {
                is_reached[static_cast<std::size_t>(row)] = 1;
                rows.push_back(row);
                int parent = -1;
                for (Sparse::InnerIterator at(l, row); at && parent < 0; ++at)
                    if (at.row() > row) parent = static_cast<int>(at.row());
                row = parent;
            }
        };
        for (const Term& term : terms) {
            x[static_cast<std::size_t>(p[term.unknown])] += term.coefficient;
            reach(p[term.unknown]);
        }
        std::ranges::sort(rows);
        HalfSolved& half = out.emplace_back();
        half.rows.reserve(rows.size());
        for (const int row : rows) {
            const double solved = std::exchange(x[static_cast<std::size_t>(row)], 0.0);
            is_reached[static_cast<std::size_t>(row)] = 0;
            for (Sparse::InnerIterator at(l, row); at; ++at)
                if (at.row() > row) x[static_cast<std::size_t>(at.row())] -= at.value() * solved;
            half.rows.emplace_back(row, solved / std::sqrt(d[row]));
        }
    }
    return out;
}

// a' Q^-1 a of a sentence
double GaussianSolver::Impl::own_variance(int sentence, std::size_t pair) const {
    const auto k = static_cast<std::size_t>(sentence);
    double sum = 0.0;
    for (int i = model.first_[k]; i < model.first_[k + 1]; ++i)
        for (int j = model.first_[k]; j <= i; ++j, ++pair) {
            const double product = model.terms_[static_cast<std::size_t>(i)].coefficient *
                                   model.terms_[static_cast<std::size_t>(j)].coefficient;
            sum += (i == j ? 1.0 : 2.0) * product * inverse.value(z_at[pair]);
        }
    return sum;
}

double GaussianSolver::Impl::gaussian_log_likelihood() const {
    double sum = 0.5 * (static_cast<double>(n()) * log_two_pi - log_determinant);
    for (int k = 0; k < model.sentences(); ++k) {
        const auto& s = standing[static_cast<std::size_t>(k)];
        const double r = s.value - dot_mean(k);
        sum -= 0.5 * (log_two_pi - std::log(s.precision) + r * r * s.precision);
    }
    return sum;
}

// One round of expectation propagation: fills fit.doubted, moves the substitutes if asked, and returns
// sum ln(Z of the mixture / Z of the substitute).
double GaussianSolver::Impl::update_doubts(bool move) {
    constexpr double damping = 0.8;
    double correction = 0.0;
    fit.doubted.resize(model.doubts_.size());
    for (std::size_t d = 0; d < model.doubts_.size(); ++d) {
        const auto& doubt = model.doubts_[d];
        const auto k = static_cast<std::size_t>(doubt.sentence);
        Standing& site = standing[k];
        Doubted& out = fit.doubted[d];
        const double m = dot_mean(doubt.sentence), v = own_variance(doubt.sentence, first_pair[k]);
        const double cavity_precision = std::max(1.0 / v - site.precision, 1e-9 / v);
        const double cv = 1.0 / cavity_precision;
        const double cm = cv * (m / v - site.precision * site.value);
        const double y = model.value_[k];
        const double narrow = variance[k], wide = variance[k] * doubt.widening * doubt.widening;
        const double ln = std::log(1.0 - doubt.p) + log_normal(y, cm, cv + narrow);
        const double lw = std::log(doubt.p) + log_normal(y, cm, cv + wide);
        const double top = std::max(ln, lw), total = top + std::log(std::exp(ln - top) + std::exp(lw - top));
        out.probability_wide = std::exp(lw - total);
        out.cavity_mean = cm;
        out.cavity_variance = cv;
        out.sd = std::sqrt(narrow);
        const double share[2] = {1.0 - out.probability_wide, out.probability_wide};
        const double width[2] = {narrow, wide};
        double mean_of = 0.0, square = 0.0;
        for (int c = 0; c < 2; ++c) {
            out.variance[c] = 1.0 / (1.0 / cv + 1.0 / width[c]);
            out.mean[c] = out.variance[c] * (cm / cv + y / width[c]);
            mean_of += share[c] * out.mean[c];
            square += share[c] * (out.variance[c] + out.mean[c] * out.mean[c]);
        }
        correction += total - log_normal(site.value, cm, cv + 1.0 / site.precision);
        if (!move) continue;
        const double var_of = std::max(square - mean_of * mean_of, 1e-3 * v);
        const double precision =
            std::max(1.0 / var_of - 1.0 / cv, 0.1 / wide); // a mixture may be wider than its cavity
        const double weighted = mean_of * (1.0 / cv + precision) - cm / cv;
        const double before = site.precision, before_weighted = site.precision * site.value;
        site.precision = damping * precision + (1.0 - damping) * before;
        site.value = (damping * weighted + (1.0 - damping) * before_weighted) / site.precision;
    }
    return correction;
}

GaussianSolver::GaussianSolver(const GaussianModel& model) : impl_(std::make_unique<Impl>(model)) {}
GaussianSolver::~GaussianSolver() = default;

const GaussianFit& GaussianSolver::fit(const std::vector<double>& log_scales, Want want, int rounds,
                                       const std::vector<Widened>& widened) {
    Impl& s = *impl_;
    const GaussianModel& m = s.model;
    s.set_scales(log_scales, widened);
    double correction = 0.0;
    s.factorise();
    if (!m.doubts_.empty()) {
        for (int round = 0; round < rounds; ++round) {
            s.invert();
            s.update_doubts(true);
            s.factorise();
        }
        s.invert();
        correction = s.update_doubts(false);
    } else if (want == Want::variances) {
        s.invert();
    }
    GaussianFit& out = s.fit;
    out.log_likelihood = s.gaussian_log_likelihood() + correction;
    out.mean.assign(s.mean.data(), s.mean.data() + s.mean.size());
    out.variance.clear();
    out.gradient.clear();
    if (want == Want::mean) return out;
    const auto& p = s.ldlt.permutationP().indices();
    out.variance.resize(s.n());
    for (int i = 0; i < m.unknowns_; ++i) out.variance[static_cast<std::size_t>(i)] = s.inverse.diagonal(p[i]);
    out.gradient.assign(static_cast<std::size_t>(m.scales_), 0.0);
    for (int k = 0; k < m.sentences(); ++k) {
        const auto at = static_cast<std::size_t>(k);
        if (m.scale_[at] < 0 || s.is_doubted[at]) continue;
        const double r = s.standing[at].value - s.dot_mean(k);
        const double scaled = std::pow(m.sd_[at] * std::exp(log_scales[static_cast<std::size_t>(m.scale_[at])]), 2);
        out.gradient[static_cast<std::size_t>(m.scale_[at])] +=
            ((r * r + s.own_variance(k, s.first_pair[at])) / s.variance[at] - 1.0) * scaled / s.variance[at];
    }
    // of a doubted sentence: the slope of ln Z of the mixture, its cavity held
    for (std::size_t d = 0; d < m.doubts_.size(); ++d) {
        const auto at = static_cast<std::size_t>(m.doubts_[d].sentence);
        if (m.scale_[at] < 0) continue;
        const Doubted& q = out.doubted[d];
        const double share[2] = {1.0 - q.probability_wide, q.probability_wide};
        const double width[2] = {s.variance[at], s.variance[at] * m.doubts_[d].widening * m.doubts_[d].widening};
        for (int c = 0; c < 2; ++c) {
            const double total = q.cavity_variance + width[c], r = m.value_[at] - q.cavity_mean;
            out.gradient[static_cast<std::size_t>(m.scale_[at])] += share[c] * width[c] / total * (r * r / total - 1.0);
        }
    }
    return out;
}

GaussianSolver::Foreseen GaussianSolver::foreseen(int sentence) const {
    const Impl& s = *impl_;
    const auto k = static_cast<std::size_t>(sentence);
    const Standing& site = s.standing[k];
    const double m = s.dot_mean(sentence), v = s.own_variance(sentence, s.first_pair[k]);
    const double others = 1.0 / std::max(1.0 / v - site.precision, 1e-9 / v);
    return {others * (m / v - site.precision * site.value), others + s.variance[k]};
}

double GaussianSolver::gain_of(const Widened& widened) const {
    const double y = impl_->model.value_[static_cast<std::size_t>(widened.sentence)];
    const auto [mean, variance] = foreseen(widened.sentence);
    return log_normal(y, mean, variance + widened.sd * widened.sd) - log_normal(y, mean, variance);
}

double GaussianSolver::covariance(int a, int b) const {
    const auto& p = impl_->ldlt.permutationP().indices();
    const int i = std::max(p[a], p[b]), j = std::min(p[a], p[b]);
    return impl_->inverse.value(impl_->inverse.position(i, j));
}

GaussianSolver::Joint GaussianSolver::joint(const std::vector<std::vector<Term>>& combinations) const {
    const auto half = impl_->half_solved(combinations);
    Joint out;
    for (const auto& a : combinations) out.mean.push_back(impl_->dot_mean(a));
    const std::size_t k = half.size();
    out.covariance.resize(k * k);
    for (std::size_t i = 0; i < k; ++i)
        for (std::size_t j = 0; j <= i; ++j)
            out.covariance[i * k + j] = out.covariance[j * k + i] = half[i].dot(half[j]);
    return out;
}

std::vector<GaussianSolver::Foreseen> GaussianSolver::each(const std::vector<std::vector<Term>>& combinations) const {
    const auto half = impl_->half_solved(combinations);
    std::vector<Foreseen> out;
    for (std::size_t i = 0; i < half.size(); ++i)
        out.push_back({impl_->dot_mean(combinations[i]), half[i].dot(half[i])});
    return out;
}

} // namespace lotwort::stats
