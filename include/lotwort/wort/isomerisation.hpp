// How fast hops turn bitter, at the boil and below it.
//
// Half an hour in a stand at 80 C is not half an hour of boil: the reaction that makes alpha acid bitter runs at a
// sixth of its speed there. Measured in model wort:
//
//     k1 = 7.9e11 exp(-11858/T),   k2 = 4.1e12 exp(-12994/T) per minute, T in K
//     alpha = exp(-k1 t),   iso = k1/(k2 - k1) (exp(-k1 t) - exp(-k2 t))
//
// M. G. Malowicki and T. H. Shellhammer, J. Agric. Food Chem. 53 (2005) 4434-4439; 90 to 130 C, pH 5.2. What ends in
// the finished beer is another thing, since foam, yeast and trub take their share. The published utilisation curves
// hold that. So from the kinetics only the ratio k1(T)/k1(boil) is taken. It is summed over the temperature course to
// the minutes of boil that would have done the same:
//
//     equivalent minutes = integral of k1(T(t)) / k1(T_boil) dt
//
// The course is straight between its points; the integral is Gauss and Legendre's of five points over steps of at most
// 5 C, within 1e-11 of the exact value by exponential integrals (tests/wort/test_isomerisation.cpp).
//
// Uncertainty: the paper's abstract states none. 3 kJ/mol (3 %) of the activation energy is judgement; beyond 90 to
// 130 C another 10 % of it, over the distance outside, stands for the extrapolation: the two iso-alpha acids' energies
// lie 9 kJ/mol apart (B. Jaskula et al., J. Agric. Food Chem. 56 (2008) 6408-6415, who found the law to hold from 80
// C). That makes 11 % at 80 C and 32 % at 60 C.
#pragma once

#include <array>
#include <cmath>
#include <lotwort/core/dual.hpp>
#include <lotwort/core/quantity.hpp>
#include <lotwort/wort/boiling_point.hpp>
#include <span>

namespace lotwort::wort {

inline constexpr double isomerisation_slope_k = 11858.0, iso_loss_slope_k = 12994.0;
inline constexpr double least_measured_c = 90.0, most_measured_c = 130.0;
inline constexpr double slope_share_sd = 0.03, extrapolation_share_sd = 0.10;

// Alpha to iso-alpha acid, per minute, at t in C.
template <class Real>
[[nodiscard]] Real isomerisation_per_min(Real t) {
    using std::exp;
    return 7.9e11 * exp(-isomerisation_slope_k / (t + zero_celsius_k));
}

// Iso-alpha acid to what is not bitter.
template <class Real>
[[nodiscard]] Real iso_loss_per_min(Real t) {
    using std::exp;
    return 4.1e12 * exp(-iso_loss_slope_k / (t + zero_celsius_k));
}

// kJ/mol of a slope in K: the gas constant times it.
[[nodiscard]] constexpr double activation_energy_kj_per_mol(double slope_k) {
    return 8.314462618e-3 * slope_k;
}

// Shares of the first alpha acid after minutes at t, in model wort.
template <class Time, class Temperature>
[[nodiscard]] auto alpha_remaining(Time minutes, Temperature t) {
    using std::exp;
    return exp(-isomerisation_per_min(t) * minutes);
}
template <class Time, class Temperature>
[[nodiscard]] auto iso_fraction(Time minutes, Temperature t) {
    using std::exp;
    const auto k1 = isomerisation_per_min(t), k2 = iso_loss_per_min(t);
    return k1 / (k2 - k1) * (exp(-k1 * minutes) - exp(-k2 * minutes));
}

// When the iso-alpha acid is at its most: ln(k1/k2)/(k1 - k2).
template <class Real>
[[nodiscard]] Real iso_peak_minutes(Real t) {
    using std::log;
    const Real k1 = isomerisation_per_min(t), k2 = iso_loss_per_min(t);
    return log(k1 / k2) / (k1 - k2);
}

// k1(t)/k1(boil)
template <class Temperature, class Boil>
[[nodiscard]] auto isomerisation_ratio(Temperature t, Boil boil_c) {
    using std::exp;
    return exp(isomerisation_slope_k * (1.0 / (boil_c + zero_celsius_k) - 1.0 / (t + zero_celsius_k)));
}

// A point of a temperature course: so many minutes after its beginning, so warm.
template <class Real>
struct CoursePoint {
    Real minutes;
    Real celsius;
};

// The integral over one straight piece of `weight(t)`, t in C.
template <class Real, class Weight>
[[nodiscard]] Real integral_over(const CoursePoint<Real>& from, const CoursePoint<Real>& to, Weight&& weight) {
    constexpr std::array<double, 5> node{0.0, -0.5384693101056831, 0.5384693101056831, -0.9061798459386640,
                                         0.9061798459386640};
    constexpr std::array<double, 5> share{0.5688888888888889, 0.4786286704993665, 0.4786286704993665,
                                          0.2369268850561891, 0.2369268850561891};
    constexpr double longest_step_c = 5.0;
    const Real rise = to.celsius - from.celsius, time = to.minutes - from.minutes;
    const int steps = 1 + static_cast<int>(std::abs(value_of(rise)) / longest_step_c);
    Real sum = 0.0;
    for (int step = 0; step < steps; ++step)
        for (std::size_t i = 0; i < node.size(); ++i) {
            const double along = (step + 0.5 * (1.0 + node[i])) / steps;
            sum = sum + share[i] * weight(from.celsius + along * rise);
        }
    return sum * time / (2.0 * steps);
}

// Minutes at boil_c that do the same; the course's points in order of time, not checked.
template <class Real>
[[nodiscard]] Real equivalent_boil_minutes(std::span<const CoursePoint<Real>> course, double boil_c) {
    Real sum = 0.0;
    for (std::size_t i = 1; i < course.size(); ++i)
        sum = sum + integral_over(course[i - 1], course[i], [&](Real t) { return isomerisation_ratio(t, boil_c); });
    return sum;
}

struct TimedTemperature {
    Minutes at;
    Celsius temperature;
};

struct BoilEquivalent {
    Minutes minutes;
    Minutes sd;
    bool extrapolated = false; // where some of it was outside 90 to 130 C
};

// boil: the temperature whose minutes are asked for; 100 C, near which the utilisation curves were found. A brewery
// that has its own curve from its own boil gives boiling_point(its altitude). Error(refused): fewer than two points,
// times that run backwards, a temperature outside 0 to 130 C.
[[nodiscard]] BoilEquivalent equivalent_boil(std::span<const TimedTemperature> course, Celsius boil = Celsius(100.0));

// So long at one temperature.
[[nodiscard]] BoilEquivalent equivalent_boil(Minutes time, Celsius temperature, Celsius boil = Celsius(100.0));

} // namespace lotwort::wort
