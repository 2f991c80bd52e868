#include "cards.hpp"
#include "safety.hpp"
#include "substitutes.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/rules.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/plan/purchase_demand.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/stock/supplier_terms.hpp>
#include <lotwort/stock/yeast.hpp>

namespace lotwort::plan {

namespace {

constexpr std::array<std::string_view, 7> week{"sunday",   "monday", "tuesday", "wednesday",
                                               "thursday", "friday", "saturday"};

class Drawer {
public:
    explicit Drawer(const PurchaseWish& wish) : wish_(wish) {}
    DrawnPurchase draw();

private:
    void add_brews();
    void add_brew(const BrewToFill& brew);
    void add_need(const BrewToFill& brew, const Need& need, double amount, double spread);
    void add_kept(const BrewToFill& brew, const KeptPlan& kept, const Nominal& nominal);
    std::size_t set_aside(const Reservation& reservation);
    void add_beyond();
    void add_lots();
    void add_orders();
    void add_suppliers();
    void add_offers();
    void drop_covered();
    void add_holding();
    [[nodiscard]] double spread_of(const BrewToFill& brew, const Nominal& nominal, const Need& need) const;
    [[nodiscard]] double spread_of_lot(const std::string& code, double of_card, Date day) const;
    bool measures_in(const std::string& item, Measure measure, const std::string& brew);
    void say(std::string sentence) {
        if (std::ranges::find(out_.says, sentence) == out_.says.end()) out_.says.push_back(std::move(sentence));
    }

    const PurchaseWish& wish_;
    std::optional<Learned> learned_;
    std::vector<double> spread_; // relative standard deviation, by need
    DrawnPurchase out_;
};

// Relative standard deviation of what a line will take.
double Drawer::spread_of(const BrewToFill& brew, const Nominal& nominal, const Need& need) const {
    if (need.is_grist) {
        const Estimate& og = nominal.forecast.original_gravity_sg;
        return og.value > 1.001 ? og.sd / (og.value - 1.0) : 0.0;
    }
    if (!need.is_hop_line || need.stage == Stage::dry || need.stage == Stage::stand) return 0.0;
    const auto hop = static_cast<std::size_t>(need.line) - brew.recipe.grist.size();
    // a stated mass is weighed whatever the lot holds; it is the bitterness that asks for more of a poor one
    if (brew.recipe.hops[hop].mass) return 0.0;
    const Item* item = item_called(wish_.items, need.item);
    const Figure alpha = alpha_pct(*item);
    return alpha.value > 0.0 ? alpha.sd / alpha.value : 0.0;
}

// Of a hop that is in the house its certificate knows the alpha better than the card does.
double Drawer::spread_of_lot(const std::string& code, double of_card, Date day) const {
    const auto state = std::ranges::find(wish_.lots, code, [](const LotState& s) { return s.lot.code; });
    const Item* item = item_called(wish_.items, state->lot.item);
    if (of_card <= 0.0 || item == nullptr || item->kind != ItemKind::hop) return of_card;
    const Figure alpha = hop_age(*item, state->lot, day).alpha_pct;
    return alpha.value > 0.0 ? std::min(of_card, alpha.sd / alpha.value) : of_card;
}

// An item is asked for in one measure: that of what lacks, else the first that anybody names.
bool Drawer::measures_in(const std::string& item, Measure measure, const std::string& brew) {
    const auto [at, is_new] = out_.measure.emplace(item, measure);
    if (is_new || at->second == measure) return true;
    say(fmt::format("{} is asked for in different measures: its line in {} is left out", item, brew));
    return false;
}

void Drawer::add_need(const BrewToFill& brew, const Need& need, double amount, double spread) {
    PurchaseNeed made{need.item, brew.date, amount, 0.0, brew.code};
    made.line = need.line;
    const auto line = static_cast<std::size_t>(need.line);
    const auto means = [](const auto& typed, const auto&... figures) { return typed && (!figures && ...); };
    if (need.is_grist) {
        const GristLine& grist = brew.recipe.grist[line];
        made.by_mass = means(grist.mass, grist.extract, grist.colour);
    }
    const std::size_t others = brew.recipe.grist.size() + brew.recipe.hops.size();
    if (line >= others) made.by_mass = !states_no_amount(brew.recipe.others[line - others]);
    if (need.is_hop_line) {
        const HopLine& hop = brew.recipe.hops[line - brew.recipe.grist.size()];
        made.by_mass = means(hop.mass, hop.alpha);
    }
    out_.wanted.needs.push_back(std::move(made));
    spread_.push_back(spread);
}

// A sack that is promised to a brew: nothing else may have it, and its date was looked at when it was reserved.
std::size_t Drawer::set_aside(const Reservation& reservation) {
    const auto state = std::ranges::find(wish_.lots, reservation.lot, [](const LotState& s) { return s.lot.code; });
    LOTWORT_CHECK(state != wish_.lots.end());
    PurchaseSupply made{reservation.lot, state->lot.item, in_unit(reservation.amount), state->lot.received};
    made.set_aside = true;
    out_.wanted.supplies.push_back(std::move(made));
    out_.orders.push_back(DrawnPurchase::no_order);
    return out_.wanted.supplies.size() - 1;
}

// As the plan stands: what it has reserved, each for its line, and what it lacks.
void Drawer::add_kept(const BrewToFill& brew, const KeptPlan& kept, const Nominal& nominal) {
    for (Need need : nominal.needs) {
        const double spread = spread_of(brew, nominal, need);
        for (const Reservation& reservation : kept.reserved) {
            if (reservation.line != need.line || reservation.amount.units <= 0) continue;
            const std::size_t supply = set_aside(reservation);
            const PurchaseSupply& there = out_.wanted.supplies[supply];
            need.item = there.item;
            const Measure by = reservation.amount.measure;
            if (out_.measure.emplace(need.item, by).first->second != by) continue; // a harvest, and packs are bought
            add_need(brew, need, there.amount,
                     need.is_hop_line ? spread_of_lot(reservation.lot, spread, brew.date) : spread);
            out_.wanted.needs.back().set_aside = supply;
        }
        for (const KeptPlan::Lack& lack : kept.lacking) {
            if (lack.line != need.line || lack.missing.units <= 0) continue;
            need.item = lack.item;
            if (measures_in(need.item, lack.missing.measure, brew.code))
                add_need(brew, need, in_unit(lack.missing), spread);
        }
    }
}

void Drawer::add_brew(const BrewToFill& brew) {
    const Nominal nominal = nominal_brew(brew, wish_.items);
    if (brew.learned) {
        learned_ = brew.learned;
        for (const std::string& remark : brew.learned->remarks) say(remark);
    }
    if (const auto kept = wish_.kept.find(brew.code); kept != wish_.kept.end())
        return add_kept(brew, kept->second, nominal);
    for (const Need& need : nominal.needs)
        if (need.amount.units > 0 && measures_in(need.item, need.amount.measure, brew.code))
            add_need(brew, need, need.mass_kg > 0.0 ? need.mass_kg : in_unit(need.amount),
                     spread_of(brew, nominal, need));
}

// Brews later than the horizon need nothing yet; what they have reserved is theirs, but is in the house until then.
void Drawer::add_beyond() {
    for (const auto& [code, date] : out_.beyond) {
        const auto kept = wish_.kept.find(code);
        if (kept == wish_.kept.end()) continue;
        for (const Reservation& reservation : kept->second.reserved) {
            const auto state =
                std::ranges::find(wish_.lots, reservation.lot, [](const LotState& s) { return s.lot.code; });
            const auto measure = out_.measure.find(state->lot.item);
            if (measure != out_.measure.end() && measure->second == reservation.amount.measure) set_aside(reservation);
        }
    }
}

void Drawer::add_brews() {
    for (const auto& [brew, kept] : wish_.kept) // what is bought gives the measure, not what is in the house
        for (const KeptPlan::Lack& lack : kept.lacking)
            if (lack.missing.units > 0) out_.measure.emplace(lack.item, lack.missing.measure);
    for (const BrewToFill& brew : wish_.brews) {
        if (brew.date < wish_.today) {
            say(fmt::format("{} was for {}, which has passed: it is left out", brew.code, to_iso(brew.date)));
            continue;
        }
        if (wish_.horizon_days && (brew.date - wish_.today).count() > *wish_.horizon_days) {
            out_.beyond.emplace_back(brew.code, brew.date);
            continue;
        }
        add_brew(brew);
        out_.wanted.until = std::max(out_.wanted.until, brew.date);
    }
    std::ranges::stable_sort(out_.beyond, {}, &std::pair<std::string, Date>::second);
    add_beyond();
}

// What a lot counts. A malt counts by its extract against its card's, a hop by its alpha on the day against its
// card's. A yeast counts by its living cells against a fresh one's.
Worth worth_of_lot(const Item& item, const Lot& lot, const std::optional<Learned>& learned) {
    if (item.kind == ItemKind::malt) {
        const double card = malt_figures(item).extract_as_is.value * learned_share(learned, "", item.name);
        const double of_lot = learned_share(learned, lot.code, item.name);
        return [item, lot, card, of_lot](Date, Date day) {
            return card > 0.0 ? malt_figures(item, lot, day).extract_as_is.value * of_lot / card : 1.0;
        };
    }
    if (item.kind == ItemKind::yeast)
        return [item, lot, card = fresh_cells(item, lot.received_amount.measure)](Date, Date day) {
            return yeast_cells(item, lot, day).now / card;
        };
    if (item.kind != ItemKind::hop) return nullptr;
    const double card = alpha_pct(item).value;
    return
        [item, lot, card](Date, Date day) { return card > 0.0 ? hop_age(item, lot, day).alpha_pct.value / card : 1.0; };
}

// What is bought is taken to be as its card says on the day it comes.
Worth worth_of_offer(const Item& item) {
    if (item.kind != ItemKind::hop) return nullptr;
    return [item, card = alpha_pct(item).value](Date arrived, Date day) {
        Lot lot;
        lot.item = item.name;
        lot.received = arrived;
        lot.certificate.emplace().alpha = Percent(card);
        lot.certificate->analysed = arrived;
        return hop_age(item, lot, day).share_left;
    };
}

void Drawer::add_lots() {
    for (const LotState& state : wish_.lots) {
        const auto measure = out_.measure.find(state.lot.item);
        const Item* item = item_called(wish_.items, state.lot.item);
        if (item == nullptr || state.lot.held || state.free().units <= 0) continue;
        if (measure == out_.measure.end() ? !wish_.allow_substitutes : measure->second != state.on_hand.measure)
            continue;
        out_.wanted.supplies.push_back({state.lot.code, state.lot.item, in_unit(state.free()), state.lot.received,
                                        state.lot.best_before, worth_of_lot(*item, state.lot, learned_), false});
        out_.orders.push_back(DrawnPurchase::no_order);
    }
}

void Drawer::add_orders() {
    for (std::size_t o = 0; o < wish_.orders.size(); ++o) {
        const Order& order = wish_.orders[o];
        for (const OrderRest& rest : rest_of(order, wish_.lots)) {
            if (rest.awaited.units <= 0) continue;
            const std::string& name = order.lines[rest.line].item;
            const Item* item = item_called(wish_.items, name);
            const auto measure = out_.measure.find(name);
            if (item == nullptr || measure == out_.measure.end() || measure->second != rest.awaited.measure) continue;
            if (!order.arrives) {
                say(fmt::format("order {} states no day of arrival: it is not counted on", order.code));
                continue;
            }
            if (*order.arrives < wish_.today)
                say(fmt::format("order {} was due on {}: it is taken to come today", order.code,
                                to_iso(*order.arrives)));
            const Date comes = std::max(*order.arrives, wish_.today);
            std::optional<Date> last;
            if (item->shelf_life_days) last = comes + std::chrono::days(*item->shelf_life_days - 1);
            out_.wanted.supplies.push_back(
                {order.code, name, in_unit(rest.awaited), comes, last, worth_of_offer(*item), true});
            out_.orders.push_back(o);
        }
    }
}

void Drawer::add_suppliers() {
    for (const Supplier& supplier : suppliers_with_terms(wish_.suppliers, wish_.offers)) {
        SupplierTerms terms{supplier.name};
        terms.buffer_days = supplier.buffer_days.value_or(wish_.buffer_days);
        terms.delivery = in_units(supplier.delivery.value_or(Money{}));
        terms.delivery_known = supplier.delivery.has_value();
        terms.minimum_order = in_units(supplier.minimum_order.value_or(Money{}));
        if (supplier.free_delivery_from) terms.free_from = in_units(*supplier.free_delivery_from);
        for (const std::string& day : supplier.closed_weekdays)
            terms.closed[static_cast<std::size_t>(std::ranges::find(week, day) - week.begin()) % 7] = true;
        out_.wanted.suppliers.push_back(std::move(terms));
    }
}

void Drawer::add_offers() {
    for (std::size_t o = 0; o < wish_.offers.size(); ++o) {
        const Offer& offer = wish_.offers[o];
        const Item* item = item_called(wish_.items, offer.item);
        const auto measure = out_.measure.find(offer.item);
        const auto pack = pack_of(offer);
        if (item == nullptr || !pack || pack->units <= 0 || offer.price_steps.empty()) continue;
        if (offer.valid_until && *offer.valid_until < wish_.today) continue;
        const bool may_stand_in = wish_.allow_substitutes && pack->measure == Measure::mass;
        if (measure == out_.measure.end() ? !may_stand_in : measure->second != pack->measure) {
            if (measure != out_.measure.end())
                say(fmt::format("{} sells {} in another measure than the recipes ask for: it is left out",
                                offer.supplier, offer.item));
            continue;
        }
        PurchaseOffer made{offer.supplier, offer.item, in_unit(*pack)};
        for (const PriceStep& step : offer.price_steps) made.steps.push_back({step.packs, in_units(step.price)});
        const auto supplier = std::ranges::find(wish_.suppliers, offer.supplier, &Supplier::name);
        const auto lead = supplier != wish_.suppliers.end() ? supplier->lead_days : std::nullopt;
        made.lead_days = offer.lead_days.value_or(lead.value_or(0));
        if (!offer.lead_days && !lead)
            say(fmt::format("{} states no lead time: its goods are taken to come on the day they are ordered",
                            offer.supplier));
        made.shelf_life_days = offer.shelf_life_days ? offer.shelf_life_days : item->shelf_life_days;
        made.valid_until = offer.valid_until;
        made.worth_days = usual_worth_days(item->kind);
        made.worth = worth_of_offer(*item);
        out_.wanted.offers.push_back(std::move(made));
        out_.offers.push_back(o);
    }
}

// What is free above safety is used before anything is bought, and is not bought to fill an order either.
void Drawer::drop_covered() {
    const std::set<std::string> covered = covered_items(out_.wanted);
    for (std::size_t o = out_.wanted.offers.size(); o-- > 0;) {
        if (!covered.contains(out_.wanted.offers[o].item)) continue;
        out_.wanted.offers.erase(out_.wanted.offers.begin() + static_cast<std::ptrdiff_t>(o));
        out_.offers.erase(out_.offers.begin() + static_cast<std::ptrdiff_t>(o));
    }
}

void Drawer::add_holding() {
    if (wish_.holding_pct_per_year <= 0.0) return;
    for (const PurchaseOffer& offer : out_.wanted.offers) {
        const double per_day = wish_.holding_pct_per_year / 100.0 / 365.0 * offer.steps.front().price / offer.pack;
        double& known = out_.wanted.holding[offer.item].per_day;
        known = known > 0.0 ? std::min(known, per_day) : per_day;
    }
}

DrawnPurchase Drawer::draw() {
    out_.wanted.today = out_.wanted.until = wish_.today;
    out_.wanted.budget = wish_.budget;
    add_brews();
    add_lots();
    add_orders();
    add_suppliers();
    add_offers();
    add_safety(out_.wanted, spread_, wish_.service);
    if (!wish_.allow_substitutes) drop_covered();
    add_holding();
    add_most_left(out_.wanted, wish_.later);
    if (wish_.allow_substitutes) add_substitutes(wish_, out_);
    return std::move(out_);
}

} // namespace

Amount DrawnPurchase::amount_of(const std::string& item, double units) const {
    const auto found = measure.find(item);
    if (found == measure.end() || found->second == Measure::mass) return Amount::of(Kilograms(units));
    if (found->second == Measure::volume) return Amount::of(Litres(units));
    return Amount::pieces(std::llround(units));
}

DrawnPurchase draw_purchase(const PurchaseWish& wish) {
    return Drawer(wish).draw();
}

int usual_worth_days(ItemKind kind) {
    switch (kind) {
    case ItemKind::hop:
        return 730;
    case ItemKind::yeast:
        return 120;
    default:
        return 365;
    }
}

} // namespace lotwort::plan
