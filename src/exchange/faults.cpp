#include "faults.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/nearest.hpp>

namespace lotwort {

void FaultLines::append(const FaultLines& more) {
    for (const std::string& line : more.first_) add([&] { return line; });
    count_others(more.count_ - more.first_.size());
}

void Faults::add_at(std::uint64_t start, std::string_view field, std::string_view what) {
    ++count_;
    if (start >= last_told_) return;
    first_.emplace_back(start, fmt::format("{}{}{}", field, field.empty() ? "" : ": ", what));
    if (first_.size() == 2 * most_faults_told) keep_first();
}

void Faults::keep_first() {
    std::stable_sort(first_.begin(), first_.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    if (first_.size() < most_faults_told) return;
    first_.resize(most_faults_told);
    last_told_ = first_.back().first;
}

void Faults::throw_if_any() {
    if (count_ == 0) return;
    keep_first();
    FaultLines lines;
    for (const auto& [start, what] : first_)
        lines.add([&] {
            const Place place = document_.place_at(start);
            return fmt::format("{}:{}:{}: {}", document_.source, place.line, place.column, what);
        });
    lines.count_others(count_ - first_.size());
    throw_faults(document_.source, lines);
}

void throw_faults(std::string_view source, const FaultLines& lines, std::string_view hint) {
    if (lines.count() == 1) throw Error(ErrorKind::refused, lines.first().front(), std::string(hint));
    throw Error(ErrorKind::refused, fmt::format("{} holds {} faults{}", source, lines.count(), listed(lines)),
                std::string(hint));
}

std::string listed(const FaultLines& lines) {
    std::string text;
    for (const std::string& line : lines.first()) text += "\n" + line;
    const std::size_t others = lines.count() - lines.first().size();
    return others == 0 ? text : text + fmt::format("\nand {} more", others);
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
