// A supplier's delivery note as a table: which column says what, and the lots that its rows make.
#pragma once

#include "shared.hpp"
#include <lotwort/exchange/csv.hpp>
#include <map>
#include <span>

namespace lotwort::verbs {

// One row as it would be typed: the words of the verb's options by their names (item, amount, lot, ...).
struct NotedLot {
    std::size_t line = 0;
    std::map<std::string, std::string> said;
};

// What a column may be: item, amount, unit, lot, supplier-lot, price, best-before, crop, moisture, extract, colour, wk,
// protein, alpha, analysed, packaging. `columns` maps them to headings ("item=Artikel,amount=Menge"); one that is not
// mapped is found by its own name, capitals aside. Moisture, protein, alpha and an extract from 50 to 100 are per cent
// where no unit is with them. A decimal comma is read as one where the note's cells are not
// separated by commas. Error(refused) with all faults of the mapping.
[[nodiscard]] std::vector<NotedLot> read_note(const CsvTable& table, const std::string& columns,
                                              const std::string& source);

// The same of a table of another kind: what its columns may be, which of them are figures, and which it must have.
struct TableMeanings {
    std::span<const std::string_view> all, figures, needed;
};
[[nodiscard]] std::vector<NotedLot> read_noted(const CsvTable& table, const std::string& columns,
                                               const std::string& source, const TableMeanings& meanings);

// A figure's cell with its one comma read as a decimal point, where commas do not separate the cells.
[[nodiscard]] std::string with_decimal_point(std::string cell, char separator);

} // namespace lotwort::verbs
