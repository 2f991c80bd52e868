// How uncertain a figure is that was worked out from uncertain ones.
//
// A brewer who reads 1.048 ± 0.001 on the stem wants to know what that makes of the extract, the alcohol, the hops to
// weigh. To first order the answer is the sum of squares of slope times uncertainty:
//
//     u(f)^2 = sum_i (df/dx_i)^2 u_i^2                                                        (GUM 5.1.2, eq. 10)
//
// with exact slopes (dual.hpp). That is right where f is straight over the width of its inputs and wrong where it
// bends there: the square of a reading near 0 has no slope, and so no uncertainty to first order. f is therefore also
// evaluated at sigma points, which carry the second order in full:
//
//     E(f)   = f + 1/2 sum_i f_ii u_i^2
//     Var(f) = sum_i a_i^2 + 1/2 sum_i f_ii^2 u_i^4 + sum_{i<j} f_ij^2 u_i^2 u_j^2
//
// a_i = (f(x + h u_i) - f(x - h u_i))/2h and f_ii u_i^2 = (f(x + h u_i) + f(x - h u_i) - 2 f)/h^2 at h = sqrt 3, which
// also takes in the cubic of each input; f_ij from the four corners at one u. M. Norgaard, N. K. Poulsen and O. Ravn,
// Automatica 36 (2000) 1627-1638; the terms are those of GUM 5.1.2, note, for normal inputs. Exact for a quadratic.
// The inputs are taken as independent and normal. tests/core/test_propagate.cpp holds both orders to a Monte Carlo.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <lotwort/core/dual.hpp>
#include <lotwort/core/estimate.hpp>

namespace lotwort {

// First order is enough while its sd is within this share of the second order's (half a unit of the second printed
// digit at the worst) and the mean moves by less than mean_shift_limit of the sd.
inline constexpr double sd_share_limit = 0.05, mean_shift_limit = 0.10;

// A spread within this share of the value is rounding.
inline constexpr double rounding_share = 1e-13;

struct Propagated {
    double value = 0.0; // f(x)
    double sd = 0.0;    // first order
    double second_order_mean = 0.0;
    double second_order_sd = 0.0;
    bool first_order_enough = true; // false also where a sigma point has no finite value

    // What may be printed: the first order where it is enough or is all there is, else the second.
    [[nodiscard]] Estimate estimate() const {
        const bool first = first_order_enough || !std::isfinite(second_order_sd);
        return first ? normal_estimate(value, sd) : normal_estimate(second_order_mean, second_order_sd);
    }
};

// sqrt(sum (slope_i u_i)^2)
template <std::size_t N>
[[nodiscard]] double first_order_sd(const Dual<N>& figure, const std::array<double, N>& sd) {
    double variance = 0.0;
    for (std::size_t i = 0; i < N; ++i) variance += figure.slope[i] * figure.slope[i] * sd[i] * sd[i];
    return std::sqrt(variance);
}

namespace sigma_points {

struct Moments {
    double mean = 0.0;
    double variance = 0.0;
};

// f at x with up to two inputs moved.
template <std::size_t N, class F>
[[nodiscard]] double at(F&& f, std::array<double, N> x, std::size_t i, double by_i, std::size_t j = 0,
                        double by_j = 0.0) {
    x[i] += by_i;
    x[j] += by_j;
    return f(x);
}

template <std::size_t N, class F>
[[nodiscard]] Moments moments(F&& f, const std::array<double, N>& x, const std::array<double, N>& sd, double middle) {
    constexpr double h2 = 3.0;
    const double h = std::sqrt(h2);
    Moments m{middle, 0.0};
    for (std::size_t i = 0; i < N; ++i) {
        if (sd[i] == 0.0) continue;
        const double up = at(f, x, i, h * sd[i]), down = at(f, x, i, -h * sd[i]);
        const double straight = (up - down) / (2.0 * h), bend = (up + down - 2.0 * middle) / h2;
        m.mean += 0.5 * bend;
        m.variance += straight * straight + 0.5 * bend * bend;
        for (std::size_t j = i + 1; j < N; ++j) {
            if (sd[j] == 0.0) continue;
            const double twist = 0.25 * (at(f, x, i, sd[i], j, sd[j]) - at(f, x, i, sd[i], j, -sd[j]) -
                                         at(f, x, i, -sd[i], j, sd[j]) + at(f, x, i, -sd[i], j, -sd[j]));
            m.variance += twist * twist;
        }
    }
    return m;
}

} // namespace sigma_points

// f takes std::array<Real, N> for Real double and Dual<N> and returns a Real: a generic lambda. Costs one call of f
// on Duals and 1 + 2 N^2 on doubles. An Error that f throws at a sigma point (an input's width leaves f's range) is
// let through: it names the range.
template <std::size_t N, class F>
[[nodiscard]] Propagated propagate(F&& f, const std::array<double, N>& x, const std::array<double, N>& sd) {
    std::array<Dual<N>, N> parameters;
    for (std::size_t i = 0; i < N; ++i) parameters[i] = Dual<N>::parameter(x[i], i);
    const Dual<N> slopes = f(parameters);
    const auto second = sigma_points::moments<N>(f, x, sd, slopes.value);

    Propagated p{slopes.value, first_order_sd(slopes, sd), second.mean, std::sqrt(second.variance), true};
    // a figure that does not move (the attenuation of a beer without extract) spreads by rounding alone
    if (p.sd <= rounding_share * std::abs(p.value) && p.second_order_sd <= rounding_share * std::abs(p.value)) {
        p.sd = p.second_order_sd = 0.0;
        p.second_order_mean = p.value;
    }
    p.first_order_enough = std::isfinite(p.value) && std::isfinite(p.sd) && std::isfinite(p.second_order_sd) &&
                           std::abs(p.second_order_sd - p.sd) <= sd_share_limit * p.second_order_sd &&
                           std::abs(p.second_order_mean - p.value) <= mean_shift_limit * p.second_order_sd;
    return p;
}

} // namespace lotwort
