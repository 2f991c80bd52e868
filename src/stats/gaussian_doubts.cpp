// Sentences that doubt themselves, by expectation propagation.
#include "gaussian_solver.hpp"
#include <algorithm>

namespace lotwort::stats {

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

} // namespace lotwort::stats
