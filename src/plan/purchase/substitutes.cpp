#include "substitutes.hpp"
#include "cards.hpp"
#include "substitute/case.hpp"
#include <algorithm>
#include <lotwort/brew/meant_figures.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/wort/colour.hpp>

namespace lotwort::plan {

namespace {

struct MaltNumbers {
    double lovibond = 0.0, power_wk = 0.0;
};

using NumbersOf = std::function<MaltNumbers(const std::string& item, const PurchaseSupply* supply)>;

// By item, and by lot where the lot's own certificate says more.
NumbersOf numbers_of(const PurchaseWish& wish) {
    std::map<std::string, MaltNumbers> known;
    const auto add = [&](const std::string& name, const MaltFigures& figures) {
        known[name] = {wort::malt_lovibond(Ebc(std::max(0.0, figures.colour_ebc.value))).value(),
                       figures.diastatic_power_wk.value};
    };
    for (const Item& item : wish.items) {
        if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar) continue;
        add(item.name, malt_figures(item));
        for (const LotState& state : wish.lots)
            if (state.lot.item == item.name) add("lot " + state.lot.code, malt_figures(item, state.lot, wish.today));
    }
    return [known = std::move(known)](const std::string& item, const PurchaseSupply* supply) {
        const auto lot = supply != nullptr ? known.find("lot " + supply->name) : known.end();
        const auto found = lot != known.end() ? lot : known.find(item);
        return found != known.end() ? found->second : MaltNumbers{};
    };
}

// As it is where no line takes anything but its own: no rule may ask for more than that.
double as_it_is(const PurchaseCase& wanted, const BlendRule& rule) {
    double sum = 0.0;
    for (const std::size_t n : rule.needs) {
        const PurchaseNeed& need = wanted.needs[n];
        const PurchaseSupply* there = need.set_aside ? &wanted.supplies[*need.set_aside] : nullptr;
        sum += need.amount * rule.per_unit(n, need.item, there);
    }
    return sum;
}

void add_rule(BlendRule rule, PurchaseCase& wanted) {
    const double now = as_it_is(wanted, rule);
    rule.low = std::min(rule.low, now);
    rule.high = std::max(rule.high, now);
    wanted.blends.push_back(std::move(rule));
}

// The brew as its cards have it: who may stand in where, and what the grist must keep.
struct BrewByCards {
    const BrewToFill* brew;
    Nominal nominal;
    BrewLimits limits;
    std::map<std::string, double> most_share;
};

BrewByCards by_cards(const BrewToFill& brew, const PurchaseWish& wish) {
    BrewByCards made{&brew, nominal_brew(brew, wish.items), {}, {}};
    GristSums sums;
    std::map<std::string, double> own;
    for (const Need& need : made.nominal.needs) {
        if (!need.is_grist) continue;
        const Character c = character_of(*item_called(wish.items, need.item));
        sums.add(need.mass_kg, c.colour_ebc, c.power_wk);
        own[need.item] += need.mass_kg;
    }
    made.limits = limits_of(brew, sums, {});
    for (const Item& item : wish.items) {
        if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar) continue;
        const double stated = greatest_share(character_of(item));
        if (stated < 1.0)
            made.most_share[item.name] = std::max(stated, sums.mass_kg > 0.0 ? own[item.name] / sums.mass_kg : 0.0);
    }
    return made;
}

void add_rules(const BrewByCards& brew, const std::vector<std::size_t>& grist, const NumbersOf& numbers,
               PurchaseCase& wanted) {
    const std::string& code = brew.brew->code;
    add_rule({"colour of " + code, grist,
              [numbers](std::size_t, const std::string& item, const PurchaseSupply* supply) {
                  return numbers(item, supply).lovibond;
              },
              brew.limits.colour_low, brew.limits.colour_high},
             wanted);
    add_rule({"enzymes of " + code, grist,
              [numbers, floor = brew.limits.power_floor_wk](std::size_t, const std::string& item,
                                                            const PurchaseSupply* supply) {
                  return numbers(item, supply).power_wk - floor;
              },
              0.0, no_limit},
             wanted);
    for (const auto& [limited, most] : brew.most_share)
        add_rule({"share of " + limited + " in " + code, grist,
                  [limited = limited, most = most](std::size_t, const std::string& item, const PurchaseSupply*) {
                      return (item == limited ? 1.0 : 0.0) - most;
                  },
                  -no_limit, 0.0},
                 wanted);
}

HoleKind kind_of(const Need& need) {
    if (!need.is_hop_line) return HoleKind::extract;
    return is_bittering(need.stage, need.minutes) ? HoleKind::bitterness : HoleKind::mass;
}

// What a unit of it gives of what the line asks for.
double gives(const Item& item, HoleKind kind) {
    if (kind == HoleKind::extract) return malt_figures(item).extract_as_is.value;
    return kind == HoleKind::bitterness ? hop_age(item).alpha_pct.value : 1.0;
}

void add_alternatives(const PurchaseWish& wish, const Need& line, PurchaseNeed& need) {
    if (need.set_aside || need.item != line.item) return; // settled
    const Item& own = *item_called(wish.items, line.item);
    const double own_gives = gives(own, kind_of(line));
    if (own_gives <= 0.0) return;
    for (const Item& other : wish.items) {
        if (other.name == own.name || gives(other, kind_of(line)) <= 0.0) continue;
        const bool known =
            std::ranges::any_of(need.alternatives, [&](const Alternative& a) { return a.item == other.name; });
        if (!known && distance(character_of(own), character_of(other), kind_of(line), {}))
            need.alternatives.push_back({other.name, gives(other, kind_of(line)) / own_gives});
    }
}

} // namespace

void add_substitutes(const PurchaseWish& wish, DrawnPurchase& drawn) {
    const NumbersOf numbers = numbers_of(wish);
    for (const BrewToFill& brew : wish.brews) {
        if (std::ranges::none_of(drawn.wanted.needs, [&](const PurchaseNeed& n) { return n.brew == brew.code; }))
            continue;
        const BrewByCards cards = by_cards(brew, wish);
        std::vector<std::size_t> grist;
        for (const Need& line : cards.nominal.needs) {
            if ((!line.is_grist && !line.is_hop_line) || line.mass_kg <= 0.0) continue;
            for (std::size_t n = 0; n < drawn.wanted.needs.size(); ++n) {
                PurchaseNeed& need = drawn.wanted.needs[n];
                if (need.brew != brew.code || need.line != line.line) continue;
                if (line.is_grist) grist.push_back(n);
                add_alternatives(wish, line, need);
            }
        }
        if (std::ranges::any_of(grist, [&](std::size_t n) { return !drawn.wanted.needs[n].alternatives.empty(); }))
            add_rules(cards, grist, numbers, drawn.wanted);
    }
}

} // namespace lotwort::plan
