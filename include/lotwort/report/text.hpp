// Small pieces of text that many answers share.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/stock/item.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/stock/lot.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace lotwort::report {

[[nodiscard]] std::string money_text(Money money);                              // 32.50
[[nodiscard]] std::string money_text(Money money, const std::string& currency); // 32.50 EUR
// An amount's number and unit apart, as CSV wants them: 0.5 and kg; l; count.
[[nodiscard]] std::string amount_number(Amount amount);
[[nodiscard]] std::string amount_unit(Amount amount);

[[nodiscard]] std::string date_text(const std::optional<Date>& day); // empty where there is none

// 81.5 % fine-dry, 300 L°/kg coarse-as-is, 36 ppg fine-dry
[[nodiscard]] std::string extract_text(Percent extract, const std::optional<ExtractBasis>& basis);

// Text broken between words so that no line is wider than `width`; lines after the first of a paragraph begin with
// `indent` spaces. A name in quotes is one word. Line ends stay; the last line is closed by one.
[[nodiscard]] std::string wrapped(std::string_view text, std::size_t indent, std::size_t width = prose_width());

} // namespace lotwort::report
