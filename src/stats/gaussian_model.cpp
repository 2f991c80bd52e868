#include "gaussian_solver.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>

namespace lotwort::stats {

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

} // namespace lotwort::stats
