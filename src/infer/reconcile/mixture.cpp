#include "mixture.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <numbers>

namespace lotwort::infer_detail {

namespace {
constexpr double z_95 = 1.6448536269514722;
}

double Mixture::mean() const {
    double sum = 0.0, weight = 0.0;
    for (const auto& p : parts_) sum += p.weight * p.mean, weight += p.weight;
    return sum / weight;
}

double Mixture::variance() const {
    const double m = mean();
    double sum = 0.0, weight = 0.0;
    for (const auto& p : parts_) sum += p.weight * (p.variance + (p.mean - m) * (p.mean - m)), weight += p.weight;
    return sum / weight;
}

double Mixture::weight() const {
    double sum = 0.0;
    for (const auto& part : parts_) sum += part.weight;
    return sum;
}

double Mixture::below(double x) const {
    double sum = 0.0;
    for (const auto& part : parts_)
        sum += part.weight * 0.5 * std::erfc((part.mean - x) / std::sqrt(2.0 * std::max(part.variance, 1e-300)));
    return sum / weight();
}

double Mixture::quantile(double p) const {
    LOTWORT_CHECK(!parts_.empty() && p > 0.0 && p < 1.0);
    const double m = mean(), sd = std::sqrt(std::max(variance(), 0.0));
    if (sd == 0.0) return m;
    double low = m - 12.0 * sd, high = m + 12.0 * sd;
    while (high - low > 1e-6 * sd) {
        const double middle = 0.5 * (low + high);
        (below(middle) < p ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

Estimate Mixture::estimate() const {
    const double m = mean(), sd = std::sqrt(variance());
    if (parts_.size() == 1) return {m, sd, m - z_95 * sd, m + z_95 * sd};
    return {m, sd, quantile(0.05), quantile(0.95)};
}

Estimate Mixture::of_exp() const {
    const Estimate x = estimate();
    double first = 0.0, second = 0.0, weight = 0.0;
    for (const auto& p : parts_) {
        weight += p.weight;
        first += p.weight * std::exp(p.mean + 0.5 * p.variance);
        second += p.weight * std::exp(2.0 * p.mean + 2.0 * p.variance);
    }
    first /= weight;
    second /= weight;
    return {first, std::sqrt(std::max(second - first * first, 0.0)), std::exp(x.low), std::exp(x.high)};
}

Estimate Mixture::of_exp_less_one() const {
    const Estimate x = of_exp();
    return {x.value - 1.0, x.sd, x.low - 1.0, x.high - 1.0};
}

} // namespace lotwort::infer_detail
