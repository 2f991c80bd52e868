#include "html_text.hpp"
#include "links.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/report/units.hpp>
#include <map>
#include <optional>

namespace lotwort::report::html {

namespace {

constexpr std::size_t longest_unbroken = 30; // characters of a cell that stands in one line

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// A name of several words may be broken between them, and so may figures that are listed; one figure may not.
bool is_words(std::string_view cell) {
    if (cell.empty()) return false;
    return cell.find(is_digit(cell.front()) ? ", " : " ") != std::string_view::npos;
}

// "25 kg" is 25 and " kg"; of other cells nothing.
struct Figure {
    std::string_view number, unit;
    [[nodiscard]] std::size_t decimals() const {
        const auto point = number.find('.');
        return point == std::string_view::npos ? 0 : number.size() - point - 1;
    }
};

std::optional<Figure> figure_of_cell(std::string_view cell) {
    std::size_t end = cell.starts_with('-') || cell.starts_with('+') ? 1 : 0;
    if (end >= cell.size() || !is_digit(cell[end])) return std::nullopt;
    end = std::min(cell.find_first_not_of("0123456789.", end), cell.size());
    const std::string_view unit = cell.substr(end);
    if (unit.find_first_of("0123456789") != std::string_view::npos || (!unit.empty() && unit.front() != ' '))
        return std::nullopt;
    return Figure{cell.substr(0, end), unit};
}

// A column of 5.84 kg and 25 kg reads 5.84 kg and 25.00 kg. Figures told finer than that stand as they are.
Table with_same_decimals(Table table) {
    constexpr std::size_t most = 3;
    for (std::size_t column = 0; column < table.columns.size(); ++column) {
        if (table.columns[column].align != Align::right) continue;
        std::map<std::string, std::size_t, std::less<>> decimals; // by unit
        for (const auto& row : table.rows)
            if (const auto figure = column < row.size() ? figure_of_cell(row[column]) : std::nullopt) {
                auto& kept = decimals[std::string(figure->unit)];
                kept = std::max(kept, std::min(figure->decimals(), most));
            }
        for (auto& row : table.rows) {
            const auto figure = column < row.size() ? figure_of_cell(row[column]) : std::nullopt;
            if (!figure) continue;
            const std::size_t has = figure->decimals(), wanted = decimals.find(figure->unit)->second;
            if (has >= wanted) continue;
            row[column] = std::string(figure->number) + (has == 0 ? "." : "") + std::string(wanted - has, '0') +
                          std::string(figure->unit);
        }
    }
    return table;
}

Table without_empty_columns(Table table) {
    for (std::size_t column = table.columns.size(); column-- > 1;) {
        const auto is_empty = [&](const auto& row) { return column >= row.size() || row[column].empty(); };
        if (!std::ranges::all_of(table.rows, is_empty)) continue;
        const auto at = static_cast<std::ptrdiff_t>(column);
        table.columns.erase(table.columns.begin() + at);
        for (auto& row : table.rows)
            if (column < row.size()) row.erase(row.begin() + at);
    }
    return table;
}

} // namespace

std::string table(const Table& given, std::string_view caption) {
    if (given.rows.empty()) return "";
    const Table table = with_same_decimals(without_empty_columns(as_answered(given)));
    const auto side = [&](std::size_t column) -> std::string_view {
        return table.columns[column].align == Align::right ? "class=\"number\"" : "";
    };
    const auto kind_of = [&](std::string_view cell, std::size_t column) -> std::string_view {
        if (display_width(cell) > longest_unbroken)
            return table.columns[column].align == Align::right ? "class=\"number long\"" : "class=\"long\"";
        return side(column).empty() && is_words(cell) ? "class=\"words\"" : side(column);
    };
    std::string text = of_text("caption", caption);
    std::string cells;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        const std::string scope = fmt::format("scope=\"col\"{}{}", side(i).empty() ? "" : " ", side(i));
        cells += of_text("th", table.columns[i].heading, scope);
    }
    text += element("thead", element("tr", cells));
    std::string rows;
    const auto cell_of = [&](std::string_view name, const std::string& cell, std::size_t column,
                             std::string_view attributes) {
        if (table.columns[column].align == Align::right || figure_of_cell(cell))
            return of_text(name, with_minus_signs(cell), attributes);
        const std::string linked = linked_cell(cell, table.columns[column].heading);
        return linked.find("<a ") != std::string::npos ? element(name, linked, attributes)
                                                       : of_text(name, cell, attributes);
    };
    for (const auto& row : table.rows) {
        cells =
            cell_of("th", row.front(), 0, is_words(row.front()) ? "scope=\"row\" class=\"words\"" : "scope=\"row\"");
        for (std::size_t i = 1; i < table.columns.size(); ++i) {
            const std::string cell = i < row.size() ? row[i] : "";
            cells += cell_of("td", cell, i, kind_of(cell, i));
        }
        rows += element("tr", cells);
    }
    text += element("tbody", rows);
    constexpr std::size_t kept_together = 14; // rows, on paper
    return element("div", element("table", text),
                   std::string(table.rows.size() <= kept_together ? "class=\"wide short\"" : "class=\"wide\"") +
                       " tabindex=\"0\" role=\"group\" aria-label=\"" + escaped(caption) + "\"");
}

std::string folded_table(const Table& given, std::string_view caption, std::size_t shown, std::string_view earlier) {
    if (given.rows.size() <= shown) return table(given, caption);
    Table first = given, rest = given;
    const auto end = static_cast<std::ptrdiff_t>(shown);
    first.rows.erase(first.rows.begin() + end, first.rows.end());
    rest.rows.erase(rest.rows.begin(), rest.rows.begin() + end);
    const std::string words = fmt::format("{} {}", rest.rows.size(), earlier);
    return table(first, caption) +
           element("details", of_text("summary", words) + table(rest, words), "class=\"screen\"");
}

} // namespace lotwort::report::html
