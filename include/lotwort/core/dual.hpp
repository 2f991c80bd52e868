// A value with its first derivatives (forward automatic differentiation).
//
// One balance of a brew serves three readers: the forecast wants its value, the reconciliation its slopes,
// and the uncertainty of a forecast both. Written once over a scalar type, it gives all three exactly.
// Derivatives are exact to rounding (Griewank and Walther, Evaluating Derivatives, 2nd ed. 2008, ch. 3).
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <utility>

namespace lotwort {

template <std::size_t N>
struct Dual {
    double value = 0.0;
    std::array<double, N> slope{}; // d value / d parameter i

    constexpr Dual() = default;
    constexpr Dual(double v) : value(v) {} // NOLINT: a constant is a Dual without slopes

    [[nodiscard]] static constexpr Dual parameter(double v, std::size_t i) {
        Dual d(v);
        d.slope[i] = 1.0;
        return d;
    }

    // f(value), with f'(value) handed on to the slopes
    [[nodiscard]] constexpr Dual chain(double f, double derivative) const {
        Dual d(f);
        for (std::size_t i = 0; i < N; ++i) d.slope[i] = derivative * slope[i];
        return d;
    }

    friend constexpr Dual operator+(Dual a, const Dual& b) {
        a.value += b.value;
        for (std::size_t i = 0; i < N; ++i) a.slope[i] += b.slope[i];
        return a;
    }
    friend constexpr Dual operator-(Dual a, const Dual& b) {
        a.value -= b.value;
        for (std::size_t i = 0; i < N; ++i) a.slope[i] -= b.slope[i];
        return a;
    }
    friend constexpr Dual operator-(const Dual& a) { return Dual(0.0) - a; }
    friend constexpr Dual operator*(const Dual& a, const Dual& b) {
        Dual d(a.value * b.value);
        for (std::size_t i = 0; i < N; ++i) d.slope[i] = a.slope[i] * b.value + a.value * b.slope[i];
        return d;
    }
    friend constexpr Dual operator/(const Dual& a, const Dual& b) {
        Dual d(a.value / b.value);
        for (std::size_t i = 0; i < N; ++i) d.slope[i] = (a.slope[i] - d.value * b.slope[i]) / b.value;
        return d;
    }
    friend Dual pow(const Dual& a, double p) { return a.chain(std::pow(a.value, p), p * std::pow(a.value, p - 1.0)); }
    friend Dual exp(const Dual& a) { return a.chain(std::exp(a.value), std::exp(a.value)); }
    friend Dual log(const Dual& a) { return a.chain(std::log(a.value), 1.0 / a.value); }
    friend Dual sqrt(const Dual& a) { return a.chain(std::sqrt(a.value), 0.5 / std::sqrt(a.value)); }
};

// The plain value of a scalar, for branches and starting points.
[[nodiscard]] constexpr double value_of(double x) {
    return x;
}
template <std::size_t N>
[[nodiscard]] constexpr double value_of(const Dual<N>& x) {
    return x.value;
}

// What two scalars give together: a Dual where either is one.
template <class A, class B>
using Wider = decltype(std::declval<A>() + std::declval<B>());

} // namespace lotwort
