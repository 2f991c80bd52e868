#include "faults.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/shell_word.hpp>
#include <optional>
#include <string_view>

namespace lotwort::cli {

namespace {

using Words = std::vector<std::string>;

constexpr std::size_t most_faults = 8;

// What stands between the first backticks; empty where nothing does.
std::string quoted_in(std::string_view text) {
    const auto from = text.find('`');
    if (from == std::string_view::npos) return "";
    const auto to = text.find('`', from + 1);
    return to == std::string_view::npos ? "" : std::string(text.substr(from + 1, to - from - 1));
}

// The word behind a phrase, without the comma after it.
std::string word_behind(std::string_view text, std::string_view phrase) {
    const auto at = text.find(phrase);
    if (at == std::string_view::npos) return "";
    const std::string_view rest = text.substr(at + phrase.size());
    std::string word(rest.substr(0, std::min(rest.find_first_of(" ;\n"), rest.size())));
    while (word.ends_with(',') || word.ends_with('.')) word.pop_back();
    return word;
}

// What a hint would have in the place of what was typed. Where it offers two things, nobody but the brewer can say.
std::string offered(std::string_view hint) {
    if (hint.find('?') != std::string_view::npos) return std::ranges::count(hint, '`') == 2 ? quoted_in(hint) : "";
    std::string word = word_behind(hint, "as a per cent, ");
    if (word.empty() && hint.starts_with("write ")) word = word_behind(hint, "write ");
    const bool is_value = !word.empty() && (word.front() >= '0' && word.front() <= '9');
    const bool is_choice =
        hint.find(word + " or ") != std::string_view::npos || hint.find(word + ", ") != std::string_view::npos;
    return is_value && (!is_choice || word.ends_with('%')) ? word : "";
}

// Of things that cannot all be meant, or of a unit that there is not, one that is taken: to look for what else is
// wrong.
std::string stand_in(const std::string& typed, std::string_view hint) {
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    const std::string one = hint.starts_with("write ") ? word_behind(hint, "write ") : "";
    if (!one.empty()) return is_digit(one.front()) ? one : "";
    const auto digits = std::min(typed.find_first_not_of("0123456789."), typed.size());
    const std::string unit = word_behind(hint, " is written in ");
    return digits == 0 || unit.empty() ? "" : typed.substr(0, digits) + unit;
}

struct Mended {
    Words words;
    bool is_correction = false; // else it only lets the rest of the line be looked at
    std::string left_out{};     // an option
    std::string guessed{};      // one of several bases: the certificate says which
};

std::optional<Mended> replaced(Words words, const std::string& typed, const std::string& by) {
    if (typed.empty() || by.empty()) return std::nullopt;
    for (std::string& word : words) {
        const bool is_tail = word.size() > typed.size() && word.ends_with("=" + typed);
        const bool is_name = word.starts_with(typed + "=");
        if (word != typed && !is_tail && !is_name) continue;
        word = is_tail   ? word.substr(0, word.size() - typed.size()) + by
               : is_name ? by + word.substr(typed.size())
                         : by;
        return Mended{std::move(words), true};
    }
    return std::nullopt;
}

std::optional<Mended> without_option(Words words, std::string_view what) {
    if (!what.starts_with("--")) return std::nullopt;
    const std::string option(what.substr(0, std::min(what.find_first_of(": `"), what.size())));
    for (auto word = words.begin(); word != words.end(); ++word) {
        if (*word != option && !word->starts_with(option + "=")) continue;
        const bool has_value = *word == option && word + 1 != words.end() && !(word + 1)->starts_with("--");
        words.erase(word, word + (has_value ? 2 : 1));
        return Mended{std::move(words), false, option};
    }
    return std::nullopt;
}

std::optional<Mended> mended(const Words& words, const Error& fault) {
    const std::string_view what = fault.what(), hint = fault.hint();
    const std::string added = word_behind(hint, "add --basis ");
    if (!added.empty()) {
        Words more = words;
        more.insert(more.end(), {"--basis", added});
        return Mended{std::move(more), true, {}, added};
    }
    const std::string typed = quoted_in(what);
    if (auto with = replaced(words, typed, offered(hint))) return with;
    if (auto with = replaced(words, typed, stand_in(typed, hint))) {
        with->is_correction = false;
        return with;
    }
    return without_option(words, what);
}

// Is it about a word that was typed, or that stands there by a correction? What follows from a stand-in, or from an
// option that was left out, is no fault of the brewer's.
bool is_of(const Error& fault, const Words& words, const Words& left_out) {
    const std::string typed = quoted_in(fault.what());
    const auto asks_for = [&](const std::string& option) {
        return fault.hint().find("add " + option) != std::string::npos;
    };
    return !typed.empty() && std::ranges::none_of(left_out, asks_for) &&
           std::ranges::any_of(words, [&](const std::string& word) {
               return word == typed || word.ends_with("=" + typed) || word.starts_with(typed + "=");
           });
}

std::string line_of(const Words& words) {
    std::string line = "lotwort";
    for (const std::string& word : words) line += " " + shell_word(word);
    return line;
}

} // namespace

Error all_faults(const Words& words, const Error& first, const std::function<void(const Words&)>& rehearse) {
    std::vector<Error> faults{first};
    bool all_corrected = true;
    std::string guessed;
    Words now = words, told = words, left_out; // told: what was typed, and what corrections put in its place
    while (faults.size() < most_faults) {
        auto next = mended(now, faults.back());
        if (!next || next->words == now) {
            all_corrected = false;
            break;
        }
        all_corrected = all_corrected && next->is_correction;
        if (next->is_correction) told.insert(told.end(), next->words.begin(), next->words.end());
        if (!next->left_out.empty()) left_out.push_back(next->left_out);
        if (!next->guessed.empty()) guessed = next->guessed;
        now = std::move(next->words);
        try {
            rehearse(now);
            break;
        } catch (const Error& fault) {
            const bool is_known = std::ranges::any_of(
                faults, [&](const Error& known) { return std::string_view(known.what()) == fault.what(); });
            if (is_known || fault.kind() > ErrorKind::usage || !is_of(fault, told, left_out)) {
                all_corrected = false;
                break;
            }
            faults.push_back(fault);
        }
    }
    if (faults.size() == 1) return first;
    std::string what = fmt::format("{} faults", faults.size());
    for (const Error& fault : faults)
        what += fmt::format("\n  {}{}{}", fault.what(), fault.hint().empty() ? "" : "; ", fault.hint());
    if (!all_corrected) return {first.kind(), what, ""};
    const std::string where = guessed.empty() ? "" : fmt::format(", where the certificate says {}", guessed);
    return {first.kind(), what, fmt::format("type{}: {}", where, line_of(now))};
}

} // namespace lotwort::cli
