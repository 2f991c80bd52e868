#include <algorithm>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/brew_cost.hpp>
#include <lotwort/desk/packages.hpp>
#include <lotwort/stock/order_rest.hpp>
#include <lotwort/stock/share.hpp>
#include <lotwort/stock/supplier_terms.hpp>
#include <lotwort/stock/worth.hpp>
#include <set>
#include <tuple>

namespace lotwort {

std::map<std::string, Money, std::less<>>
freight_beside(const Book& definitions, const std::function<std::optional<Lot>(const std::string&)>& lot) {
    struct Delivery {
        std::int64_t goods = 0, came = 0;
        std::vector<std::string> lots;
        std::vector<std::int64_t> weights;
    };
    std::map<std::pair<std::string, Date>, Delivery> deliveries; // once for each supplier and day of order
    for (const Order& order : definitions.orders) {
        if (order.freight || order.freight_after) continue; // in the price of its lots, or billed
        Delivery& delivery = deliveries[{order.supplier, order.ordered}];
        for (const OrderLine& line : order.lines) delivery.goods += line.cost.minor;
        for (const std::string& code : order.received) {
            const auto received = lot(code);
            if (!received) continue;
            delivery.lots.push_back(code);
            delivery.weights.push_back(received->price.value_or(Money{}).minor);
            delivery.came += delivery.weights.back();
        }
    }
    std::map<std::string, Money, std::less<>> freight;
    const std::vector<Supplier> suppliers = suppliers_with_terms(definitions.suppliers, definitions.offers);
    for (auto& [key, delivery] : deliveries) {
        const auto supplier = std::ranges::find(suppliers, key.first, &Supplier::name);
        if (supplier == suppliers.end() || !supplier->delivery || delivery.lots.empty()) continue;
        if (supplier->free_delivery_from && delivery.goods >= supplier->free_delivery_from->minor) continue;
        // what has not come yet will bear its own part
        delivery.weights.push_back(std::max<std::int64_t>(0, delivery.goods - delivery.came));
        const auto parts = shared_out(supplier->delivery->minor, delivery.weights);
        for (std::size_t i = 0; i < delivery.lots.size(); ++i) freight[delivery.lots[i]].minor += parts[i];
    }
    for (const Order& order : definitions.orders)
        for (const auto& [code, part] : freight_billed_after(order, lot)) freight[code].minor += part.minor;
    return freight;
}

struct BrewCosts::Impl {
    Ledger& ledger;
    Book definitions;
    std::string currency;
    std::map<std::string, Lot, std::less<>> lots;
    std::map<std::string, std::vector<Movement>, std::less<>> movements;
    std::map<std::string, Brew, std::less<>> brews;
    std::map<std::string, std::vector<std::string>, std::less<>> harvested; // lots of a brew
    bool all_read = false;
    LotValues goods, freight;

    explicit Impl(Ledger& of)
        : ledger(of), definitions(of.definitions()), currency(of.currency()),
          goods([this](const std::string& code) { return lot(code); },
                [this](const std::string& code) { return moved(code); }),
          freight([this](const std::string& code) { return with_freight(lot(code)); },
                  [this](const std::string& code) { return moved(code); }) {}

    std::optional<Lot> lot(const std::string& code) {
        if (const auto known = lots.find(code); known != lots.end()) return known->second;
        auto state = ledger.lot(code);
        if (!state) return std::nullopt;
        return lots[code] = std::move(state->lot);
    }
    std::vector<Movement> moved(const std::string& code) {
        const auto [at, is_new] = movements.try_emplace(code);
        if (is_new) at->second = ledger.movements(code);
        return at->second;
    }
    const Brew* brew(const std::string& code) {
        const auto [at, is_new] = brews.try_emplace(code);
        if (is_new && !all_read)
            if (auto found = ledger.brew(code)) at->second = *std::move(found);
        return at->second.code.empty() ? nullptr : &at->second;
    }
    const std::vector<std::string>& harvested_of(const std::string& code) {
        const auto [at, is_new] = harvested.try_emplace(code);
        if (is_new && !all_read)
            for (const LotState& state : ledger.lots_harvested(code)) at->second.push_back(state.lot.code);
        return at->second;
    }

    std::optional<Lot> with_freight(std::optional<Lot> of) {
        if (!freight_read) {
            freight_read = true;
            by_lot = freight_beside(definitions, [this](const std::string& code) { return lot(code); });
        }
        if (!of) return of;
        const auto found = by_lot.find(of->code);
        of->price = found == by_lot.end() ? Money{} : found->second;
        return of;
    }
    std::map<std::string, Money, std::less<>> by_lot;
    bool freight_read = false;
    const std::optional<std::string> itself; // no run of packages

    // What a brew took of a lot: for itself, or to prime a run of packages.
    struct Taken {
        const Lot& lot;
        const std::string& brew;
        const std::optional<std::string>& package;
        [[nodiscard]] bool holds(const Movement& m) const { return m.brew == brew && m.package == package; }
    };
    // What that changed of the lot's worth, positive; none where nobody knows.
    static std::optional<Money> cost_in(LotValues& values, const Lot& lot, const Taken& taken) {
        Money sum;
        for (const LotValues::Step& step : values.steps(lot)) {
            if (!taken.holds(step.movement)) continue;
            if (!step.change) return std::nullopt;
            sum.minor -= step.change->minor;
        }
        return sum;
    }
    std::optional<Money> goods_of(const Taken& taken) { return cost_in(goods, taken.lot, taken); }
    Money freight_of(const Taken& taken) { return cost_in(freight, *with_freight(taken.lot), taken).value_or(Money{}); }
    Amount used_in(const Taken& taken) {
        Amount used{taken.lot.received_amount.measure, 0};
        for (const LotValues::Step& step : goods.steps(taken.lot))
            if (taken.holds(step.movement)) used = used - step.movement.change;
        return used;
    }

    // Harvested of another brew, and nobody paid for it since.
    static bool is_harvested(const Lot& lot) { return lot.harvested_from && !lot.price; }

    // The brews that a lot was pitched into and is in, by day.
    std::vector<std::string> pitched(const Lot& yeast) {
        std::vector<std::string> codes;
        for (const LotValues::Step& step : goods.steps(yeast))
            if (step.movement.brew && std::ranges::find(codes, *step.movement.brew) == codes.end() &&
                used_in({yeast, *step.movement.brew, itself}).units > 0)
                codes.push_back(*step.movement.brew);
        return codes;
    }
    // The lots of that yeast in a brew.
    std::vector<Lot> yeast_in(const std::string& code, const std::string& item) {
        std::vector<Lot> found;
        const Brew* const in = brew(code);
        if (in == nullptr) return found;
        std::set<std::string> seen;
        for (const Addition& addition : in->additions)
            if (seen.insert(addition.lot).second)
                if (auto known = lot(addition.lot); known && known->item == item) found.push_back(*std::move(known));
        return found;
    }

    // The brew that pitched the bought yeast a lot descends from; empty where the way is lost.
    std::string root_of(const Lot& yeast, std::string pitched_into) {
        Lot at = yeast;
        for (std::set<std::string> seen; is_harvested(at) && seen.insert(at.code).second;) {
            pitched_into = *at.harvested_from;
            const auto before = yeast_in(pitched_into, yeast.item);
            if (before.empty()) return {};
            at = before.front();
        }
        return is_harvested(at) ? std::string() : pitched_into;
    }
    // That brew and all that pitched what was harvested of it, of one another in turn.
    std::vector<std::string> generations(const std::string& root, const std::string& item) {
        std::vector<std::string> all{root};
        for (std::size_t i = 0; i < all.size(); ++i)
            for (const std::string& code : harvested_of(all[i])) {
                const auto yeast = lot(code);
                if (!yeast || yeast->item != item || !is_harvested(*yeast)) continue;
                for (const std::string& next : pitched(*yeast))
                    if (std::ranges::find(all, next) == all.end()) all.push_back(next);
            }
        return all;
    }

    // A brew's part of the yeast of an item, and how many bear it; none where it is no yeast that was shared.
    struct YeastPart {
        Money goods, freight;
        int brews = 0;
        std::string root;
    };
    std::optional<YeastPart> yeast_part(const Lot& yeast, const std::string& brew_code) {
        const std::string root = root_of(yeast, brew_code);
        if (root.empty()) return std::nullopt;
        const auto all = generations(root, yeast.item);
        const auto me = std::ranges::find(all, brew_code);
        if (me == all.end()) return std::nullopt;
        YeastPart part;
        part.root = root;
        part.brews = static_cast<int>(all.size());
        Money sum, carried;
        for (const Lot& bought : yeast_in(root, yeast.item)) {
            if (is_harvested(bought)) continue;
            const auto cost = goods_of({bought, root, itself});
            if (!cost) return std::nullopt;
            sum.minor += cost->minor;
            carried.minor += freight_of({bought, root, itself}).minor;
        }
        const std::vector<std::int64_t> equal(all.size(), 1);
        const auto at = static_cast<std::size_t>(me - all.begin());
        part.goods = Money{shared_out(std::max<std::int64_t>(0, sum.minor), equal)[at]};
        part.freight = Money{shared_out(std::max<std::int64_t>(0, carried.minor), equal)[at]};
        return part;
    }

    report::CostLine line_of(const Taken& taken, std::set<std::string>& yeasts) {
        const Lot& of = taken.lot;
        report::CostLine line;
        line.lot = of.code;
        line.item = of.item;
        line.package = taken.package;
        const auto item = std::ranges::find(definitions.items, of.item, &Item::name);
        if (item != definitions.items.end() && item->kind == ItemKind::yeast)
            if (const auto part = yeast_part(of, taken.brew)) {
                // of several lots of one yeast the first bears the part
                const bool first = yeasts.insert(of.item).second;
                line.cost = first ? part->goods : Money{};
                line.freight = first ? part->freight : Money{};
                line.shared_by = part->brews;
                return line;
            }
        line.cost = goods_of(taken);
        line.freight = freight_of(taken);
        return line;
    }
};

BrewCosts::BrewCosts(Ledger& ledger, Reads reads) : impl_(std::make_unique<Impl>(ledger)) {
    if (reads == Reads::as_asked) return;
    for (LotState& state : ledger.lots()) {
        if (state.lot.harvested_from) impl_->harvested[*state.lot.harvested_from].push_back(state.lot.code);
        const std::string code = state.lot.code;
        impl_->lots.emplace(code, std::move(state.lot));
    }
    for (Brew& brew : ledger.brews()) {
        const std::string code = brew.code;
        impl_->brews.emplace(code, std::move(brew));
    }
    impl_->all_read = true;
}

BrewCosts::~BrewCosts() = default;

report::BrewCost BrewCosts::of(const Brew& brew) {
    report::BrewCost cost;
    cost.currency = impl_->currency;
    std::set<std::string> yeasts;
    std::set<std::pair<std::string, std::optional<std::string>>> seen;
    for (const Addition& addition : brew.additions) {
        if (!seen.emplace(addition.lot, addition.package).second) continue;
        const auto lot = impl_->lot(addition.lot);
        LOTWORT_CHECK(lot);
        const Impl::Taken taken{*lot, brew.code, addition.package};
        const Amount used = impl_->used_in(taken);
        if (used.units == 0) continue;
        report::CostLine line = impl_->line_of(taken, yeasts);
        line.amount = used;
        cost.freight.minor += line.freight.minor;
        if (line.cost)
            cost.sum.minor += line.cost->minor;
        else if (std::ranges::find(cost.without_price, line.lot) == cost.without_price.end())
            cost.without_price.push_back(line.lot);
        cost.lines.push_back(std::move(line));
    }
    std::ranges::sort(cost.without_price);
    return cost;
}

report::BrewCost brew_cost(const Brew& brew, Ledger& ledger) {
    BrewCosts costs(ledger);
    report::BrewCost cost = costs.of(brew);
    const report::BeerLeft tank = beer_left(ledger, ledger.definitions(), brew.code);
    Money all;
    for (const Brew& one : ledger.brews_of_fermenter(brew.code)) {
        const auto of_one = costs.of(one);
        all.minor += of_one.sum.minor + of_one.freight.minor;
        cost.fermenter_is_priced = cost.fermenter_is_priced && of_one.without_price.empty();
    }
    cost.fermenter = all;
    cost.fermenter_brews = static_cast<int>(tank.brews.size());
    if (tank.held) cost.fermenter_l = tank.held->value();
    if (tank.packaged.value() > 0.0) cost.packaged_l = tank.packaged.value();
    return cost;
}

} // namespace lotwort
