#include "substitutes.hpp"
#include "substitute/case.hpp"
#include <algorithm>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/wort/colour.hpp>

namespace lotwort::plan {

namespace {

// A lot of everything there is a card of, as the card has it: what could be bought.
std::vector<LotState> as_cards(const PurchaseWish& wish) {
    std::vector<LotState> lots;
    for (const Item& item : wish.items) {
        LotState state;
        state.lot.code = state.lot.item = item.name;
        state.lot.received = wish.today;
        state.lot.received_amount = state.on_hand = Amount::of(Kilograms(1e6));
        lots.push_back(std::move(state));
    }
    return lots;
}

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

void add_rules(const CaseBrew& brew, const std::vector<std::size_t>& grist, const NumbersOf& numbers,
               PurchaseCase& wanted) {
    const std::string& code = brew.brew->code;
    add_rule({"colour of " + code, grist,
              [numbers](std::size_t, const std::string& item, const PurchaseSupply* supply) {
                  return numbers(item, supply).lovibond;
              },
              brew.colour_low, brew.colour_high},
             wanted);
    add_rule(
        {"enzymes of " + code, grist,
         [numbers, floor = brew.power_floor_wk](std::size_t, const std::string& item, const PurchaseSupply* supply) {
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

} // namespace

void add_substitutes(const PurchaseWish& wish, DrawnPurchase& drawn) {
    SubstituteRequest request;
    request.items = wish.items;
    request.lots = as_cards(wish);
    request.today = wish.today;
    for (const BrewToFill& brew : wish.brews)
        if (std::ranges::any_of(drawn.wanted.needs, [&](const PurchaseNeed& n) { return n.brew == brew.code; }))
            request.brews.push_back(brew);
    const SubstitutionCase cards = substitution_case(request);
    const NumbersOf numbers = numbers_of(wish);
    std::vector<std::vector<std::size_t>> grist(cards.brews.size());
    for (const CaseLine& line : cards.lines) {
        const std::string& code = cards.brews[line.brew].brew->code;
        for (std::size_t n = 0; n < drawn.wanted.needs.size(); ++n) {
            PurchaseNeed& need = drawn.wanted.needs[n];
            if (need.brew != code || need.line != line.line) continue;
            if (line.kind == LineKind::grist) grist[line.brew].push_back(n);
            if (need.set_aside || need.item != line.item->name) continue; // settled
            const auto own = std::ranges::find(line.candidates, line.item, &Candidate::item);
            if (own == line.candidates.end()) continue;
            for (const Candidate& other : line.candidates) {
                if (other.item == line.item) continue;
                const bool known = std::ranges::any_of(
                    need.alternatives, [&](const Alternative& a) { return a.item == other.item->name; });
                if (!known) need.alternatives.push_back({other.item->name, line.counts(other) / line.counts(*own)});
            }
        }
    }
    for (std::size_t b = 0; b < cards.brews.size(); ++b)
        if (std::ranges::any_of(grist[b], [&](std::size_t n) { return !drawn.wanted.needs[n].alternatives.empty(); }))
            add_rules(cards.brews[b], grist[b], numbers, drawn.wanted);
}

} // namespace lotwort::plan
