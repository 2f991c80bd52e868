#include "lot_code.hpp"
#include <algorithm>
#include <charconv>
#include <fmt/format.h>

namespace lotwort::verbs {

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

void LotCodes::take(std::string_view code) {
    const auto hyphen = code.rfind('-');
    if (hyphen == std::string_view::npos) return;
    std::int64_t number = 0;
    const char* end = code.data() + code.size();
    const auto [at, fault] = std::from_chars(code.data() + hyphen + 1, end, number);
    if (fault != std::errc() || at != end || number >= 1'000'000'000) return;
    auto& most = most_[std::string(code.substr(0, hyphen))];
    most = std::max(most, number);
}

std::string LotCodes::next(std::string_view item) const {
    const std::string stem = initials(item);
    const auto most = most_.find(stem);
    return fmt::format("{}-{}", stem, most == most_.end() ? 1 : most->second + 1);
}

} // namespace lotwort::verbs
