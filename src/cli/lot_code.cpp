#include "lot_code.hpp"
#include <algorithm>
#include <charconv>
#include <cstdint>
#include <fmt/format.h>

namespace lotwort::cli {

namespace {

// A to Z and 0 to 9, letters made capital; anything else (spaces, other alphabets) parts words.
char as_code(char c) {
    if (c >= 'a' && c <= 'z') return static_cast<char>(c - 'a' + 'A');
    const bool plain = (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    return plain ? c : ' ';
}

std::string initials(std::string_view item) {
    std::string first;
    std::string letters;
    char before = ' ';
    for (const char c : item) {
        const char code = as_code(c);
        const bool inside_letter = (static_cast<unsigned char>(c) & 0x80) != 0; // part of another alphabet's letter
        if (code != ' ') {
            letters += code;
            if (before == ' ') first += code;
        }
        before = inside_letter ? 'x' : code;
    }
    if (first.size() > 1) return first.substr(0, 4);
    return letters.empty() ? "LOT" : letters.substr(0, 3);
}

} // namespace

std::string next_lot_code(std::string_view item, const std::vector<std::string>& taken) {
    const std::string stem = initials(item) + "-";
    std::int64_t most = 0;
    for (const std::string& code : taken) {
        if (!code.starts_with(stem)) continue;
        std::int64_t number = 0;
        const char* end = code.data() + code.size();
        const auto [at, fault] = std::from_chars(code.data() + stem.size(), end, number);
        if (fault == std::errc() && at == end && number < 1'000'000'000) most = std::max(most, number);
    }
    return fmt::format("{}{}", stem, most + 1);
}

} // namespace lotwort::cli
