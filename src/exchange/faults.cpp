#include "faults.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/nearest.hpp>

namespace lotwort {

void Faults::add_at(std::uint64_t start, std::string_view field, std::string_view what) {
    if (list_.size() == most_kept) {
        ++uncounted_;
        return;
    }
    list_.emplace_back(start, fmt::format("{}{}{}", field, field.empty() ? "" : ": ", what));
}

void Faults::throw_if_any() {
    if (list_.empty()) return;
    std::stable_sort(list_.begin(), list_.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<std::string> lines;
    for (const auto& [start, what] : list_) {
        if (lines.size() == most_told) break;
        const Place place = document_.place_at(start);
        lines.push_back(fmt::format("{}:{}:{}: {}", document_.source, place.line, place.column, what));
    }
    throw_faults(document_.source, lines, list_.size() + uncounted_);
}

void throw_faults(std::string_view source, const std::vector<std::string>& lines, std::size_t total,
                  std::string_view hint) {
    if (total == 1) throw Error(ErrorKind::refused, lines.front(), std::string(hint));
    const std::size_t told = std::min(lines.size(), Faults::most_told);
    std::string message = fmt::format("{} holds {} faults", source, total);
    for (std::size_t i = 0; i < told; ++i) message += "\n" + lines[i];
    if (total > told) message += fmt::format("\nand {} more", total - told);
    throw Error(ErrorKind::refused, message, std::string(hint));
}

std::string suggestion(std::string_view word, const std::vector<std::string_view>& known) {
    constexpr std::size_t short_list = 12;
    constexpr std::size_t longest_word = 100; // beyond it nobody has slipped by a letter
    if (word.size() > longest_word) return {};
    const std::vector<std::string> names(known.begin(), known.end());
    if (const std::string near = did_you_mean(word, names); !near.empty()) return "; " + near;
    if (known.empty() || known.size() > short_list) return {};
    return fmt::format("; known: {}", fmt::join(known, ", "));
}

} // namespace lotwort
