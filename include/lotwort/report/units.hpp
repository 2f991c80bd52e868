// In which units people are answered. Every answer is worked out and worded in metric units; here, and nowhere else,
// a quantity in it becomes one of another system. JSON, CSV and the files that are exchanged stay metric.
#pragma once

#include <functional>
#include <lotwort/core/unit_system.hpp>
#include <lotwort/report/table.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort::report {

using Units = UnitSystem;

// While it lives, what this thread lays out (tables, broken lines, pages) is in these units, as with a locale. `names`
// stay as they are: items, lots and recipes may be called after an amount.
class AnswersIn {
public:
    struct Wish {
        Units units = Units::metric;
        std::vector<std::string> names{};
    };
    explicit AnswersIn(Units units, std::vector<std::string> names = {});
    explicit AnswersIn(std::function<Wish()> ask); // asked once, when something is first laid out
    ~AnswersIn();
    AnswersIn(const AnswersIn&) = delete;
    AnswersIn& operator=(const AnswersIn&) = delete;

private:
    Wish before_;
    std::function<Wish()> ask_before_;
};

// What people wrote just now, a name or a reason: it stays as it is for as long as the one above lives.
void keep_as_written(std::string_view text);

// The text in the units asked for; as it is where these are metric. Once done, it changes no more.
[[nodiscard]] std::string as_answered(std::string_view text);
// The same of a refusal: what it says of spellings (write 25kg or 25lb) stays; its figures and its commands do not.
[[nodiscard]] std::string refusal_as_answered(std::string_view text);
// Its cells and headings; numbers alone by the unit that their column's heading ends in. Notes in people's own words
// stay.
[[nodiscard]] Table as_answered(Table table);

// A number for a chart, and its unit: kg or L in, as they are answered out.
struct ShownNumber {
    double value = 0.0;
    std::string_view unit;
};
[[nodiscard]] ShownNumber as_answered(double value, std::string_view unit);

} // namespace lotwort::report
