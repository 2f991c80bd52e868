#include "parts.hpp"
#include "html_text.hpp"
#include "trend_words.hpp"
#include <fmt/format.h>
#include <lotwort/core/format.hpp>

namespace lotwort::report {

std::string facts(const std::vector<std::pair<std::string, std::string>>& named, const std::string& caption) {
    Table table{{{"What"}, {"Value"}}, {}};
    for (const auto& [name, value] : named)
        if (!value.empty()) table.rows.push_back({name, value});
    return html::table(table, caption);
}

Table as_headings(Table table, std::string_view kept) {
    const auto is_capital = [](char c) { return c >= 'A' && c <= 'Z'; };
    for (Column& column : table.columns) {
        if (column.heading == kept) continue;
        bool after_capital = false; // never the first of the heading, nor a letter that stands alone: a unit
        for (std::size_t i = 0; i < column.heading.size(); ++i) {
            char& c = column.heading[i];
            const bool follows = after_capital || (i > 1 && i + 1 < column.heading.size() && is_capital(c) &&
                                                   is_capital(column.heading[i + 1]));
            after_capital = is_capital(c);
            if (is_capital(c) && follows) c = static_cast<char>(c - 'A' + 'a');
        }
    }
    return table;
}

std::string capitalised(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
}

std::string share_said(const Estimate& share) {
    return fmt::format("{} % ({} to {})", fixed(100.0 * share.value, 1), fixed(100.0 * share.low, 1),
                       fixed(100.0 * share.high, 1));
}

std::string difference_said(const Estimate& share) {
    std::string between = difference(share);
    between.resize(between.rfind(" %"));
    return fmt::format("{} ({})", signed_pct(share.value), between);
}

std::string part_said(double part, double whole, std::string_view unit) {
    return fmt::format("{} {} ({} %)", fixed(part, 2), unit, fixed(100.0 * part / whole, 1));
}

} // namespace lotwort::report
