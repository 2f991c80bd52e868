#include "character.hpp"
#include <algorithm>
#include <array>
#include <cmath>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/stock/typical.hpp>

namespace lotwort::plan {

namespace {

// A word of a name, the family it speaks of, its class where that is not the one on the card, and its usual greatest
// share of a grist. The more particular first.
struct Family {
    std::string_view word, name, of_class;
    double most_share;
};
constexpr std::array families{
    Family{"dextrin", "dextrin", "dextrin", 0.10},
    Family{"roasted barley", "roasted barley", "", 0.12},
    Family{"chocolate", "chocolate", "", 0.10},
    Family{"black", "black", "", 0.10},
    Family{"brown", "brown", "", 0.15},
    Family{"caramel", "caramel", "", 0.20},
    Family{"crystal", "caramel", "", 0.20},
    Family{"amber", "amber", "", 0.20},
    Family{"biscuit", "amber", "", 0.20},
    Family{"melanoidin", "melanoidin", "", 0.20},
    Family{"munich", "munich", "", 1.0},
    Family{"vienna", "vienna", "", 1.0},
    Family{"mild", "mild", "", 1.0},
    Family{"pilsner", "pilsner", "", 1.0},
    Family{"lager", "pilsner", "", 1.0},
    Family{"wheat", "wheat", "", 0.70},
    Family{"rye", "rye", "", 0.50},
    Family{"oat", "oats", "", 0.30},
    Family{"spelt", "spelt", "", 0.50},
    Family{"lactose", "unfermented", "unfermented", 0.15},
    Family{"maltodextrin", "unfermented", "unfermented", 0.15},
    Family{"honey", "honey", "", 0.30},
    Family{"pale", "pale", "", 1.0},
};
constexpr std::array special{"smoked", "acid"};
constexpr double whole = 1.0, most_sugar = 0.3;
constexpr double named = 0.1;         // what the user named is nearer than another lot of nearly the same malt
constexpr double foreign_group = 0.5; // of a hop that is boiled

const Family* family_of(const Item& item) {
    const auto at = std::ranges::find_if(families, [&](const Family& f) {
        return (" " + item.name).find(" " + std::string(f.word)) != std::string::npos;
    });
    return at == families.end() ? nullptr : &*at;
}

Character known_by_name(const Item& item) {
    Character c;
    c.item = &item;
    if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar) return c;
    const Family* family = family_of(item);
    if (item.malt_class) c.of_class = *item.malt_class;
    if (item.kind == ItemKind::sugar) c.of_class = "sugar";
    if (family != nullptr) {
        c.family = family->name;
        if (!family->of_class.empty()) c.of_class = family->of_class;
    }
    return c;
}

void put_malt(const MaltFigures& figures, Character& c) {
    c.colour_ebc = std::max(0.0, figures.colour_ebc.value);
    c.extract_pct = figures.extract_fine_dry_pct.value;
    c.power_wk = figures.diastatic_power_wk.value;
}

std::optional<double> class_distance(const Character& a, const Character& b, const Tolerances& t) {
    if (a.of_class.empty() || b.of_class.empty()) return std::nullopt;
    if (std::ranges::find(special, a.of_class) != special.end()) return std::nullopt;
    if (a.of_class == b.of_class) return 0.0;
    const auto are = [&](std::string_view x, std::string_view y) {
        return (a.of_class == x && b.of_class == y) || (a.of_class == y && b.of_class == x);
    };
    if (are("wheat", "base") || are("base", "high-kilned")) return t.other_class;
    return std::nullopt;
}

std::optional<double> malt_distance(const Character& a, const Character& b, const Tolerances& t) {
    const auto by_class = class_distance(a, b, t);
    if (!by_class) return std::nullopt;
    const double shift = t.colour_shift_ebc;
    const double d = *by_class + (a.of_class == b.of_class && a.family != b.family ? t.other_family : 0.0) +
                     std::abs(std::log((a.colour_ebc + shift) / (b.colour_ebc + shift))) / std::log(t.colour_ratio) +
                     std::abs(a.extract_pct - b.extract_pct) / t.extract_points +
                     std::abs(a.power_wk - b.power_wk) / t.power_wk;
    return d <= t.most_distance + 1e-9 ? std::optional(d) : std::nullopt;
}

std::optional<double> hop_distance(const Character& a, const Character& b, HoleKind kind, const Tolerances& t) {
    const bool one_group = a.item->group && a.item->group == b.item->group;
    if (kind == HoleKind::mass) return one_group ? std::optional(0.0) : std::nullopt;
    if (a.alpha_pct <= 0.0 || b.alpha_pct <= 0.0) return std::nullopt;
    return std::abs(std::log(a.alpha_pct / b.alpha_pct)) / std::log(t.colour_ratio) + (one_group ? 0.0 : foreign_group);
}

} // namespace

Character character_of(const Item& item) {
    Character c = known_by_name(item);
    if (item.kind == ItemKind::hop)
        c.alpha_pct = hop_age(item).alpha_pct.value;
    else if (item.kind == ItemKind::malt || item.kind == ItemKind::sugar)
        put_malt(malt_figures(item), c);
    return c;
}

Character character_of(const Item& item, const Lot& lot, Date day) {
    Character c = known_by_name(item);
    if (item.kind == ItemKind::hop)
        c.alpha_pct = hop_age(item, lot, day).alpha_pct.value;
    else if (item.kind == ItemKind::malt || item.kind == ItemKind::sugar)
        put_malt(malt_figures(item, lot, day), c);
    return c;
}

std::optional<double> distance(const Character& asked, const Character& other, HoleKind kind, const Tolerances& t) {
    if (asked.item->name == other.item->name) return 0.0;
    if (asked.item->kind != other.item->kind) return std::nullopt;
    for (const StandIn& word : other.item->stands_for)
        if (word.item == asked.item->name) {
            if (word.allowed == Allowed::never) return std::nullopt;
            return named * word.preference.value_or(1.0);
        }
    return asked.item->kind == ItemKind::hop ? hop_distance(asked, other, kind, t) : malt_distance(asked, other, t);
}

double greatest_share(const Character& malt) {
    if (malt.item->max_share) return malt.item->max_share->value() / 100.0;
    if (const Family* family = family_of(*malt.item)) return family->most_share;
    if (malt.of_class == "caramel") return 0.2;
    if (malt.of_class == "roasted") return 0.12;
    return malt.of_class == "sugar" ? most_sugar : whole;
}

} // namespace lotwort::plan
