#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/control_chart.hpp>

namespace lotwort::stats {

std::vector<double> ewma(const std::vector<double>& x, double lambda, double start) {
    LOTWORT_CHECK(lambda > 0.0 && lambda <= 1.0);
    std::vector<double> z;
    for (const double value : x) z.push_back(start += lambda * (value - start));
    return z;
}

double ewma_sd(double lambda, double sd, int t) {
    return ewma_steady_sd(lambda, sd) * std::sqrt(1.0 - std::pow(1.0 - lambda, 2 * t));
}

double ewma_steady_sd(double lambda, double sd) {
    return sd * std::sqrt(lambda / (2.0 - lambda));
}

Cusum cusum(const std::vector<double>& x, double mean, double k) {
    Cusum out;
    double high = 0.0, low = 0.0, sum = 0.0;
    for (const double value : x) {
        out.high.push_back(high = std::max(0.0, high + value - mean - k));
        out.low.push_back(low = std::max(0.0, low + mean - k - value));
        out.sum.push_back(sum += value - mean);
    }
    return out;
}

} // namespace lotwort::stats
