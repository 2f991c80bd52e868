// The tables of a statement, for the terminal and the page.
#pragma once

#include <lotwort/report/statement.hpp>
#include <lotwort/report/table.hpp>

namespace lotwort::report {

[[nodiscard]] Table statement_kinds(const Statement& statement, bool money); // a column for each kind
[[nodiscard]] Table statement_items(const Statement& statement);
[[nodiscard]] Table statement_beer(const Statement& statement); // a row for each month
[[nodiscard]] std::string statement_heading(const Statement& statement);
// "93.11 EUR of stock on 2025-05-01, 26.55 used; 66.56 on 2025-05-31. Beer: ..."
[[nodiscard]] std::string statement_lead(const Statement& statement);
[[nodiscard]] std::string freight_sentence(const Statement& statement); // empty: there is none beside the figures
[[nodiscard]] std::vector<std::string> statement_remarks(const Statement& statement);

} // namespace lotwort::report
