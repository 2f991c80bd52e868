#include "us_units.hpp"
#include <algorithm>
#include <functional>
#include <lotwort/report/units.hpp>
#include <utility>

namespace lotwort::report {

namespace {

struct Answering {
    AnswersIn::Wish wish; // of the names those alone that would be rewritten, the longer first
    std::function<AnswersIn::Wish()> ask;
};

AnswersIn::Wish told(AnswersIn::Wish wish) {
    std::erase_if(wish.names, [](const std::string& name) { return name.empty() || in_us_units(name) == name; });
    std::ranges::sort(wish.names, std::greater{}, &std::string::size);
    return wish;
}

Answering& thread_answers() {
    thread_local Answering now;
    return now;
}

AnswersIn::Wish& answering() {
    Answering& now = thread_answers();
    if (now.ask) {
        const auto ask = std::exchange(now.ask, {}); // where nobody can say, what follows is metric
        AnswersIn::Wish wish = ask();
        wish.names.insert(wish.names.end(), now.wish.names.begin(), now.wish.names.end());
        now.wish = told(std::move(wish));
    }
    return now.wish;
}

bool is_metric() {
    return answering().units == Units::metric;
}

std::string between_names(std::string_view text, Saying saying) {
    std::string out;
    while (true) {
        std::size_t first = std::string_view::npos, size = 0;
        for (const std::string& name : answering().names)
            if (const auto at = text.find(name); at < first) {
                first = at;
                size = name.size();
            }
        out += in_us_units(text.substr(0, first), saying);
        if (first == std::string_view::npos) return out;
        out += text.substr(first, size);
        text.remove_prefix(first + size);
    }
}

// The unit of a column's bare numbers: of LITRES, "Mass, kg" and "COLOUR EBC"; empty where it has none.
std::string_view unit_of(std::string_view heading) {
    constexpr std::pair<std::string_view, std::string_view> known[] = {
        {"LITRES", "L"}, {"Litres", "L"}, {"KG", "kg"},   {"kg", "kg"},     {"EBC", "EBC"},
        {"°C", "°C"},    {"L", "L"},      {"L/h", "L/h"}, {"L/kg", "L/kg"}, {"cm", "cm"}};
    const auto blank = heading.rfind(' ');
    const std::string_view last = blank == std::string_view::npos ? heading : heading.substr(blank + 1);
    const auto* const found = std::ranges::find(known, last, &std::pair<std::string_view, std::string_view>::first);
    return found == std::end(known) ? std::string_view() : found->second;
}

bool is_free_text(std::string_view heading) {
    constexpr std::string_view own_words[] = {"NOTE", "REASON", "Note", "Reason"};
    return std::ranges::find(own_words, heading) != std::end(own_words);
}

// "12.3" or "12.3 ± 0.4" in another unit, without its name.
std::string bare_in(std::string_view unit, const std::string& cell) {
    const bool is_figure = cell.find_first_not_of("0123456789.-+±to ()") == std::string::npos;
    if (!is_figure || cell.find_first_of("0123456789") == std::string::npos) return cell;
    const bool is_in_brackets = cell.starts_with('(') && cell.ends_with(')');
    return is_in_brackets ? "(" + bare_in_us_units(cell.substr(1, cell.size() - 2), unit) + ")"
                          : bare_in_us_units(cell, unit);
}

constexpr std::pair<std::string_view, std::string_view> scales[] = {
    {"l", "L"}, {"kg", "kg"}, {"g", "g"}, {"c", "°C"}, {"cm", "cm"}}; // of instruments

std::string scale_as_answered(const std::string& scale) {
    for (const auto& [known, unit] : scales)
        if (scale == known) return std::string(in_us_units(1.0, unit).unit);
    return scale;
}

// The unit that a row's own cells say its bare numbers have: "boil-off, L/h" ahead of them, a cell of the column UNIT,
// or the cell beside a ± that stands in a column of its own.
std::string unit_of_cell(const std::vector<Column>& columns, const std::vector<std::string>& row, std::size_t i) {
    if (row[i].starts_with("±"))
        for (std::size_t k = 0; k < i; ++k)
            for (const auto& [scale, unit] : scales)
                if (columns[k].heading == "UNIT" && row[k] == scale) return std::string(unit);
    const std::string& beside = i == 0 ? row[i] : row[i - 1];
    const auto blank = beside.rfind(' ');
    if (i > 0 && columns[i].heading.starts_with("±") && blank != std::string::npos)
        return std::string(unit_of(std::string_view(beside).substr(blank)));
    if (const auto own = unit_of(columns[i].heading); !own.empty()) return std::string(own);
    return row.front().find(", ") == std::string::npos ? "" : std::string(unit_of(row.front()));
}

void answer_row(const std::vector<Column>& columns, std::vector<std::string>& row) {
    const std::vector<std::string> metric = row;
    for (std::size_t i = 0; i < row.size() && i < columns.size(); ++i) {
        if (is_free_text(columns[i].heading)) continue;
        const std::string unit = i == 0 ? "" : unit_of_cell(columns, metric, i);
        row[i] = unit.empty() ? as_answered(row[i]) : bare_in(unit, row[i]);
        if (columns[i].heading == "UNIT") row[i] = scale_as_answered(row[i]);
    }
}

} // namespace

AnswersIn::AnswersIn(Units units, std::vector<std::string> names)
    : before_(std::move(thread_answers().wish)), ask_before_(std::move(thread_answers().ask)) {
    thread_answers() = {told({units, std::move(names)}), {}};
}

AnswersIn::AnswersIn(std::function<Wish()> ask)
    : before_(std::move(thread_answers().wish)), ask_before_(std::move(thread_answers().ask)) {
    thread_answers() = {{}, std::move(ask)};
}

AnswersIn::~AnswersIn() {
    thread_answers() = {std::move(before_), std::move(ask_before_)};
}

void keep_as_written(std::string_view text) {
    AnswersIn::Wish& wish = thread_answers().wish;
    wish.names.emplace_back(text);
    wish = told(std::move(wish));
}

std::string as_answered(std::string_view text) {
    return is_metric() ? std::string(text) : between_names(text, Saying::answer);
}

std::string refusal_as_answered(std::string_view text) {
    return is_metric() ? std::string(text) : between_names(text, Saying::refusal);
}

Table as_answered(Table table) {
    if (is_metric()) return table;
    for (auto& row : table.rows) answer_row(table.columns, row);
    for (Column& column : table.columns) column.heading = as_answered(column.heading);
    return table;
}

ShownNumber as_answered(double value, std::string_view unit) {
    return is_metric() ? ShownNumber{value, unit} : in_us_units(value, unit);
}

} // namespace lotwort::report
