#include "lot_code.hpp"
#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <vector>

namespace lotwort::verbs {

namespace {

// A to Z and 0 to 9, letters made capital; anything else (spaces, other alphabets) parts words.
char as_code(char c) {
    if (c >= 'a' && c <= 'z') return static_cast<char>(c - 'a' + 'A');
    const bool plain = (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    return plain ? c : ' ';
}

constexpr std::size_t longest_stem = 8;

// What the codes of an item may begin with: its initials, then with more of its first word. A name of one word gives
// its letters, three of them first.
std::vector<std::string> stems(std::string_view item) {
    std::string first, letters, word;
    char before = ' ';
    for (const char c : item) {
        const char code = as_code(c);
        const bool inside_letter = (static_cast<unsigned char>(c) & 0x80) != 0; // part of another alphabet's letter
        if (code != ' ') {
            letters += code;
            if (before == ' ') first += code;
            if (first.size() == 1) word += code;
        }
        before = inside_letter ? 'x' : code;
    }
    if (letters.empty()) return {"LOT"};
    std::vector<std::string> all;
    const std::string rest = first.substr(1, 3);
    for (std::size_t size = rest.empty() ? 3 : 1; size <= longest_stem; ++size) {
        all.push_back(word.substr(0, size) + rest);
        if (size >= word.size()) break;
    }
    return all;
}

} // namespace

void LotCodes::take(std::string_view code, std::string_view item) {
    const auto hyphen = code.rfind('-');
    if (hyphen == std::string_view::npos) return;
    std::int64_t number = 0;
    const char* end = code.data() + code.size();
    const auto [at, fault] = std::from_chars(code.data() + hyphen + 1, end, number);
    if (fault != std::errc() || at != end || number >= 1'000'000'000) return;
    Stem& stem = stems_[std::string(code.substr(0, hyphen))];
    stem.most = std::max(stem.most, number);
    stem.items.emplace(item);
}

std::string LotCodes::next(std::string_view item) const {
    const auto all = stems(item);
    const auto is_own = [&](const std::string& stem) {
        const auto used = stems_.find(stem);
        return used == stems_.end() || (used->second.items.size() == 1 && used->second.items.contains(item));
    };
    const auto own = std::ranges::find_if(all, is_own);
    const std::string& stem = own == all.end() ? all.front() : *own;
    const auto used = stems_.find(stem);
    return fmt::format("{}-{}", stem, used == stems_.end() ? 1 : used->second.most + 1);
}

} // namespace lotwort::verbs
