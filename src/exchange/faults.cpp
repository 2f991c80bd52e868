#include "faults.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/nearest.hpp>

namespace lotwort {

namespace {

// A file's own word may be as long as the file: of a long line the beginning and the end are told.
std::string told(std::string_view text) {
    constexpr std::size_t most = 400, end = 150;
    const auto is_tail = [&](std::size_t at) { return (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U; };
    if (text.size() <= most) return std::string(text);
    std::size_t cut = most - end, last = text.size() - end; // not within a letter
    while (is_tail(cut)) --cut;
    while (is_tail(last)) ++last;
    return fmt::format("{} ... {}", text.substr(0, cut), text.substr(last));
}

} // namespace

void Faults::add(std::uint32_t at, std::string_view field, std::string_view what) {
    ++count_;
    const std::uint64_t start = document_.start_of(at);
    if (start >= last_told_) return;
    first_.emplace_back(start, fmt::format("{}{}{}", told(field), field.empty() ? "" : ": ", told(what)));
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
