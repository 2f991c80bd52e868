#include "shared.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/units.hpp>
#include <lotwort/stock/typical.hpp>

namespace lotwort::verbs {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

} // namespace

void refuse_no_change(const Call& call, std::string_view what, const std::string& hint) {
    call.demand_bookable();
    throw Error(ErrorKind::refused, fmt::format("nothing about {} would change", what), hint);
}

std::string parse_name(std::string_view text, std::string_view what) {
    while (text.starts_with(' ')) text.remove_prefix(1);
    while (text.ends_with(' ')) text.remove_suffix(1);
    if (text.empty())
        throw Error(ErrorKind::refused, fmt::format("an empty text is no {}", what),
                    "write it out, in quotes where it has spaces");
    report::keep_as_written(text);
    return std::string(text);
}

Date day_asked(const Call& call) {
    const Date today = call.surroundings.today, day = call.date("on").value_or(today);
    if (day > today)
        throw Error(ErrorKind::refused, fmt::format("{} has not come yet", to_iso(day)),
                    fmt::format("today is {}; leave --on out", to_iso(today)));
    return day;
}

std::string next_code(std::string_view prefix, const std::vector<std::string>& taken) {
    std::uint64_t highest = 0;
    std::size_t digits = 1;
    for (const std::string& code : taken) {
        if (!code.starts_with(prefix)) continue;
        const std::string_view tail = std::string_view(code).substr(prefix.size());
        // beyond nine digits it is somebody else's numbering
        if (tail.empty() || tail.size() > 9 || !std::ranges::all_of(tail, is_digit)) continue;
        const std::uint64_t number = std::stoull(std::string(tail));
        if (number < highest) continue;
        highest = number;
        digits = tail.size();
    }
    return fmt::format("{}{:0{}}", prefix, highest + 1, digits);
}

Item item_of_name(const std::string& name) {
    Item item;
    item.name = name;
    const GuessedKind guess = guess_kind(name);
    item.kind = guess.kind;
    if (!guess.malt_class.empty()) item.malt_class = std::string(guess.malt_class);
    return item;
}

std::string typed_text(Amount amount) {
    std::string text = to_text(amount);
    std::erase(text, ' ');
    return text;
}

const std::string& needed(const Call& call, std::string_view positional, std::string_view write) {
    if (!call.args.has(positional))
        throw Error(ErrorKind::usage, fmt::format("{} is missing", positional), fmt::format("write: {}", write));
    return call.args.required(positional);
}

Sparge parse_sparge(std::string_view typed) {
    std::string name;
    for (const char c : lowered(typed)) name += c == ' ' || c == '_' ? '-' : c;
    constexpr std::array<std::pair<std::string_view, Sparge>, 10> said{{
        {"no", Sparge::none},
        {"no-sparge", Sparge::none},
        {"biab", Sparge::none},
        {"brew-in-a-bag", Sparge::none},
        {"full-volume", Sparge::none},
        {"batch-sparge", Sparge::batch},
        {"fly", Sparge::continuous},
        {"fly-sparge", Sparge::continuous},
        {"continuous-sparge", Sparge::continuous},
        {"rinse", Sparge::continuous},
    }};
    const auto found = std::ranges::find(said, name, &std::pair<std::string_view, Sparge>::first);
    return found != said.end() ? found->second : parse_word<Sparge>(name, "a way to sparge");
}

std::optional<Celsius> parse_grain(const Call& call, const PlannedBrew& planned) {
    if (call.args.has("grain") && !planned.mash_rest)
        throw Error(ErrorKind::refused,
                    fmt::format("recipe `{}` states no mash rest, and --grain is for its strike", planned.plan.recipe),
                    fmt::format("lotwort recipe change {} --mash-rest 66C", shell_word(planned.plan.recipe)));
    return read_option(call, "grain", [](const std::string& text) { return parse_temperature(text, {-20.0, 45.0}); });
}

} // namespace lotwort::verbs
