#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>

namespace lotwort {

namespace {

// The value to the decimals; negative decimals round to tens, hundreds, ...
std::string rounded(double value, int decimals) {
    if (decimals >= 0) return fixed(value, decimals);
    const double step = std::pow(10.0, -decimals);
    return fixed(std::round(value / step) * step, 0);
}

std::string with_unit(std::string text, std::string_view unit) {
    if (!unit.empty()) text.append(" ").append(unit);
    return text;
}

} // namespace

std::string fixed(double value, int decimals) {
    std::string text = fmt::format("{:.{}f}", value, std::max(decimals, 0));
    const bool nothing = text.find_first_of("123456789ni") == std::string::npos; // n, i: nan and inf keep their sign
    if (nothing && text.starts_with('-')) text.erase(0, 1);
    return text;
}

std::string shortest(double value) {
    return fmt::format("{}", value == 0.0 ? 0.0 : value);
}

std::string readable(double value) {
    constexpr int digits = 6;
    if (value == 0.0 || !std::isfinite(value)) return shortest(value);
    const int decimals = std::max(digits - 1 - static_cast<int>(std::floor(std::log10(std::abs(value)))), 0);
    const std::string text = fixed(value, decimals);
    double plain = 0.0;
    std::from_chars(text.data(), text.data() + text.size(), plain);
    return shortest(plain);
}

int decimals_for(double sd) {
    if (!(sd > 0.0) || !std::isfinite(sd)) return 0;
    const auto leading = static_cast<int>(std::floor(std::log10(sd)));
    const int decimals = 1 - leading;
    // 0.0996 is 0.10 to two digits: the rounding may carry into a new leading digit
    const double scaled = std::round(sd * std::pow(10.0, decimals));
    return scaled >= 100.0 ? decimals - 1 : decimals;
}

std::string with_sd(double value, double sd, std::string_view unit, int most_decimals) {
    if (!(sd > 0.0) || !std::isfinite(sd)) return with_unit(shortest(value), unit);
    // at least one digit of the sd is shown, whatever the most
    const int wanted = decimals_for(sd);
    const int decimals = std::max(std::min(wanted, most_decimals), wanted - 1);
    return with_unit(rounded(value, decimals) + " ± " + rounded(sd, decimals), unit);
}

std::string interval(double low, double high, double sd, std::string_view unit) {
    const int decimals = decimals_for(sd);
    return with_unit(rounded(low, decimals) + " to " + rounded(high, decimals), unit);
}

std::string counted(long long number, std::string_view one, std::string_view many) {
    if (number == 1) return fmt::format("1 {}", one);
    return many.empty() ? fmt::format("{} {}s", number, one) : fmt::format("{} {}", number, many);
}

} // namespace lotwort
