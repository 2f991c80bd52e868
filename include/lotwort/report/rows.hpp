// Records of one kind as a table for a spreadsheet: a column for each field, named as in the exchange file.
#pragma once

#include <array>
#include <lotwort/brew/book.hpp>
#include <lotwort/core/fields.hpp>
#include <string>

namespace lotwort::report {

enum class RowKind { items, lots, movements, additions, readings };

} // namespace lotwort::report

namespace lotwort {

template <>
struct WordsOf<report::RowKind> {
    static constexpr std::array<std::string_view, 5> list{"items", "lots", "movements", "additions", "readings"};
};

} // namespace lotwort

namespace lotwort::report {

// CSV with a heading. An amount has two columns, amount and unit; a lot's certificate stands in the lot's row, its
// retests are left out; additions and readings begin with their brew's code and date.
[[nodiscard]] std::string rows_csv(const Book& book, RowKind kind);

} // namespace lotwort::report
