// Tail probabilities and quantiles (Boost.Math), without its headers.
#pragma once

namespace lotwort::stats {

// P(chi-square with `degrees` degrees of freedom > x); degrees >= 1, x >= 0.
[[nodiscard]] double chi_square_upper_tail(double x, int degrees);

// x with P(chi-square <= x) = p, 0 < p < 1.
[[nodiscard]] double chi_square_quantile(double p, int degrees);

// z with P(standard normal <= z) = p, 0 < p < 1.
[[nodiscard]] double normal_quantile(double p);

} // namespace lotwort::stats
