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
        const std::string was = column.heading + " ";
        for (std::size_t i = 1; i + 1 < was.size(); ++i) // a letter that stands alone is a unit
            if (is_capital(was[i]) && (is_capital(was[i - 1]) || is_capital(was[i + 1])))
                column.heading[i] = static_cast<char>(was[i] - 'A' + 'a');
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
