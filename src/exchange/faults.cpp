#include "faults.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace lotwort {

void Faults::add(std::uint32_t at, std::string_view field, std::string_view what) {
    if (list_.size() == most_kept) {
        ++uncounted_;
        return;
    }
    list_.emplace_back(document_.start_of(at), fmt::format("{}{}{}", field, field.empty() ? "" : ": ", what));
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

void throw_faults(std::string_view source, const std::vector<std::string>& lines, std::size_t total) {
    if (total == 1) throw Error(ErrorKind::refused, lines.front());
    const std::size_t told = std::min(lines.size(), Faults::most_told);
    std::string message = fmt::format("{} holds {} faults", source, total);
    for (std::size_t i = 0; i < told; ++i) message += "\n" + lines[i];
    if (total > told) message += fmt::format("\nand {} more", total - told);
    throw Error(ErrorKind::refused, message);
}

namespace {

// Levenshtein's distance in bytes: single insertions, deletions and replacements.
std::size_t distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({row[j] + 1, row[j - 1] + 1, replaced});
        }
    }
    return row[b.size()];
}

} // namespace

std::string suggestion(std::string_view word, const std::vector<std::string_view>& known) {
    constexpr std::size_t short_list = 12;
    constexpr std::size_t longest_word = 100;
    std::string_view nearest;
    std::size_t least = 1 + word.size() / 3;
    if (word.size() > longest_word) return {};
    for (const std::string_view candidate : known) {
        if (candidate.size() > longest_word) continue;
        const std::size_t apart = distance(word, candidate);
        if (apart > least || (apart == least && !nearest.empty())) continue;
        least = apart;
        nearest = candidate;
    }
    if (!nearest.empty()) return fmt::format("; did you mean `{}`?", nearest);
    if (known.empty() || known.size() > short_list) return {};
    return fmt::format("; known: {}", fmt::join(known, ", "));
}

} // namespace lotwort
