#include "purchase_trials.hpp"
#include "chance.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::test {

using namespace plan;

namespace {

constexpr std::chrono::days one{1};

struct Kind {
    const char* name;
    int items;
    double mass, pack, price; // of a brew's line; of a pack
    int shelf_life;
};

} // namespace

PurchaseCase weekly_purchase(unsigned seed, int weeks) {
    const Kind kinds[] = {{"base", 4, 150.0, 25.0, 28.0, 365},
                          {"malt", 9, 18.0, 25.0, 36.0, 365},
                          {"hop", 12, 1.2, 1.0, 21.0, 500},
                          {"yeast", 3, 2.0, 1.0, 62.0, 120},
                          {"salt", 2, 0.15, 1.0, 7.0, 900}};
    Chance chance(seed);
    PurchaseCase wanted;
    wanted.today = *parse_iso_date("2026-03-02");
    wanted.until = wanted.today + std::chrono::days(7 * weeks + 6);
    for (int s = 0; s < 5; ++s) {
        SupplierTerms terms{"supplier " + std::to_string(s)};
        terms.delivery = chance.draw(12, 45);
        if (s % 2 == 0) terms.free_from = chance.draw(500, 1200);
        if (s % 3 == 0) terms.minimum_order = chance.draw(80, 200);
        terms.closed[0] = terms.closed[6] = true;
        wanted.suppliers.push_back(terms);
    }
    std::vector<std::vector<std::string>> names;
    for (const Kind& kind : kinds) {
        auto& of_kind = names.emplace_back();
        for (int i = 0; i < kind.items; ++i) {
            of_kind.push_back(std::string(kind.name) + " " + std::to_string(i));
            const int first = kind.mass > 10.0 ? 0 : kind.shelf_life == 500 ? 2 : 4;
            for (int k = 0; k < (first == 4 ? 1 : 2); ++k) {
                const double price = std::round(100.0 * kind.price * chance.of(0.85, 1.15)) / 100.0;
                const int supplier = first + k;
                PurchaseOffer offer{
                    "supplier " + std::to_string(supplier), of_kind.back(), kind.pack, {}, 2 + supplier % 3};
                offer.steps = {{1, price}};
                if (kind.mass >= kind.pack) offer.steps.push_back({10, std::round(95.0 * price) / 100.0});
                offer.shelf_life_days = kind.shelf_life;
                wanted.offers.push_back(offer);
            }
            wanted.holding[of_kind.back()].per_day = 0.08 / 365.0 * kind.price / kind.pack; // 8 % a year
        }
    }
    for (int week = 0; week < weeks; ++week) {
        const Date day = wanted.today + std::chrono::days(7 * week + 10);
        for (std::size_t k = 0; k < names.size(); ++k) {
            const auto count = static_cast<int>(names[k].size());
            const int first = chance.draw(0, count - 1), lines = k == 1 || k == 2 ? 3 : 1;
            for (int l = 0; l < lines; ++l) {
                const double amount = kinds[k].mass * (k == 3 ? 1.0 : chance.of(0.7, 1.3));
                wanted.needs.push_back({names[k][static_cast<std::size_t>((first + l) % count)], day, amount,
                                        k == 3 ? 0.0 : 0.1 * kinds[k].mass});
            }
        }
    }
    return wanted;
}

PurchaseCase drawn_purchase(unsigned seed) {
    Chance chance(seed);
    PurchaseCase wanted;
    wanted.today = *parse_iso_date("2026-03-02") + std::chrono::days(chance.draw(0, 6));
    const int items = chance.draw(1, 2), suppliers = chance.draw(1, 2);
    const int days = items == 2 ? 5 : 7;
    for (int i = 0; i < items; ++i) {
        const std::string item = i == 0 ? "malt" : "hop";
        const int safety = chance.once_in(3) ? 1 : 0;
        std::set<int> on;
        for (int k = 0; k < (items == 2 ? 2 : 3); ++k) on.insert(chance.draw(1, days));
        for (const int day : on)
            wanted.needs.push_back(
                {item, wanted.today + std::chrono::days(day), double(chance.draw(1, 2)), double(safety), "P1"});
        if (chance.once_in(2))
            wanted.supplies.push_back({"lot", item, double(chance.draw(1, 2)), wanted.today - one, {}});
        if (chance.once_in(3) && !wanted.supplies.empty())
            wanted.supplies.back().last = wanted.today + std::chrono::days(chance.draw(0, 4));
        if (chance.once_in(3)) wanted.holding[item].per_day = 0.25 * chance.draw(1, 4);
    }
    for (const PurchaseNeed& need : wanted.needs) wanted.until = std::max(wanted.until, need.day);
    for (int s = 0; s < suppliers; ++s) {
        SupplierTerms terms{s == 0 ? "north" : "south"};
        if (!chance.once_in(4)) terms.delivery = chance.draw(1, 8);
        if (chance.once_in(3)) terms.free_from = chance.draw(8, 18);
        if (chance.once_in(4)) terms.minimum_order = chance.draw(8, 16);
        if (chance.once_in(3)) terms.closed[static_cast<std::size_t>(chance.draw(0, 6))] = true;
        const int lead = chance.draw(0, 2);
        for (int i = 0; i < items; ++i) {
            if (suppliers == 2 && chance.once_in(4)) continue;
            PurchaseOffer offer{terms.name, i == 0 ? "malt" : "hop", double(chance.draw(1, 3)), {}, lead};
            const int price = chance.draw(4, 9);
            offer.steps.push_back({1, double(price)});
            if (chance.once_in(3))
                offer.steps.push_back({chance.draw(2, 3), double(chance.draw((price + 1) / 2, price))});
            if (chance.once_in(3)) offer.shelf_life_days = chance.draw(2, 6);
            if (chance.once_in(5)) offer.valid_until = wanted.today + std::chrono::days(chance.draw(1, 4));
            if (chance.once_in(2)) offer.worth_days = chance.draw(1, 12);
            wanted.offers.push_back(offer);
        }
        wanted.suppliers.push_back(terms);
    }
    if (chance.once_in(5)) wanted.budget = chance.draw(15, 40);
    if (chance.once_in(3)) wanted.most_left["malt"] = chance.draw(0, 3);
    if (items == 1 && chance.once_in(2)) { // a sack that is promised to a brew of its own
        const PurchaseNeed& like = wanted.needs[std::size_t(chance.draw(0, int(wanted.needs.size()) - 1))];
        wanted.supplies.push_back({"kept", like.item, double(chance.draw(1, 2)), wanted.today - one});
        wanted.supplies.back().set_aside = true;
        PurchaseNeed kept = like;
        kept.brew = "P2";
        kept.amount = wanted.supplies.back().amount;
        kept.set_aside = wanted.supplies.size() - 1;
        wanted.needs.push_back(kept);
    }
    return wanted;
}

namespace {

// Units that came together.
struct Batch {
    int offer = -1;  // a lot of the house: -1
    Date from, gone; // usable from, and first day not
    int units = 0;
    double price = 0.0; // of a unit
    friend auto operator<=>(const Batch&, const Batch&) = default;
};

using Stock = std::vector<std::vector<Batch>>; // by item

class Trier {
public:
    Trier(const PurchaseCase& wanted, double at_most) : wanted_(wanted), at_most_(at_most) {
        for (const PurchaseNeed& need : wanted.needs)
            if (std::ranges::find(items_, need.item) == items_.end()) items_.push_back(need.item);
    }

    // Day after day: every stock that can be reached, with the least that it cost to get there.
    double run() {
        Stock stock(items_.size());
        for (const PurchaseSupply& supply : wanted_.supplies)
            if (!supply.set_aside)
                stock[item(supply.item)].push_back(
                    {-1, supply.from, supply.last ? *supply.last + one : Date::max(), int(supply.amount), 0.0});
        std::map<State, double> today{{{stock, wanted_.budget.value_or(no_limit)}, 0.0}};
        for (Date on = wanted_.today; on <= wanted_.until; on += one) {
            tomorrow_.clear();
            for (const auto& [state, cost] : today) order(0, on, state.first, state.second, cost);
            today.swap(tomorrow_);
        }
        double best = no_limit;
        for (const auto& [state, cost] : today) best = std::min(best, cost - worth(state.first));
        return best;
    }

private:
    using State = std::pair<Stock, double>; // and the money left

    [[nodiscard]] std::size_t item(const std::string& name) const {
        return static_cast<std::size_t>(std::ranges::find(items_, name) - items_.begin());
    }

    // What the stock would fetch at the end if none of it were used: a plan costs at least what it has spent less that.
    [[nodiscard]] double worth(const Stock& stock) const {
        double sum = 0.0;
        for (std::size_t i = 0; i < stock.size(); ++i) {
            std::vector<double> units; // what each that is left is worth
            for (const Batch& batch : stock[i]) {
                if (batch.offer < 0 || batch.gone <= wanted_.until) continue;
                const PurchaseOffer& offer = wanted_.offers[static_cast<std::size_t>(batch.offer)];
                const double age = double((wanted_.until - batch.from).count());
                double share = 1.0;
                if (offer.shelf_life_days)
                    share = 1.0 - age / *offer.shelf_life_days;
                else if (offer.worth_days)
                    share = std::max(0.0, 1.0 - age / *offer.worth_days);
                units.insert(units.end(), std::size_t(batch.units), batch.price * share);
            }
            std::ranges::sort(units, std::greater<>());
            if (const auto most = wanted_.most_left.find(items_[i]); most != wanted_.most_left.end())
                units.resize(std::min(units.size(), std::size_t(most->second)));
            for (const double unit : units) sum += unit;
        }
        return sum;
    }

    // Each supplier in turn, then each of its offers.
    void order(std::size_t supplier, Date on, const Stock& stock, double money, double spent) {
        if (supplier == wanted_.suppliers.size()) {
            use(0, on, stock, money, spent);
            return;
        }
        const SupplierTerms& terms = wanted_.suppliers[supplier];
        std::vector<int> packs(wanted_.offers.size(), 0);
        if (terms.closed[std::chrono::weekday(on).c_encoding()]) {
            order(supplier + 1, on, stock, money, spent);
            return;
        }
        choose(0, supplier, on, packs, stock, money, spent);
    }

    [[nodiscard]] int most(const PurchaseOffer& offer) const {
        const SupplierTerms& terms = *std::ranges::find(wanted_.suppliers, offer.supplier, &SupplierTerms::name);
        double units = 0.0;
        for (const PurchaseNeed& need : wanted_.needs)
            if (need.item == offer.item) units += need.amount + (need.safety > 0 && units == 0 ? 1 : 0);
        double packs = std::max(std::ceil(units / offer.pack), double(offer.steps.back().packs));
        packs = std::max(packs, std::ceil(terms.minimum_order / offer.steps.back().price));
        packs = std::max(packs, std::ceil(terms.free_from.value_or(0.0) / offer.steps.back().price));
        return int(packs);
    }

    void choose(std::size_t o, std::size_t supplier, Date on, std::vector<int>& packs, const Stock& stock, double money,
                double spent) {
        if (o == wanted_.offers.size()) {
            place(supplier, on, packs, stock, money, spent);
            return;
        }
        const PurchaseOffer& offer = wanted_.offers[o];
        const SupplierTerms& terms = wanted_.suppliers[supplier];
        const Date arrives = on + std::chrono::days(offer.lead_days);
        const bool can = offer.supplier == terms.name && arrives <= wanted_.until &&
                         !terms.closed[std::chrono::weekday(arrives).c_encoding()] &&
                         (!offer.valid_until || on <= *offer.valid_until);
        for (int n = 0; n <= (can ? most(offer) : 0); ++n) {
            packs[o] = n;
            choose(o + 1, supplier, on, packs, stock, money, spent);
        }
        packs[o] = 0;
    }

    void place(std::size_t supplier, Date on, const std::vector<int>& packs, const Stock& stock, double money,
               double spent) {
        const SupplierTerms& terms = wanted_.suppliers[supplier];
        Stock grown = stock;
        double goods = 0.0;
        bool any = false;
        for (std::size_t o = 0; o < packs.size(); ++o) {
            if (packs[o] == 0) continue;
            any = true;
            const PurchaseOffer& offer = wanted_.offers[o];
            double price = 0.0;
            for (const PurchaseStep& step : offer.steps)
                if (packs[o] >= step.packs) price = step.price;
            goods += packs[o] * price;
            const Date arrives = on + std::chrono::days(offer.lead_days);
            const Date gone = offer.shelf_life_days ? arrives + std::chrono::days(*offer.shelf_life_days) : Date::max();
            grown[item(offer.item)].push_back({int(o), arrives, gone, int(packs[o] * offer.pack), price / offer.pack});
        }
        double cost = goods;
        if (any && goods < terms.minimum_order) return;
        if (any && !(terms.free_from && goods >= *terms.free_from)) cost += terms.delivery;
        if (cost > money + 1e-9) return;
        order(supplier + 1, on, grown, money - cost, spent + cost);
    }

    void use(std::size_t i, Date on, const Stock& stock, double money, double spent) {
        if (spent - worth(stock) > at_most_) return;
        if (i == items_.size()) {
            overnight(on, stock, money, spent);
            return;
        }
        int needed = 0;
        double safety = 0.0;
        for (const PurchaseNeed& need : wanted_.needs)
            if (need.item == items_[i] && need.day == on) {
                needed += need.set_aside ? 0 : int(need.amount);
                safety = std::max(safety, need.safety);
            }
        Stock left = stock;
        take(i, 0, needed, safety, on, left, money, spent);
    }

    void take(std::size_t i, std::size_t b, int needed, double safety, Date on, Stock& stock, double money,
              double spent) {
        if (b == stock[i].size()) {
            if (needed > 0) return;
            double there = 0.0;
            for (const PurchaseNeed& need : wanted_.needs) // what is kept for a later day is there until then
                if (need.item == items_[i] && need.set_aside && need.day > on) there += need.amount;
            for (const Batch& batch : stock[i])
                if (batch.from <= on && on < batch.gone) there += batch.units;
            if (there >= safety) use(i + 1, on, stock, money, spent);
            return;
        }
        const int before = stock[i][b].units;
        const bool usable = stock[i][b].from <= on && on < stock[i][b].gone;
        for (int n = 0; n <= (usable ? std::min(needed, before) : 0); ++n) {
            stock[i][b].units = before - n;
            take(i, b + 1, needed - n, safety, on, stock, money, spent);
        }
        stock[i][b].units = before;
    }

    void overnight(Date on, const Stock& stock, double money, double spent) {
        Stock kept(stock.size());
        double cost = spent;
        for (std::size_t i = 0; i < stock.size(); ++i) {
            const auto holding = wanted_.holding.find(items_[i]);
            for (const Batch& batch : stock[i]) {
                if (batch.units == 0 || on >= batch.gone) continue;
                if (batch.from <= on && holding != wanted_.holding.end()) cost += batch.units * holding->second.per_day;
                kept[i].push_back(batch);
            }
            for (const PurchaseNeed& need : wanted_.needs)
                if (need.item == items_[i] && need.set_aside && need.day > on && holding != wanted_.holding.end())
                    cost += need.amount * holding->second.per_day;
            std::ranges::sort(kept[i]);
        }
        if (cost - worth(kept) > at_most_) return;
        const auto [at, is_new] = tomorrow_.emplace(State{kept, money}, cost);
        if (!is_new) at->second = std::min(at->second, cost);
    }

    const PurchaseCase& wanted_;
    double at_most_;
    std::vector<std::string> items_;
    std::map<State, double> tomorrow_;
};

} // namespace

double tried_out_cost(const PurchaseCase& wanted, double at_most) {
    return Trier(wanted, at_most).run();
}

bool could_be_in_time(const PurchaseCase& wanted, double money) {
    PurchaseCase in_cash = wanted; // what is left makes no plan late, and many to be tried
    for (const PurchaseOffer& offer : wanted.offers) in_cash.most_left[offer.item] = 0.0;
    return std::isfinite(tried_out_cost(in_cash, money));
}

} // namespace lotwort::test
