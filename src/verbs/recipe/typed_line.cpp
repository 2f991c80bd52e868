#include "typed_line.hpp"
#include "yeast.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>

namespace lotwort::verbs {

namespace {

struct Parts {
    std::string item, amount;
    std::optional<std::string> place;
};

// An item's name may hold an = of its own; an amount never does.
Parts parts_of(const Book& book, const std::string& text, std::string_view example) {
    const auto equals = text.rfind('=');
    if (equals == std::string::npos || equals == 0 || equals + 1 == text.size())
        throw Error(ErrorKind::refused, fmt::format("`{}` does not say how much", text),
                    fmt::format("write: {}", example));
    const auto at = text.find('@', equals);
    Parts parts{parse_name(text.substr(0, equals), "item"),
                text.substr(equals + 1, at == std::string::npos ? at : at - equals - 1), std::nullopt};
    if (at != std::string::npos) parts.place = text.substr(at + 1);
    if (const Item* known = find_item(book, parts.item)) parts.item = known->name;
    return parts;
}

[[noreturn]] void refuse_place(const std::string& place) {
    throw Error(ErrorKind::refused, fmt::format("`@{}` does not say when it goes in", place),
                "write such as @boil,60 for minutes before the boil's end, @stand,20,80C, @dry,4 for days, or @kettle");
}

bool is_bare(std::string_view text) {
    return !text.empty() && std::ranges::all_of(text, [](char c) { return (c >= '0' && c <= '9') || c == '.'; });
}

// The time as the line's kind of record can hold it.
Place parse_place(const std::string& text, Range of_minutes) {
    std::vector<std::string> words(1);
    for (const char c : text)
        if (c == ',')
            words.emplace_back();
        else
            words.back() += c;
    // a time alone: minutes are of the boil, days of the dry hops
    if (words.size() == 1 && !words[0].empty() && is_bare(words[0].substr(0, 1)))
        words.insert(words.begin(), words[0].find("day") == std::string::npos ? "boil" : "dry");
    Place place;
    const std::string said = lowered(words[0]); // as brewers call them
    if (said == "whirlpool" || said == "hopstand") words[0] = "stand";
    if (said == "flameout" || said == "knockout") words = {"boil", "0"};
    if (said == "fwh" || said == "first-wort" || said == "firstwort")
        throw Error(ErrorKind::refused,
                    fmt::format("`@{}`: hops in the first wort are boiled from beginning to end", text),
                    "write the minutes of the boil, such as @boil,60");
    place.stage = parse_word<Stage>(words[0], "a stage of the brew");
    for (std::size_t i = 1; i < words.size(); ++i) {
        const std::string& word = words[i];
        if (word.empty()) refuse_place(text);
        const bool is_temperature = i == 2 && place.stage == Stage::stand;
        if (i > 1 && !is_temperature) refuse_place(text);
        if (is_temperature)
            place.temperature = parse_temperature(word, range_of<HopLine>("temperature_c"));
        else if (place.stage == Stage::dry)
            place.days = parse_days(is_bare(word) ? word + "days" : word, range_of<HopLine>("days"));
        else
            place.minutes = parse_minutes(is_bare(word) ? word + "min" : word, of_minutes);
    }
    return place;
}

template <class Line>
std::optional<Place> place_in(const Parts& parts) {
    return parts.place ? std::optional(parse_place(*parts.place, range_of<Line>("minutes"))) : std::nullopt;
}

[[noreturn]] void refuse_nothing(const Parts& parts, std::string_view example) {
    throw Error(ErrorKind::refused, fmt::format("`{}` of {} is nothing", parts.amount, parts.item),
                fmt::format("write such as {}; --drop takes a line out", example));
}

constexpr std::string_view other_example = "--other \"candy sugar=500g@kettle\"";

OtherLine other_line(const Parts& parts, std::string_view example) {
    OtherLine line;
    line.item = parts.item;
    const Amount amount = parse_amount(parts.amount);
    if (amount.units == 0) refuse_nothing(parts, example);
    switch (amount.measure) {
    case Measure::mass:
        line.mass = amount.kilograms();
        break;
    case Measure::volume:
        line.volume = amount.litres();
        break;
    case Measure::count:
        line.count = static_cast<int>(amount.units);
        break;
    }
    return line;
}

} // namespace

Place place_of(const HopLine& line) {
    return {line.stage, line.minutes, line.temperature, line.days};
}
Place place_of(const OtherLine& line) {
    return {line.stage, line.minutes, std::nullopt, std::nullopt};
}
void put(const Place& place, HopLine& line) {
    line.stage = place.stage;
    line.minutes = place.minutes;
    line.temperature = place.temperature;
    line.days = place.days;
}
void put(const Place& place, OtherLine& line) {
    line.stage = place.stage;
    line.minutes = place.minutes;
}

GristLine parse_malt(const Book& book, const std::string& text) {
    constexpr std::string_view example = "--malt \"pale ale malt=92%\" or --malt \"pale ale malt=4.5kg\"";
    const Parts parts = parts_of(book, text, example);
    if (parts.place)
        throw Error(ErrorKind::refused, fmt::format("`@{}`: a malt goes into the mash", *parts.place),
                    fmt::format("write: {}; what goes in later is --other", example));
    GristLine line;
    line.item = parts.item;
    const Typed typed = parse_typed(parts.amount, Dimension::any);
    const bool is_plain = !typed.sd && !typed.at;
    if (is_plain && std::holds_alternative<Percent>(typed.value))
        line.share = parse_percent(parts.amount, range_of<GristLine>("share_pct"));
    else if (is_plain && std::holds_alternative<Kilograms>(typed.value))
        line.mass = parse_mass(parts.amount, range_of<GristLine>("mass_kg"));
    else
        throw Error(ErrorKind::refused, fmt::format("`{}` is neither a share of the grist nor a mass", parts.amount),
                    fmt::format("write: {}", example));
    return line;
}

TypedLine<HopLine> parse_hop(const Book& book, const std::string& text) {
    constexpr std::string_view example = "--hop \"bittering hop=15g@boil,60\" or --hop \"bittering hop=30IBU@boil,60\"";
    const Parts parts = parts_of(book, text, example);
    TypedLine<HopLine> hop{{}, place_in<HopLine>(parts)};
    hop.line.item = parts.item;
    const Typed typed = parse_typed(parts.amount, Dimension::any);
    const bool is_plain = !typed.sd && !typed.at;
    if (is_plain && std::holds_alternative<BitternessUnits>(typed.value))
        hop.line.bitterness = parse_bitterness(parts.amount, range_of<HopLine>("bitterness_ibu"));
    else if (is_plain && std::holds_alternative<Kilograms>(typed.value))
        hop.line.mass = to_grams(parse_mass(parts.amount));
    else
        throw Error(ErrorKind::refused, fmt::format("`{}` is neither a mass nor a bitterness", parts.amount),
                    fmt::format("write: {}", example));
    if ((hop.line.mass && hop.line.mass->value() == 0.0) ||
        (hop.line.bitterness && hop.line.bitterness->value() == 0.0))
        refuse_nothing(parts, example);
    if (hop.place) put(*hop.place, hop.line);
    return hop;
}

TypedLine<OtherLine> parse_other(const Book& book, const std::string& text) {
    const Parts parts = parts_of(book, text, other_example);
    TypedLine<OtherLine> other{other_line(parts, other_example), place_in<OtherLine>(parts)};
    if (other.place && (other.place->temperature || other.place->days)) refuse_place(*parts.place);
    if (other.place) put(*other.place, other.line);
    return other;
}

OtherLine parse_yeast(const Book& book, const std::string& text) {
    const bool is_alone = text.find('=') == std::string::npos;
    Parts parts = parts_of(book, is_alone ? text + "=1pieces" : text, "--yeast \"ale yeast=11g\"");
    if (parts.place)
        throw Error(ErrorKind::refused, fmt::format("`@{}`: yeast goes into the fermenter", *parts.place),
                    "leave it out");
    parts.amount = packs_counted(parts.amount);
    OtherLine line = other_line(parts, "--yeast \"ale yeast=11g\"");
    if (is_alone) line.count.reset(); // counted by its cells
    line.stage = Stage::fermenter;
    return line;
}

Dropped parse_dropped(const Book& book, const std::string& text) {
    const auto at = text.rfind('@');
    Dropped dropped{parse_name(text.substr(0, at), "item"), std::nullopt};
    if (at != std::string::npos) dropped.place = parse_place(text.substr(at + 1), range_of<OtherLine>("minutes"));
    if (const Item* known = find_item(book, dropped.item)) dropped.item = known->name;
    return dropped;
}

} // namespace lotwort::verbs
