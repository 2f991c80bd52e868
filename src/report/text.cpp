#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/report/units.hpp>

namespace lotwort::report {

std::string money_text(Money money) {
    const bool negative = money.minor < 0;
    const auto size = negative ? 0 - static_cast<std::uint64_t>(money.minor) : static_cast<std::uint64_t>(money.minor);
    return fmt::format("{}{}.{:02}", negative ? "-" : "", size / 100, size % 100);
}

std::string money_text(Money money, const std::string& currency) {
    return money_text(money) + (currency.empty() ? "" : " " + currency);
}

std::string amount_number(Amount amount) {
    switch (amount.measure) {
    case Measure::mass:
        return shortest(amount.kilograms().value());
    case Measure::volume:
        return shortest(amount.litres().value());
    case Measure::count:
        return std::to_string(amount.units);
    }
    return "";
}

std::string amount_unit(Amount amount) {
    return amount.measure == Measure::mass ? "kg" : amount.measure == Measure::volume ? "l" : "count";
}

std::string date_text(const std::optional<Date>& day) {
    return day ? to_iso(*day) : "";
}

std::string extract_text(Percent extract, const std::optional<ExtractBasis>& basis) {
    std::string_view on = basis ? word(*basis) : std::string_view();
    std::string_view unit = "%";
    if (on.starts_with("l-per-kg-")) {
        unit = "L°/kg";
        on.remove_prefix(9);
    } else if (on.starts_with("ppg-")) {
        unit = "ppg";
        on.remove_prefix(4);
    }
    return fmt::format("{} {}{}{}", readable(extract.value()), unit, on.empty() ? "" : " ", on);
}

namespace {

// Up to the next blank; a name in quotes goes into a command, and stays whole.
std::size_t word_size(std::string_view line) {
    std::size_t from = 0;
    if (line.starts_with('"') || line.starts_with('\''))
        if (const auto closing = line.find(line.front(), 1); closing != std::string_view::npos) from = closing;
    return std::min(line.find(' ', from), line.size());
}

} // namespace

std::string wrapped(std::string_view given, std::size_t indent, std::size_t width) {
    const std::string answered = as_answered(given);
    std::string_view text = answered;
    std::string out;
    while (!text.empty()) {
        std::string_view line = text.substr(0, text.find('\n'));
        text.remove_prefix(std::min(line.size() + 1, text.size()));
        std::size_t used = 0;
        std::string spaces; // before the next word, as they stand
        while (!line.empty()) {
            const std::size_t blank = std::min(line.find_first_not_of(' '), line.size());
            spaces.assign(line.substr(0, blank));
            line.remove_prefix(blank);
            const std::string_view word = line.substr(0, word_size(line));
            line.remove_prefix(word.size());
            if (word.empty()) continue;
            const std::size_t taken = display_width(word);
            if (used > 0 && used + spaces.size() + taken > width) {
                out += '\n';
                spaces.assign(indent, ' ');
                used = 0;
            }
            out += spaces;
            out += word;
            used += spaces.size() + taken;
        }
        out += '\n';
    }
    return out;
}

} // namespace lotwort::report
