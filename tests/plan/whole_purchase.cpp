#include "whole_purchase.hpp"
#include "chance.hpp"
#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace lotwort::test {

using namespace plan;

namespace {

constexpr std::chrono::days one{1};

void draw_terms(Chance& chance, PurchaseCase& wanted, int supplier) {
    SupplierTerms terms{supplier == 0 ? "north" : "south"};
    if (!chance.once_in(5)) terms.delivery = chance.draw(3, 30);
    if (chance.once_in(3)) terms.free_from = chance.draw(30, 120);
    if (chance.once_in(3)) terms.minimum_order = chance.draw(20, 80);
    if (chance.once_in(2)) terms.closed[0] = terms.closed[6] = true;
    if (chance.once_in(3)) terms.buffer_days = chance.draw(1, 2);
    if (chance.once_in(4)) terms.closed[static_cast<std::size_t>(chance.draw(1, 5))] = true;
    wanted.suppliers.push_back(std::move(terms));
}

void draw_offer(Chance& chance, PurchaseCase& wanted, const std::string& supplier, const std::string& item) {
    PurchaseOffer offer{supplier, item, 0.5 * chance.draw(1, 12), {}, chance.draw(0, 5)};
    const double price = chance.draw(20, 150) / 10.0 * offer.pack;
    offer.steps.push_back({1, price});
    if (chance.once_in(3)) offer.steps.push_back({chance.draw(2, 5), std::round(chance.draw(60, 95) * price) / 100.0});
    if (chance.once_in(3)) offer.shelf_life_days = chance.draw(4, 40);
    if (chance.once_in(6)) offer.valid_until = wanted.today + std::chrono::days(chance.draw(2, 12));
    if (chance.once_in(2)) offer.worth_days = chance.draw(5, 60);
    if (item == "hop" && chance.once_in(2))
        offer.worth = [rate = chance.draw(1, 20) / 1000.0](Date arrived, Date day) {
            return std::exp(-rate * static_cast<double>((day - arrived).count()));
        };
    wanted.offers.push_back(std::move(offer));
}

void draw_item(Chance& chance, PurchaseCase& wanted, const std::string& item, int days) {
    std::set<int> on;
    for (int k = chance.draw(1, 3); k > 0; --k) on.insert(chance.draw(3, days));
    const double safety = chance.once_in(3) ? 0.5 * chance.draw(1, 4) : 0.0;
    for (const int day : on)
        wanted.needs.push_back({item, wanted.today + std::chrono::days(day), 0.5 * chance.draw(1, 16), safety, "P"});
    if (chance.once_in(3))
        wanted.supplies.push_back({"lot", item, 0.5 * chance.draw(1, 8), wanted.today - one, std::nullopt});
    if (chance.once_in(6))
        wanted.supplies.push_back({"due", item, 0.5 * chance.draw(1, 8),
                                   wanted.today + std::chrono::days(chance.draw(1, days)), std::nullopt});
    if (chance.once_in(2)) wanted.holding[item].per_day = chance.draw(1, 20) / 100.0;
    if (chance.once_in(2)) wanted.most_left[item] = 0.5 * chance.draw(0, 10);
}

} // namespace

PurchaseCase mixed_purchase(unsigned seed) {
    Chance chance(seed);
    PurchaseCase wanted;
    wanted.today = *parse_iso_date("2026-03-02") + std::chrono::days(chance.draw(0, 6));
    const int items = chance.once_in(3) ? 3 : 2, days = chance.draw(5, 12);
    const char* names[] = {"malt", "hop", "yeast"};
    for (int i = 0; i < items; ++i) draw_item(chance, wanted, names[i], days);
    for (const PurchaseNeed& need : wanted.needs) wanted.until = std::max(wanted.until, need.day);
    const int suppliers = chance.draw(1, 2);
    for (int s = 0; s < suppliers; ++s) {
        draw_terms(chance, wanted, s);
        for (int i = 0; i < items; ++i)
            if (s == 0 || !chance.once_in(3)) draw_offer(chance, wanted, wanted.suppliers.back().name, names[i]);
        if (chance.once_in(3)) draw_offer(chance, wanted, wanted.suppliers.back().name, names[0]); // and another pack
    }
    if (chance.once_in(4)) wanted.budget = chance.draw(60, 300);
    return wanted;
}

namespace {

// Goods of one offer, ordered on one day: what they are, and the columns of them.
struct Bought {
    std::size_t offer = 0;
    Date ordered, from, gone;
    std::vector<int> packs, kept; // by price step: whole packs; what is left of them
    std::vector<int> used;        // by need; -1: cannot serve it
};

struct There {
    std::size_t supply = 0;
    std::vector<int> used; // by need
};

bool is_open(const SupplierTerms& terms, Date day) {
    return !terms.closed[std::chrono::weekday(day).c_encoding()];
}

class Whole {
public:
    explicit Whole(const PurchaseCase& wanted) : wanted_(wanted) {}

    WholeAnswer run() {
        for (std::size_t s = 0; s < wanted_.supplies.size(); ++s) add_supply(s);
        for (Date day = wanted_.today; day <= wanted_.until; day += one)
            for (const SupplierTerms& terms : wanted_.suppliers) add_order(terms, day);
        for (std::size_t n = 0; n < wanted_.needs.size(); ++n) add_need(n);
        for (const auto& [item, most] : wanted_.most_left) {
            std::vector<Term> left;
            for (const Bought& bought : bought_)
                if (wanted_.offers[bought.offer].item == item)
                    for (const int kept : bought.kept) left.push_back({kept, 1.0});
            mip_.row("left", left, -no_limit, most);
        }
        if (wanted_.budget) mip_.row("budget", spent_, -no_limit, *wanted_.budget);
        MipOptions limits;
        limits.relative_gap = 1e-7;
        limits.twice = true;
        const MipAnswer answer = solve(mip_, limits);
        if (answer.status == MipStatus::stopped) throw std::runtime_error("the whole model was not solved");
        return {answer.found(), answer.found() ? answer.objective + constant_ : 0.0};
    }

private:
    // Money for a unit that is in the house at the end of each of these days but the last.
    [[nodiscard]] double keeping(const std::string& item, Date from, Date to) const {
        const auto holding = wanted_.holding.find(item);
        if (holding == wanted_.holding.end() || to <= from) return 0.0;
        return holding->second.per_day * static_cast<double>((to - from).count());
    }

    // The day's goods come just their lead after, or on the next open day where that can never be.
    [[nodiscard]] std::optional<Date> arrival(const SupplierTerms& terms, int lead, Date day) const {
        if (!is_open(terms, day)) return std::nullopt;
        for (Date any = day; any < day + std::chrono::days(7); any += one)
            if (is_open(terms, any) && is_open(terms, any + std::chrono::days(lead))) {
                const Date comes = day + std::chrono::days(lead);
                return is_open(terms, comes) ? std::optional(comes) : std::nullopt;
            }
        Date comes = day + std::chrono::days(lead);
        while (!is_open(terms, comes)) comes += one;
        return comes;
    }

    void add_supply(std::size_t s) {
        const PurchaseSupply& supply = wanted_.supplies[s];
        There there{s, std::vector<int>(wanted_.needs.size(), -1)};
        std::vector<Term> all;
        const Date from = std::max(supply.from, wanted_.today);
        const Date end = supply.last ? std::min(*supply.last + one, wanted_.until + one) : wanted_.until + one;
        const double to_end = keeping(supply.item, from, end);
        for (std::size_t n = 0; n < wanted_.needs.size(); ++n) {
            const PurchaseNeed& need = wanted_.needs[n];
            if (need.item != supply.item || need.day < supply.from || (supply.last && need.day > *supply.last))
                continue;
            there.used[n] = mip_.column("of stock", 0.0, no_limit, keeping(supply.item, from, need.day) - to_end);
            all.push_back({there.used[n], 1.0});
        }
        constant_ += supply.amount * to_end;
        mip_.row("a supply", all, -no_limit, supply.amount);
        there_.push_back(std::move(there));
    }

    void add_order(const SupplierTerms& terms, Date day) {
        if (!is_open(terms, day)) return;
        std::vector<Term> goods;
        const int ordered = mip_.yes_no("order", terms.delivery);
        for (std::size_t o = 0; o < wanted_.offers.size(); ++o) {
            const PurchaseOffer& offer = wanted_.offers[o];
            auto comes = arrival(terms, offer.lead_days, day);
            if (comes) *comes += std::chrono::days(terms.buffer_days);
            if (offer.supplier != terms.name || !comes || *comes > wanted_.until) continue;
            if (offer.valid_until && day > *offer.valid_until) continue;
            add_goods(o, day, *comes, ordered, goods);
        }
        for (const Term& term : goods) spent_.push_back(term);
        spent_.push_back({ordered, terms.delivery});
        std::vector<Term> enough = goods;
        enough.push_back({ordered, -terms.minimum_order});
        mip_.row("minimum", enough, 0.0, no_limit);
        if (!terms.free_from) return;
        const int is_free = mip_.yes_no("free", -terms.delivery);
        goods.push_back({is_free, -*terms.free_from});
        mip_.row("free", goods, 0.0, no_limit);
        mip_.row("free of an order", {{is_free, 1.0}, {ordered, -1.0}}, -no_limit, 0.0);
        spent_.push_back({is_free, -terms.delivery});
    }

    // No more packs than all the item's needs, the supplier's sums and the price steps together could ask for.
    [[nodiscard]] double most(const PurchaseOffer& offer, const SupplierTerms& terms) const {
        double units = 0.0, safety = 0.0;
        for (const PurchaseNeed& need : wanted_.needs)
            if (need.item == offer.item) {
                units += need.amount * 2.0; // however old
                safety = std::max(safety, need.safety);
            }
        return std::ceil((units + safety) / offer.pack) + offer.steps.back().packs +
               std::ceil((terms.minimum_order + terms.free_from.value_or(0.0)) / offer.steps.back().price);
    }

    void add_goods(std::size_t o, Date day, Date comes, int ordered, std::vector<Term>& goods) {
        const PurchaseOffer& offer = wanted_.offers[o];
        const SupplierTerms& terms = *std::ranges::find(wanted_.suppliers, offer.supplier, &SupplierTerms::name);
        Bought bought{o, day, comes, Date::max(), {}, {}, std::vector<int>(wanted_.needs.size(), -1)};
        if (offer.shelf_life_days) bought.gone = comes + std::chrono::days(*offer.shelf_life_days - terms.buffer_days);
        const double to_end = keeping(offer.item, comes, std::min(bought.gone, wanted_.until + one));
        const double age = static_cast<double>((wanted_.until - comes).count() + terms.buffer_days);
        double share = bought.gone <= wanted_.until ? 0.0 : 1.0;
        if (const auto lasts = offer.shelf_life_days ? offer.shelf_life_days : offer.worth_days)
            share *= std::max(0.0, 1.0 - age / *lasts);
        if (offer.worth) share = std::min(share, offer.worth(comes, wanted_.until) / offer.worth(comes, comes));
        const double up_to = most(offer, terms);
        std::vector<Term> one_price{{ordered, -1.0}}, left;
        for (std::size_t k = 0; k < offer.steps.size(); ++k) {
            const PurchaseStep& step = offer.steps[k];
            const int packs = mip_.whole("packs", 0.0, up_to, step.price + offer.pack * to_end);
            const int kept = mip_.column("kept", 0.0, no_limit, -share * step.price / offer.pack);
            const int at_price = mip_.yes_no("price");
            mip_.row("from", {{packs, 1.0}, {at_price, -double(step.packs)}}, 0.0, no_limit);
            const double fewer = k + 1 < offer.steps.size() ? offer.steps[k + 1].packs - 1.0 : up_to;
            mip_.row("up to", {{packs, 1.0}, {at_price, -fewer}}, -no_limit, 0.0);
            mip_.row("kept", {{kept, 1.0}, {packs, -offer.pack}}, -no_limit, 0.0);
            one_price.push_back({at_price, 1.0});
            goods.push_back({packs, step.price});
            left.push_back({kept, 1.0});
            left.push_back({packs, -offer.pack});
            bought.packs.push_back(packs);
            bought.kept.push_back(kept);
        }
        mip_.row("one price", one_price, -no_limit, 0.0);
        std::vector<Term> all;
        for (std::size_t n = 0; n < wanted_.needs.size(); ++n) {
            const PurchaseNeed& need = wanted_.needs[n];
            if (need.item != offer.item || need.day < comes || need.day >= bought.gone) continue;
            bought.used[n] = mip_.column("use", 0.0, no_limit, keeping(offer.item, comes, need.day) - to_end);
            all.push_back({bought.used[n], 1.0});
        }
        left.insert(left.end(), all.begin(), all.end());
        mip_.row("left", left, -no_limit, 0.0);
        for (const int packs : bought.packs) all.push_back({packs, -offer.pack});
        mip_.row("bought", all, -no_limit, 0.0);
        bought_.push_back(std::move(bought));
    }

    [[nodiscard]] bool anything_came(const PurchaseNeed& need) const {
        return std::ranges::any_of(bought_, [&](const Bought& bought) {
            return wanted_.offers[bought.offer].item == need.item && bought.from <= need.day;
        });
    }

    void add_need(std::size_t n) {
        const PurchaseNeed& need = wanted_.needs[n];
        std::vector<Term> served, after;
        double there = 0.0;
        for (const There& lot : there_) {
            const PurchaseSupply& supply = wanted_.supplies[lot.supply];
            if (lot.used[n] >= 0) served.push_back({lot.used[n], 1.0});
            if (supply.item != need.item || supply.from > need.day || (supply.last && *supply.last < need.day))
                continue;
            there += supply.amount;
            add_used_by(lot.used, need.day, after);
        }
        for (const Bought& bought : bought_) {
            const PurchaseOffer& offer = wanted_.offers[bought.offer];
            if (bought.used[n] >= 0)
                served.push_back({bought.used[n], offer.worth ? offer.worth(bought.from, need.day) : 1.0});
            if (offer.item != need.item || bought.from > need.day || bought.gone <= need.day) continue;
            for (const int packs : bought.packs) after.push_back({packs, offer.pack});
            add_used_by(bought.used, need.day, after);
        }
        mip_.row("need", served, need.amount, need.amount);
        // before anything can come no safety stock is asked for
        if (need.safety > 0.0 && anything_came(need)) mip_.row("safety", after, need.safety - there, no_limit);
    }

    void add_used_by(const std::vector<int>& used, Date day, std::vector<Term>& after) const {
        for (std::size_t n = 0; n < used.size(); ++n)
            if (used[n] >= 0 && wanted_.needs[n].day <= day) after.push_back({used[n], -1.0});
    }

    const PurchaseCase& wanted_;
    Mip mip_;
    std::vector<There> there_;
    std::vector<Bought> bought_;
    std::vector<Term> spent_;
    double constant_ = 0.0;
};

} // namespace

WholeAnswer whole_answer(const PurchaseCase& wanted) {
    return Whole(wanted).run();
}

} // namespace lotwort::test
