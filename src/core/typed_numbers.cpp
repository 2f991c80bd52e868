// Numbers as people write them, with a comma or with their thousands parted.
#include "typed_units.hpp"
#include <algorithm>

namespace lotwort::typed_detail {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// Three digits behind each separator, and one to three before the first, of which none begins 1,250 with a nought.
bool parts_thousands(std::string_view text, char separator) {
    const auto first = std::min(text.find(separator), text.size());
    if (first == 0 || first > 3 || text.front() == '0') return false;
    for (std::size_t i = first; i < text.size(); i += 4) {
        if (text[i] != separator || i + 4 > text.size()) return false;
        if (!std::all_of(text.begin() + static_cast<long>(i) + 1, text.begin() + static_cast<long>(i) + 4, is_digit))
            return false;
    }
    return true;
}

std::string without(std::string_view text, char separator) {
    std::string plain(text);
    std::erase(plain, separator);
    return plain;
}

} // namespace

std::size_t length_of_number(std::string_view text) {
    std::size_t end = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (is_digit(text[i]))
            end = i + 1;
        else if (std::string_view(".,' ").find(text[i]) == std::string_view::npos || i == 0 || !is_digit(text[i - 1]))
            break;
    }
    return end;
}

std::vector<std::string> meanings_of_number(std::string_view text) {
    std::vector<std::string> meanings;
    const auto last = text.find_last_of(".,");
    if (last != std::string_view::npos) { // the last sign begins the decimals, and those before it part thousands
        const std::string_view whole = text.substr(0, last);
        const auto other = whole.find_first_not_of("0123456789");
        const char separator = other == std::string_view::npos ? '\0' : whole[other];
        if (separator == '\0' || (separator != text[last] && parts_thousands(whole, separator)))
            meanings.push_back(without(whole, separator) + "." + std::string(text.substr(last + 1)));
    }
    const auto first = text.find_first_not_of("0123456789");
    const bool one_point = first != std::string_view::npos && text[first] == '.' && first == last; // 1.250 is 1 and 1/4
    if (first != std::string_view::npos && !one_point && parts_thousands(text, text[first]))
        meanings.push_back(without(text, text[first]));
    return meanings;
}

} // namespace lotwort::typed_detail
