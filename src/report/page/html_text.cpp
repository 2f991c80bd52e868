#include "html_text.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/core/utf8.hpp>
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

// A date, or an option of a command: a line that ends at one of its hyphens spoils it.
bool has_telling_hyphens(std::string_view word) {
    if (word.starts_with("--")) return true;
    for (std::size_t i = 1; i + 1 < word.size(); ++i)
        if (word[i] == '-' && is_digit(word[i - 1]) && is_digit(word[i + 1])) return true;
    return false;
}

// Escaped; words that must not be broken are kept whole.
std::string running(std::string_view given) {
    const std::string answered = as_answered(given);
    std::string_view text = answered;
    std::string out;
    while (!text.empty()) {
        const auto end = std::min(text.find(' '), text.size());
        const std::string_view word = text.substr(0, end);
        out += has_telling_hyphens(word) ? "<span class=\"whole\">" + escaped(word) + "</span>" : escaped(word);
        if (end < text.size()) out += ' ';
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return out;
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

std::string escaped(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    for (const char c : visible_text(as_answered(text))) {
        if (c == '&')
            out += "&amp;";
        else if (c == '<')
            out += "&lt;";
        else if (c == '>')
            out += "&gt;";
        else if (c == '"')
            out += "&quot;";
        else if (c != '\r') // which is a line end only with the next
            out += c;
    }
    return out;
}

std::string element(std::string_view name, std::string_view inner, std::string_view attributes) {
    return fmt::format("<{}{}{}>{}</{}>\n", name, attributes.empty() ? "" : " ", attributes, inner, name);
}

std::string with_minus_signs(std::string_view text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text.substr(i).starts_with("lotwort ")) return out + std::string(text.substr(i));
        const bool begins = i == 0 || text[i - 1] == ' ' || text[i - 1] == '(';
        if (text[i] == '-' && begins && i + 1 < text.size() && is_digit(text[i + 1]))
            out += "−";
        else
            out += text[i];
    }
    return out;
}

std::string of_text(std::string_view name, std::string_view given, std::string_view attributes) {
    constexpr std::string_view figures[] = {"p", "li", "text", "title", "desc", "figcaption", "caption"};
    const bool has_figures = std::ranges::find(figures, name) != std::end(figures);
    const std::string text = has_figures ? with_minus_signs(as_answered(given)) : std::string(given);
    const bool may_break = name == "p" || name == "li" || attributes.find("words") != attributes.npos ||
                           attributes.find("long") != attributes.npos;
    return element(name, may_break ? running(text) : escaped(text), attributes);
}

std::string paragraphs(std::string_view text) {
    std::string out, paragraph;
    const auto close = [&] {
        if (!paragraph.empty()) out += of_text("p", paragraph);
        paragraph.clear();
    };
    while (!text.empty()) {
        const auto end = std::min(text.find('\n'), text.size());
        std::string_view line = text.substr(0, end);
        const bool goes_on = line.starts_with(' ');
        while (line.starts_with(' ')) line.remove_prefix(1);
        if (!goes_on || line.empty()) close();
        paragraph += (paragraph.empty() ? "" : " ") + std::string(line);
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    close();
    return out;
}

std::string section(std::string_view heading, std::string_view inner) {
    return inner.empty() ? "" : element("section", of_text("h2", heading) + std::string(inner));
}

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
    for (const auto& row : table.rows) {
        cells = of_text("th", row.front(), is_words(row.front()) ? "scope=\"row\" class=\"words\"" : "scope=\"row\"");
        for (std::size_t i = 1; i < table.columns.size(); ++i) {
            const bool is_figure = table.columns[i].align == Align::right;
            const std::string cell = i >= row.size() ? "" : is_figure ? with_minus_signs(row[i]) : row[i];
            cells += of_text("td", cell, kind_of(cell, i));
        }
        rows += element("tr", cells);
    }
    text += element("tbody", rows);
    return element("div", element("table", text),
                   "class=\"wide\" tabindex=\"0\" role=\"group\" aria-label=\"" + escaped(caption) + "\"");
}

} // namespace lotwort::report::html
