#include "axis.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/format.hpp>

namespace lotwort::report {

namespace {

// The least of 1, 2 or 5 times a power of ten that is not below the wanted step.
double round_step(double wanted) {
    const double power = std::pow(10.0, std::floor(std::log10(wanted)));
    for (const double times : {1.0, 2.0, 5.0})
        if (times * power >= wanted * (1.0 - 1e-9)) return times * power;
    return 10.0 * power;
}

} // namespace

Axis number_axis(std::string name, double from, double to, int marks) {
    Axis axis{std::move(name), from, to, {}};
    if (!(to > from)) { // a single value: room on both sides
        const double room = std::max(std::abs(from) * 0.1, 0.5);
        from -= room;
        to += room;
    }
    const double step = round_step((to - from) / marks);
    const int decimals = std::max(0, static_cast<int>(-std::floor(std::log10(step) + 1e-9)));
    const double first = std::floor(from / step + 1e-9), last = std::ceil(to / step - 1e-9);
    for (double mark = first; mark <= last; mark += 1.0)
        axis.ticks.push_back({mark * step, fixed(mark * step, decimals)});
    axis.from = first * step;
    axis.to = last * step;
    return axis;
}

double day_number(Date day) {
    return static_cast<double>(day.time_since_epoch().count());
}

Axis day_axis(std::string name, Date from, Date to, int marks) {
    if (to <= from) to = from + std::chrono::days(1);
    const int days = static_cast<int>((to - from).count());
    const int parts = std::clamp(marks - 1, 1, days);
    Axis axis{std::move(name), day_number(from), day_number(to), {}};
    for (int i = 0; i <= parts; ++i) {
        const Date day = from + std::chrono::days(days * i / parts);
        axis.ticks.push_back({day_number(day), to_iso(day)});
    }
    return axis;
}

double placed(const Axis& axis, double value, double left, double right) {
    const double share = std::clamp((value - axis.from) / (axis.to - axis.from), 0.0, 1.0);
    return left + share * (right - left);
}

} // namespace lotwort::report
