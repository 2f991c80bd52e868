#include "range.hpp"
#include <algorithm>
#include <lotwort/wort/isomerisation.hpp>

namespace lotwort::wort {

namespace {

using Point = CoursePoint<double>;

double inverse_kelvin(double t) {
    return 1.0 / (t + zero_celsius_k);
}

// How far 1/T lies outside what was measured.
double outside_measured(double t) {
    return std::max({0.0, inverse_kelvin(t) - inverse_kelvin(least_measured_c),
                     inverse_kelvin(most_measured_c) - inverse_kelvin(t)});
}

bool leaves_measured(Celsius t) {
    return t.value() < least_measured_c || t.value() > most_measured_c;
}

void require_course(std::span<const TimedTemperature> course) {
    if (course.size() < 2)
        throw Error(ErrorKind::refused, "a temperature course of fewer than two points",
                    "give at least where it begins and where it ends");
    for (const auto& point : course) require_range(point.temperature.value(), 0.0, 130.0, "temperature in C");
    for (std::size_t i = 0; i < course.size(); ++i)
        require_range(course[i].at.value(), i == 0 ? -1e6 : course[i - 1].at.value(), 1e6,
                      "time in minutes of point " + number(static_cast<double>(i + 1)) + " of the course");
}

} // namespace

BoilEquivalent equivalent_boil(std::span<const TimedTemperature> course, Celsius boil) {
    require_course(course);
    require_range(boil.value(), 60.0, 130.0, "boiling point in C");
    const double reference = boil.value();
    const auto ratio = [&](double t) { return isomerisation_ratio(t, reference); };
    double minutes = 0.0, by_slope = 0.0, by_distance = 0.0;
    for (std::size_t i = 1; i < course.size(); ++i) {
        const Point from{course[i - 1].at.value(), course[i - 1].temperature.value()};
        const Point to{course[i].at.value(), course[i].temperature.value()};
        minutes += integral_over(from, to, ratio);
        by_slope += integral_over(from, to,
                                  [&](double t) { return ratio(t) * (inverse_kelvin(reference) - inverse_kelvin(t)); });
        by_distance += integral_over(from, to, [&](double t) { return ratio(t) * outside_measured(t); });
    }
    // Both errors are one draw for the whole course: they add along it before they are squared.
    const double sd =
        isomerisation_slope_k * std::hypot(slope_share_sd * by_slope, extrapolation_share_sd * by_distance);
    return {Minutes(minutes), Minutes(sd),
            std::ranges::any_of(course, [](const auto& point) { return leaves_measured(point.temperature); })};
}

BoilEquivalent equivalent_boil(Minutes time, Celsius temperature, Celsius boil) {
    const std::array<TimedTemperature, 2> course{{{Minutes(0.0), temperature}, {time, temperature}}};
    return equivalent_boil(course, boil);
}

} // namespace lotwort::wort
