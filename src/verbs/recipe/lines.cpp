#include "lines.hpp"
#include "efficiency.hpp"
#include "items.hpp"
#include "typed_line.hpp"
#include "yeast.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/brew/rules.hpp>
#include <lotwort/brew/typed_figures.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/recipe.hpp>
#include <numeric>

namespace lotwort::verbs {

namespace {

constexpr double usual_boil_minutes = 60.0;

template <class Value>
bool set(std::optional<Value>& member, const std::optional<Value>& typed) {
    const bool is_new = typed && member != typed;
    if (is_new) member = *typed;
    return is_new;
}

// The figures of the recipe as a whole; says which have become others.
void lay_figures(const Call& call, Recipe& recipe, LaidOver& laid) {
    const auto note = [&](bool any, std::string_view what) {
        std::string words(what); // mash rest 63C
        std::ranges::replace(words, '-', ' ');
        if (any) laid.said.push_back(fmt::format("{} {}", words, *call.args.text(what)));
    };
    note(set(recipe.original_gravity,
             read_option(call, "gravity", [](const std::string& text) { return target_gravity(parse_gravity(text)); })),
         "gravity");
    note(set(recipe.boil, read_option(call, "boil",
                                      [](const std::string& text) {
                                          return parse_minutes(text, range_of<Recipe>("boil_minutes"));
                                      })),
         "boil");
    note(set(recipe.mash_rest, read_option(call, "mash-rest",
                                           [](const std::string& text) {
                                               return parse_temperature(text, range_of<Recipe>("mash_rest_c"));
                                           })),
         "mash-rest");
    note(set(recipe.attenuation, read_option(call, "attenuation",
                                             [](const std::string& text) {
                                                 return parse_percent(text, range_of<Recipe>("attenuation_pct"));
                                             })),
         "attenuation");
    note(set(recipe.pitch_rate, read_option(call, "pitch", parse_pitch)), "pitch");
    const auto days = [](std::string_view field) {
        return [=](const std::string& text) { return parse_days(text, range_of<Recipe>(field)); };
    };
    note(set(recipe.tank_days, read_option(call, "tank-days", days("tank_days"))), "tank-days");
    note(set(recipe.harvest_days, read_option(call, "harvest-days", days("harvest_days"))), "harvest-days");
    if (const auto efficiency = parse_efficiency(call)) {
        if (efficiency->sd)
            throw Error(ErrorKind::refused,
                        fmt::format("--efficiency: masses are written for one efficiency, without ± {}",
                                    readable(efficiency->sd->value())),
                        fmt::format("write --efficiency {}%@{}", readable(efficiency->value.value()),
                                    efficiency->in_kettle ? "kettle" : "fermenter"));
        recipe.efficiency_fermenter = recipe.efficiency_kettle = std::nullopt;
        (efficiency->in_kettle ? recipe.efficiency_kettle : recipe.efficiency_fermenter) = efficiency->value;
        note(true, "efficiency");
    }
}

// A rate is of a yeast that states no amount.
void demand_counted(const Call& call, const Recipe& recipe) {
    if (!call.args.has("pitch") || std::ranges::any_of(recipe.others, states_no_amount)) return;
    throw Error(ErrorKind::refused,
                fmt::format("--pitch: recipe `{}` has no yeast that is counted by its cells", recipe.name),
                "name one without an amount: --yeast \"ale yeast\"");
}

void demand_a_grist(const Recipe& recipe) {
    const GristShares shares = shares_of(recipe);
    if (shares.lines == 0) return;
    if (shares.lines != recipe.grist.size())
        throw Error(ErrorKind::refused, "one malt has a share of the grist, another a mass",
                    "give every malt a share, such as 92%, or every malt a mass, such as 4.5kg");
    if (!recipe.original_gravity)
        throw Error(ErrorKind::refused, "shares of a grist say nothing without the gravity to reach",
                    "add such as --gravity 1.048, or give every malt a mass, such as 4.5kg");
    if (!shares.is_whole())
        throw Error(ErrorKind::refused,
                    fmt::format("the shares of the grist sum to {} %, not 100", readable(shares.sum_pct)),
                    shares.sum_pct < 100.0 ? fmt::format("add the malt that lacks, such as --malt MALT={}%",
                                                         readable(100.0 - shares.sum_pct))
                                           : fmt::format("take off {} % in all", readable(shares.sum_pct - 100.0)));
}

[[noreturn]] void refuse_no_time(const std::string& item) {
    throw Error(ErrorKind::refused, fmt::format("nothing says when {} goes in", item),
                "write it behind the amount: @boil,60 for minutes before the boil's end, @stand,20,80C or @dry,4 for "
                "days");
}

void demand_time(const HopLine& line, bool is_placed) {
    if (!is_placed || (line.stage == Stage::boil && !line.minutes)) refuse_no_time(line.item);
}

std::string said(const GristLine& line) {
    return line.share ? fmt::format("{} {} %", line.item, readable(line.share->value()))
                      : fmt::format("{} {}", line.item, to_text(Amount::of(*line.mass)));
}
std::string said(const HopLine& line) {
    return fmt::format("{} {}, {}", line.item,
                       line.bitterness ? fmt::format("{} IBU", readable(line.bitterness->value()))
                                       : to_text(Amount::of(*line.mass)),
                       report::when_text(line.stage, line.minutes, line.temperature, line.days));
}
std::string said(const OtherLine& line) {
    if (states_no_amount(line)) return line.item + " by its cells";
    const Amount amount = line.mass     ? Amount::of(*line.mass)
                          : line.volume ? Amount::of(*line.volume)
                                        : Amount::pieces(*line.count);
    return fmt::format("{} {}, {}", line.item, to_text(amount), report::when_text(line.stage, line.minutes, {}, {}));
}

// What the places of an item's lines are, for choosing one of them.
template <class Line>
std::string places_text(const std::vector<Line>& lines, const std::string& item) {
    std::string text;
    for (const Line& line : lines)
        if (line.item == item) text += (text.empty() ? "" : "; ") + said(line);
    return text;
}

// Whether all that was typed of a place is so.
bool is_at(const Place& place, const Place& typed) {
    return place.stage == typed.stage && (!typed.minutes || place.minutes == typed.minutes) &&
           (!typed.temperature || place.temperature == typed.temperature) && (!typed.days || place.days == typed.days);
}

// What was typed twice is one line too many, or two of a sum that nobody said.
template <class Line>
void demand_once(const std::vector<TypedLine<Line>>& typed) {
    for (auto line = typed.begin(); line != typed.end(); ++line)
        if (std::any_of(typed.begin(), line, [&](const TypedLine<Line>& before) {
                return before.line.item == line->line.item && before.place == line->place;
            }))
            throw Error(ErrorKind::refused, fmt::format("{} stands twice: {}", line->line.item, said(line->line)),
                        "give it once, with its whole amount, or say another time behind it");
}

void demand_once(const std::vector<GristLine>& typed) {
    for (auto line = typed.begin(); line != typed.end(); ++line)
        if (std::find_if(typed.begin(), line, [&](const GristLine& before) { return before.item == line->item; }) !=
            line)
            throw Error(ErrorKind::refused, fmt::format("{} stands twice: {}", line->item, said(*line)),
                        "give it once, with its whole share or mass");
}

// The line that a typed one alters: that of the same item at the time that was typed, as far as it was typed; where
// none was, the only one of the item.
template <class Line>
void alter(std::vector<Line>& lines, const TypedLine<Line>& typed, LaidOver& laid) {
    const std::string& item = typed.line.item;
    const auto is_item = [&](const Line& line) { return line.item == item; };
    const bool is_exact = typed.place && std::ranges::any_of(lines, [&](const Line& line) {
                              return is_item(line) && place_of(line) == *typed.place;
                          });
    const auto is_it = [&](const Line& line) {
        if (!is_item(line) || !typed.place) return is_item(line);
        return is_exact ? place_of(line) == *typed.place : is_at(place_of(line), *typed.place);
    };
    const auto count = std::ranges::count_if(lines, is_it);
    if (count > 1)
        throw Error(ErrorKind::refused, fmt::format("{} has several lines: {}", item, places_text(lines, item)),
                    "say which behind the amount, such as @boil,60");
    if (count == 0) {
        if constexpr (std::is_same_v<Line, HopLine>) demand_time(typed.line, typed.place.has_value());
        lines.push_back(typed.line);
    } else {
        Line& line = *std::ranges::find_if(lines, is_it);
        const Place place = place_of(line);
        const Line before = line;
        line = typed.line;
        put(place, line);
        if constexpr (std::is_same_v<Line, HopLine>)
            if (line.mass) line.alpha = before.alpha;
        laid.said.push_back(said(line));
        return;
    }
    laid.said.push_back(said(lines.back()));
}

// Shares that nothing was said of fill what the others leave, in proportion.
void give_way(std::vector<GristLine>& grist, const std::vector<std::string>& stated) {
    double kept = 0.0, left = 0.0;
    const auto is_stated = [&](const GristLine& line) { return std::ranges::find(stated, line.item) != stated.end(); };
    for (const GristLine& line : grist) {
        if (!line.share) return;
        (is_stated(line) ? kept : left) += line.share->value();
    }
    if (left <= 0.0 || kept >= 100.0) return; // for demand_a_grist
    for (GristLine& line : grist)
        if (!is_stated(line)) line.share = Percent(line.share->value() * (100.0 - kept) / left);
}

template <class Line>
std::size_t drop_from(std::vector<Line>& lines, const Dropped& dropped) {
    return std::erase_if(lines, [&](const Line& line) {
        if (line.item != dropped.item) return false;
        if constexpr (std::is_same_v<Line, GristLine>)
            return !dropped.place || dropped.place->stage == Stage::mash;
        else
            return !dropped.place || is_at(place_of(line), *dropped.place);
    });
}

void drop(const Call& call, const Book& book, Recipe& recipe, LaidOver& laid) {
    for (const Dropped& dropped :
         read_each(call, "drop", [&](const std::string& t) { return parse_dropped(book, t); })) {
        const std::size_t gone =
            drop_from(recipe.grist, dropped) + drop_from(recipe.hops, dropped) + drop_from(recipe.others, dropped);
        if (gone == 0)
            throw Error(ErrorKind::refused, fmt::format("recipe `{}` has no such line: {}", recipe.name, dropped.item),
                        fmt::format("its lines: lotwort recipe show {}", shell_word(recipe.name)));
        laid.said.push_back("without " + dropped.item);
    }
}

// The lines that were typed, but for yeast.
struct TypedLines {
    std::vector<GristLine> malts;
    std::vector<TypedLine<HopLine>> hops;
    std::vector<TypedLine<OtherLine>> others;
};

// Sugar and extract that are typed by mass among the malts are dissolved, not mashed; one that the recipe mashes stays.
void dissolve(const Call& call, const Book& book, const Recipe& recipe, TypedLines& typed) {
    std::erase_if(typed.malts, [&](const GristLine& line) {
        const Item* known = find_item(book, line.item);
        const ItemKind kind = known != nullptr ? known->kind : item_of_name(line.item).kind;
        if (kind != ItemKind::sugar || !line.mass ||
            std::ranges::find(recipe.grist, line.item, &GristLine::item) != recipe.grist.end())
            return false;
        call.understood(fmt::format("{} is dissolved, not mashed: it goes into the kettle", line.item));
        TypedLine<OtherLine> dissolved{{}, Place{Stage::kettle, {}, {}, {}}};
        dissolved.line.item = line.item;
        dissolved.line.stage = Stage::kettle;
        dissolved.line.mass = line.mass;
        typed.others.push_back(std::move(dissolved));
        return true;
    });
}

TypedLines read_lines(Call& call, const Book& book, const Recipe& recipe) {
    TypedLines typed{read_each(call, "malt", [&](const std::string& text) { return parse_malt(book, text); }),
                     read_each(call, "hop", [&](const std::string& text) { return parse_hop(book, text); }),
                     read_each(call, "other", [&](const std::string& text) { return parse_other(book, text); })};
    for (auto& malt : typed.malts) take_item_of_lot(call, book, malt.item);
    for (auto& hop : typed.hops) take_item_of_lot(call, book, hop.line.item);
    for (auto& other : typed.others) take_item_of_lot(call, book, other.line.item);
    dissolve(call, book, recipe, typed);
    demand_once(typed.malts);
    demand_once(typed.hops);
    demand_once(typed.others);
    return typed;
}

// A grist that has become one of shares was written for no efficiency.
void forget_efficiency(const Call& call, Recipe& recipe, LaidOver& laid) {
    if (call.args.has("efficiency") || (!recipe.efficiency_kettle && !recipe.efficiency_fermenter)) return;
    if (shares_of(recipe).lines == 0) return;
    recipe.efficiency_kettle = recipe.efficiency_fermenter = std::nullopt;
    laid.said.emplace_back("without the efficiency, which is of masses");
}

// Lines that were not typed, out of a recipe whose lines were typed whole.
template <class Line, class IsTyped>
void keep_typed(std::vector<Line>& lines, LaidOver& laid, IsTyped&& is_typed) {
    std::erase_if(lines, [&](const Line& line) {
        const bool goes = !is_typed(line);
        if (goes) laid.said.push_back("without " + line.item);
        return goes;
    });
}

void keep_typed(Recipe& recipe, const TypedLines& typed, const std::vector<OtherLine>& yeasts, LaidOver& laid) {
    const auto stands_in = [](const auto& lines, const auto& line) {
        return std::ranges::any_of(lines, [&](const auto& t) {
            return t.line.item == line.item && (!t.place || is_at(place_of(line), *t.place));
        });
    };
    keep_typed(recipe.grist, laid, [&](const GristLine& line) {
        return std::ranges::find(typed.malts, line.item, &GristLine::item) != typed.malts.end();
    });
    keep_typed(recipe.hops, laid, [&](const HopLine& line) { return stands_in(typed.hops, line); });
    keep_typed(recipe.others, laid, [&](const OtherLine& line) {
        return stands_in(typed.others, line) || std::ranges::find(yeasts, line.item, &OtherLine::item) != yeasts.end();
    });
}

// What a line typed whole says that it said before is no change.
void forget_same(const Recipe& before, LaidOver& laid) {
    const auto forget = [&](const auto& lines) {
        for (const auto& line : lines) std::erase(laid.said, said(line));
    };
    forget(before.grist);
    forget(before.hops);
    forget(before.others);
}

} // namespace

LaidOver lay_lines(Call& call, const Book& book, Recipe& recipe) {
    LaidOver laid;
    lay_figures(call, recipe, laid);
    const TypedLines typed = read_lines(call, book, recipe);
    recipe.grist = typed.malts;
    for (const auto& hop : typed.hops) {
        demand_time(hop.line, hop.place.has_value());
        recipe.hops.push_back(hop.line);
    }
    for (const auto& other : typed.others) recipe.others.push_back(other.line);
    for (auto& yeast : read_each(call, "yeast", [&](const std::string& text) { return parse_yeast(book, text); })) {
        laid.yeasts.push_back(yeast.item);
        recipe.others.push_back(std::move(yeast));
    }
    if (!recipe.boil) {
        double minutes = usual_boil_minutes;
        for (const HopLine& hop : recipe.hops)
            if (hop.stage == Stage::boil && hop.minutes) minutes = std::max(minutes, hop.minutes->value());
        recipe.boil = Minutes(minutes);
    }
    demand_a_grist(recipe);
    demand_counted(call, recipe);
    return laid;
}

LaidOver change_lines(Call& call, const Book& book, Recipe& recipe) {
    LaidOver laid;
    const Recipe before = recipe;
    lay_figures(call, recipe, laid);
    drop(call, book, recipe, laid);
    std::vector<std::string> stated;
    const TypedLines typed = read_lines(call, book, recipe);
    auto yeasts = read_each(call, "yeast", [&](const std::string& text) { return parse_yeast(book, text); });
    const bool is_whole = call.args.has("whole");
    if (is_whole) keep_typed(recipe, typed, yeasts, laid);
    for (const GristLine& malt : typed.malts) {
        if (std::ranges::count(recipe.grist, malt.item, &GristLine::item) > 1)
            throw Error(
                ErrorKind::refused,
                fmt::format("{} has several lines: {}", malt.item, places_text(recipe.grist, malt.item)),
                fmt::format("take them out in the same command, --drop {}, and it stands once", shell_word(malt.item)));
        const auto line = std::ranges::find(recipe.grist, malt.item, &GristLine::item);
        if (line == recipe.grist.end()) {
            recipe.grist.push_back(malt);
        } else {
            line->share = malt.share;
            line->mass = malt.mass;
        }
        stated.push_back(malt.item);
        laid.said.push_back(said(malt));
    }
    give_way(recipe.grist, stated);
    forget_efficiency(call, recipe, laid);
    for (const auto& hop : typed.hops) alter(recipe.hops, hop, laid);
    for (const auto& other : typed.others) alter(recipe.others, other, laid);
    for (auto& yeast : yeasts) {
        laid.yeasts.push_back(yeast.item);
        const Place place = place_of(yeast);
        alter(recipe.others, TypedLine<OtherLine>{std::move(yeast), place}, laid);
    }
    demand_a_grist(recipe);
    demand_counted(call, recipe);
    if (is_whole) forget_same(before, laid);
    return laid;
}

void demand_rules(const Recipe& recipe) {
    std::vector<std::string> broken;
    const TellBroken tell = [&](std::string_view /*field*/, std::string_view what) { broken.emplace_back(what); };
    for (const GristLine& line : recipe.grist) check_rules(line, tell);
    for (const HopLine& line : recipe.hops) check_rules(line, tell);
    for (const OtherLine& line : recipe.others) check_rules(line, tell);
    check_rules(recipe, tell);
    if (broken.empty()) return;
    std::string all;
    for (const std::string& what : broken) all += (all.empty() ? "" : "; ") + what;
    throw Error(ErrorKind::refused, fmt::format("recipe `{}`: {}", recipe.name, all),
                "what goes together: lotwort recipe --help");
}

} // namespace lotwort::verbs
