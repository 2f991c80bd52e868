#include <algorithm>
#include <lotwort/cli/colour.hpp>

namespace lotwort::cli {

namespace {

constexpr std::string_view begin_red = "\033[1;31m", end_red = "\033[0m";

// As reports word them.
constexpr std::string_view wrong_or_short[] = {"Lacking:",
                                               "lacking",
                                               "The readings contradict each other",
                                               "Readings contradict each other",
                                               "odd: ",
                                               "overdue",
                                               "on hold",
                                               "runs out",
                                               "past its best",
                                               "is damaged",
                                               "lacks",
                                               "disagrees",
                                               "not enough"};

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

// A word of its own: "late" is none of "chocolate" and "later".
bool stands_alone(std::string_view text, std::size_t at, std::size_t size) {
    const bool is_open_before = at > 0 && is_letter(text[at - 1]);
    const bool is_open_behind = at + size < text.size() && is_letter(text[at + size - 1]) && is_letter(text[at + size]);
    return !is_open_before && !is_open_behind;
}

} // namespace

std::string coloured(std::string_view answer) {
    std::string out;
    for (std::size_t at = 0; at < answer.size();) {
        const auto* const found = std::ranges::find_if(wrong_or_short, [&](std::string_view words) {
            return answer.substr(at).starts_with(words) && stands_alone(answer, at, words.size());
        });
        if (found == std::end(wrong_or_short)) {
            out += answer[at++];
            continue;
        }
        out.append(begin_red).append(*found).append(end_red);
        at += found->size();
    }
    return out;
}

} // namespace lotwort::cli
