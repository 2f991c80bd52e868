// A range of values as a printable table: each cell is the conversion one would have typed.
#include "convert.hpp"
#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>

namespace lotwort::verbs {

namespace {

constexpr std::size_t most_cells = 5000;

// A word of a range taken apart: 10.5C is 10.5, one decimal, C.
struct End {
    double number = 0.0;
    int decimals = 0;
    std::string unit; // and a ± part, which every value of the range carries
};

[[noreturn]] void refuse_range(const std::string& text, const std::string& why) {
    throw Error(ErrorKind::refused, fmt::format("`{}` is no range: {}", text, why),
                "write from, to and step, such as 1.030..1.060/0.005, 10C..40C/5, 5P..20P");
}

End end_of(const std::string& range, const std::string& text) {
    End end;
    const char* last = text.data() + text.size();
    const auto [after, fault] = std::from_chars(text.data(), last, end.number);
    if (fault != std::errc() || !std::isfinite(end.number)) refuse_range(range, fmt::format("`{}` is no number", text));
    end.unit = std::string(after, last);
    const std::string_view digits(text.data(), static_cast<std::size_t>(after - text.data()));
    if (const auto point = digits.find('.'); point != std::string_view::npos)
        end.decimals = static_cast<int>(digits.size() - point - 1);
    return end;
}

// About ten steps of 1, 2 or 5.
double usual_step(double span) {
    const double tenth = span / 10.0, power = std::pow(10.0, std::floor(std::log10(tenth)));
    for (const double step : {1.0, 2.0, 5.0})
        if (step * power >= tenth * (1.0 - 1e-9)) return step * power;
    return 10.0 * power;
}

int decimals_of_step(double step) {
    int decimals = 0;
    while (decimals < 9 && std::abs(step - std::round(step)) > 1e-6 * std::abs(step)) {
        step *= 10.0;
        ++decimals;
    }
    return decimals;
}

// The values of a range, as one would type them; a word that is no range is its own only value.
std::vector<std::string> values_of(const std::string& text) {
    if (!is_range(text)) return {text};
    const auto dots = text.find("..");
    const std::string first = text.substr(0, dots);
    std::string rest = text.substr(dots + 2);
    std::string stride;
    // L/kg and kg/m3 have a stroke of their own: only one before a number begins the step
    if (const auto stroke = rest.rfind('/');
        stroke != std::string::npos && stroke + 1 < rest.size() &&
        (std::isdigit(static_cast<unsigned char>(rest[stroke + 1])) || rest[stroke + 1] == '.')) {
        stride = rest.substr(stroke + 1);
        rest = rest.substr(0, stroke);
    }
    const End from = end_of(text, first), to = end_of(text, rest);
    if (!from.unit.empty() && !to.unit.empty() && from.unit != to.unit)
        refuse_range(text, fmt::format("`{}` and `{}` are two units", from.unit, to.unit));
    const std::string unit = to.unit.empty() ? from.unit : to.unit;
    if (!(to.number > from.number)) refuse_range(text, "its end is not above its beginning");
    const End by = stride.empty() ? End{usual_step(to.number - from.number), 0, {}} : end_of(text, stride);
    if (!by.unit.empty() && by.unit != unit) refuse_range(text, fmt::format("the step is in `{}`", by.unit));
    if (!(by.number > 0.0)) refuse_range(text, "its step is not above 0");
    const double steps = std::floor((to.number - from.number) / by.number + 1e-9);
    if (steps >= static_cast<double>(most_cells))
        refuse_range(text, fmt::format("it has more than {} values", most_cells));
    const int decimals = std::max({from.decimals, stride.empty() ? decimals_of_step(by.number) : by.decimals, 0});
    std::vector<std::string> values;
    for (int i = 0; i <= static_cast<int>(steps); ++i)
        values.push_back(fixed(from.number + i * by.number, decimals) + unit);
    return values;
}

// The option that is given as a range, if any; Error where two are.
std::string ranged_option(const ConvertWords& words) {
    std::string found;
    for (const auto& [name, text] : words.options) {
        if (name == "dip" || !is_range(text)) continue;
        if (!found.empty())
            throw Error(ErrorKind::refused, fmt::format("--{} and --{} are both a range", found, name),
                        "a table has VALUE down the page and one option across it");
        found = name;
    }
    return found;
}

// What is said of a fifth of the cells is said of the table; the rest holds for single cells and their figures.
std::vector<std::string> remarks_of(const report::ConvertedTable& table) {
    std::vector<std::string> all, common;
    std::size_t cells = 0;
    for (const auto& row : table.cells)
        for (const auto& cell : row) {
            ++cells;
            all.insert(all.end(), cell.remarks.begin(), cell.remarks.end());
        }
    for (const auto& remark : all)
        if (5 * static_cast<std::size_t>(std::ranges::count(all, remark)) >= cells &&
            std::ranges::find(common, remark) == common.end())
            common.push_back(remark);
    return common;
}

report::Converted cell_of(const ConvertWords& words, const std::string& across, const std::string& column) {
    try {
        return convert(words);
    } catch (const Error& fault) {
        throw Error(fault.kind(),
                    fmt::format("at {}{}: {}", words.given,
                                across.empty() ? "" : fmt::format(" and --{} {}", across, column), fault.what()),
                    fault.hint());
    }
}

} // namespace

bool is_range(std::string_view text) {
    const auto dots = text.find("..");
    return dots != std::string_view::npos && dots > 0 && dots + 2 < text.size();
}

report::ConvertedTable convert_table(const ConvertWords& words) {
    if (words.options.contains("compare"))
        throw Error(ErrorKind::refused, "--compare stands beside one answer, and a table has many",
                    "leave one of them out");
    report::ConvertedTable table;
    table.given = words.given;
    table.across = ranged_option(words);
    if (!is_range(words.given) && table.across.empty())
        throw Error(ErrorKind::refused, fmt::format("--table of {} alone", words.given),
                    "write a range: from, to and step, such as 1.030..1.060/0.005 or --read-at 10C..40C/5");
    table.rows = values_of(words.given);
    table.columns = table.across.empty() ? std::vector<std::string>{""} : values_of(words.options.at(table.across));
    if (table.rows.size() * table.columns.size() > most_cells)
        throw Error(ErrorKind::refused,
                    fmt::format("a table of {} by {} cells", table.rows.size(), table.columns.size()),
                    fmt::format("up to {} are made: take wider steps", most_cells));
    for (const auto& row : table.rows) {
        auto& cells = table.cells.emplace_back();
        for (const auto& column : table.columns) {
            ConvertWords one = words;
            one.given = row;
            if (!table.across.empty()) one.options[table.across] = column;
            cells.push_back(cell_of(one, table.across, column));
        }
    }
    table.remarks = remarks_of(table);
    return table;
}

} // namespace lotwort::verbs
