// An axis of a chart: from where to where, and where it is marked.
#pragma once

#include <lotwort/core/date.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

struct Tick {
    double at = 0.0;
    std::string label;
};

struct Axis {
    std::string name; // with its unit: "brewhouse efficiency, %"
    double from = 0.0, to = 1.0;
    std::vector<Tick> ticks;
};

// Marked at round numbers (1, 2 or 5 times a power of ten), about `marks` of them; its ends are marks too, and hold
// from and to between them.
[[nodiscard]] Axis number_axis(std::string name, double from, double to, int marks = 5);

// Days, counted from 1970-01-01 as Date does; at most `marks` days are named, the first and the last among them.
[[nodiscard]] Axis day_axis(std::string name, Date from, Date to, int marks = 3);
[[nodiscard]] double day_number(Date day);

// Where a value lies between `left` and `right`, the axis' ends; beyond them, at the end.
[[nodiscard]] double placed(const Axis& axis, double value, double left, double right);

} // namespace lotwort::report
