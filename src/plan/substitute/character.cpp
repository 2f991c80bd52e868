#include "character.hpp"
#include <algorithm>
#include <array>
#include <cmath>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/stock/kinds.hpp>
#include <lotwort/wort/colour.hpp>

namespace lotwort::plan {

namespace {

constexpr std::array special{"smoked", "acid"};
constexpr double whole = 1.0, most_sugar = 0.3;

// Families within a class that never stand in for the others of it, whatever their figures.
constexpr std::array apart{"dextrin", "unfermentable", "malt extract"};

Character known_by_name(const Item& item) {
    Character c;
    c.item = &item;
    if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar) return c;
    c.of_class = item.kind == ItemKind::sugar ? "sugar" : item.malt_class.value_or("");
    if (const KindOfItem* kind = kind_within(item)) {
        c.family = kind->family;
        if (c.of_class.empty()) c.of_class = kind->malt_class;
        if (std::ranges::find(apart, kind->family) != apart.end()) c.of_class = kind->family;
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
    if (a.of_class == "base" && b.of_class == "wheat") return t.other_grain;
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
                     std::max(0.0, a.power_wk - b.power_wk) / t.power_wk; // more of them does no harm
    return d <= t.most_distance + 1e-9 ? std::optional(d) : std::nullopt;
}

std::optional<double> hop_distance(const Character& a, const Character& b, HoleKind kind, const Tolerances& t) {
    const std::string_view group = aroma_group(*a.item);
    const bool one_group = !group.empty() && group == aroma_group(*b.item);
    if (kind == HoleKind::mass && !one_group) return std::nullopt;
    if (a.alpha_pct <= 0.0 || b.alpha_pct <= 0.0) return kind == HoleKind::mass ? std::optional(0.0) : std::nullopt;
    const double kin = !one_group ? t.other_group : are_alike(*a.item, *b.item) ? 0.0 : t.other_hop;
    return std::abs(std::log(a.alpha_pct / b.alpha_pct)) / std::log(t.colour_ratio) + kin;
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
    const auto by_figures =
        asked.item->kind == ItemKind::hop ? hop_distance(asked, other, kind, t) : malt_distance(asked, other, t);
    for (const StandIn& word : other.item->stands_for)
        if (word.item == asked.item->name) {
            if (word.allowed == Allowed::never) return std::nullopt;
            if (word.preference) return t.named * *word.preference;
            return by_figures.value_or(t.let_in); // and not put first
        }
    return by_figures;
}

double lovibond_of(double ebc) {
    return wort::malt_lovibond(Ebc(std::max(0.0, ebc))).value();
}

bool is_for_colour(const Character& malt) {
    return malt.of_class == "caramel" || malt.of_class == "roasted";
}

double greatest_share(const Character& malt) {
    if (malt.item->max_share) return malt.item->max_share->value() / 100.0;
    if (const KindOfItem* kind = kind_within(*malt.item)) return kind->max_share_pct / 100.0;
    if (malt.of_class == "caramel") return 0.2;
    if (malt.of_class == "roasted") return 0.12;
    return malt.of_class == "sugar" ? most_sugar : whole;
}

} // namespace lotwort::plan
