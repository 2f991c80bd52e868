// Control charts: series in which a change of level is to be seen early.
#pragma once

#include <vector>

namespace lotwort::stats {

// Exponentially weighted moving average: z_t = lambda x_t + (1 - lambda) z_{t-1}, z_0 = start. Its standard deviation
// for independent x of sd s: s sqrt(lambda/(2 - lambda) (1 - (1 - lambda)^(2t))). NIST/SEMATECH e-Handbook, 6.3.2.4.
[[nodiscard]] std::vector<double> ewma(const std::vector<double>& x, double lambda, double start);
[[nodiscard]] double ewma_sd(double lambda, double sd, int t);
[[nodiscard]] double ewma_steady_sd(double lambda, double sd);

// Tabular cusum: high_t = max(0, high_{t-1} + x_t - mean - k), low_t = max(0, low_{t-1} + mean - k - x_t); sum_t is
// that of x - mean. A signal where either passes h. NIST/SEMATECH e-Handbook, 6.3.2.3.
struct Cusum {
    std::vector<double> high, low, sum;
};
[[nodiscard]] Cusum cusum(const std::vector<double>& x, double mean, double k);

} // namespace lotwort::stats
