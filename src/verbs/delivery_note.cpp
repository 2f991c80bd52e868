#include "delivery_note.hpp"
#include <algorithm>
#include <array>
#include <charconv>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/nearest.hpp>

namespace lotwort::verbs {

namespace {

constexpr std::array<std::string_view, 16> of_a_note{
    "item",     "amount",  "unit",   "lot", "supplier-lot", "price", "best-before", "crop",
    "moisture", "extract", "colour", "wk",  "protein",      "alpha", "analysed",    "packaging"};

// Figures, in which a comma may part the decimals.
constexpr std::array<std::string_view, 8> figures_of_a_note{"amount", "price",   "moisture", "extract",
                                                            "colour", "protein", "wk",       "alpha"};
constexpr std::array<std::string_view, 2> needed_of_a_note{"item", "amount"};

// What --columns says, meaning by meaning.
std::map<std::string, std::string> stated_columns(const std::string& text, std::span<const std::string_view> meanings) {
    std::map<std::string, std::string> stated;
    for (std::size_t at = 0; at < text.size();) {
        const auto end = std::min(text.find(',', at), text.size());
        const std::string pair = text.substr(at, end - at);
        at = end + 1;
        const auto equals = pair.find('=');
        const std::string meaning = pair.substr(0, equals);
        if (equals == std::string::npos || equals + 1 == pair.size() ||
            std::ranges::find(meanings, meaning) == meanings.end())
            throw Error(ErrorKind::refused, fmt::format("--columns `{}` says of no column what it is", pair),
                        fmt::format("write {}=HEADING,{}=HEADING,...; known: {}", meanings[0], meanings[1],
                                    fmt::join(meanings, ", ")));
        if (!stated.emplace(meaning, pair.substr(equals + 1)).second)
            throw Error(ErrorKind::refused, fmt::format("--columns names {} twice", meaning), "write it once");
    }
    return stated;
}

// Meaning to place in a row.
std::map<std::string, std::size_t> places_of(const CsvTable& table, const std::map<std::string, std::string>& stated,
                                             const std::string& source, const TableMeanings& meanings) {
    std::map<std::string, std::size_t> places;
    for (const auto& meaning : meanings.all) {
        const auto said = stated.find(std::string(meaning));
        const std::string heading = said != stated.end() ? said->second : std::string(meaning);
        const auto found = std::ranges::find_if(
            table.header, [&](const std::string& head) { return lowered(head) == lowered(heading); });
        if (found != table.header.end())
            places[std::string(meaning)] = static_cast<std::size_t>(found - table.header.begin());
        else if (said != stated.end())
            throw Error(ErrorKind::refused, fmt::format("{} has no column `{}`", source, heading),
                        fmt::format("it has: {}", fmt::join(table.header, ", ")));
    }
    for (const auto needed : meanings.needed)
        if (!places.contains(std::string(needed)))
            throw Error(ErrorKind::refused, fmt::format("{} does not say which column is the {}", source, needed),
                        fmt::format("add --columns {}=HEADING; it has: {}", needed, fmt::join(table.header, ", ")));
    return places;
}

// A table's heading says per cent, and its cells do not. An extract from 50 to 100 can be nothing else: no malt gives
// so little in litre-degrees or so many points.
std::string with_unit(std::string_view meaning, const std::string& cell) {
    double value = 0.0;
    const auto [end, fault] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    if (fault != std::errc{} || end != cell.data() + cell.size()) return cell;
    const bool in_per_cent = meaning == "moisture" || meaning == "protein" || meaning == "alpha" ||
                             (meaning == "extract" && value >= 50.0 && value <= 100.0);
    return in_per_cent ? cell + "%" : cell;
}

} // namespace

std::string with_decimal_point(std::string cell, char separator) {
    const bool one_comma = std::ranges::count(cell, ',') == 1 && cell.find('.') == std::string::npos;
    if (separator != ',' && one_comma) cell[cell.find(',')] = '.';
    return cell;
}

std::vector<NotedLot> read_note(const CsvTable& table, const std::string& columns, const std::string& source) {
    return read_noted(table, columns, source, {of_a_note, figures_of_a_note, needed_of_a_note});
}

std::vector<NotedLot> read_noted(const CsvTable& table, const std::string& columns, const std::string& source,
                                 const TableMeanings& meanings) {
    const auto places = places_of(table, stated_columns(columns, meanings.all), source, meanings);
    if (table.rows.empty())
        throw Error(ErrorKind::refused, fmt::format("{} has no rows under its headings", source), "look at the file");
    std::vector<NotedLot> lots;
    for (const CsvRow& row : table.rows) {
        NotedLot& lot = lots.emplace_back();
        lot.line = row.line;
        for (const auto& [meaning, place] : places) {
            const auto& cell = row.cells[place];
            const bool is_figure = std::ranges::find(meanings.figures, meaning) != meanings.figures.end();
            if (!cell.empty())
                lot.said[meaning] = is_figure ? with_unit(meaning, with_decimal_point(cell, table.separator)) : cell;
        }
        if (const auto unit = lot.said.find("unit"); unit != lot.said.end()) {
            if (lot.said.contains("amount")) lot.said["amount"] += unit->second;
            lot.said.erase("unit");
        }
    }
    return lots;
}

} // namespace lotwort::verbs
