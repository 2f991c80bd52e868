#include "purchase_thin.hpp"
#include "purchase_days.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace lotwort::plan {

namespace {

constexpr std::chrono::days one{1};
constexpr std::size_t look_ahead = 8; // uses that an inequality of stock and orders spans

// What is used of an item on one day, at the least that it can be.
struct Use {
    Date day;
    double amount = 0.0, safety = 0.0;
    int stock = -1; // column: what is left after it
};

class Thin {
public:
    explicit Thin(const PurchaseCase& wanted) : wanted_(wanted) {}

    PurchaseModel build() {
        add_purchase_sources(wanted_, out_, nullptr);
        for (PurchaseSource& source : out_.sources)
            if (!source.supply) add_packs(source);
        for (PurchaseGroup& group : out_.groups) add_order(group);
        std::set<std::string> items;
        for (const PurchaseNeed& need : wanted_.needs) items.insert(need.item);
        for (const std::string& item : items) add_item(item);
        return std::move(out_);
    }

private:
    void add_packs(PurchaseSource& source);
    void add_order(PurchaseGroup& group);
    void add_goods(std::vector<Term>& terms, const PurchaseGroup& group) const;
    void add_item(const std::string& item);
    void add_stock(const std::string& item, std::vector<Use>& uses);
    void add_spoiling(const std::string& item, const std::vector<Use>& uses);
    void add_left(const std::string& item, const Use& last);
    void add_need_of_orders(const std::string& item, const std::vector<Use>& uses);
    [[nodiscard]] std::vector<Use> uses_of(const std::string& item) const;
    [[nodiscard]] const PurchaseOffer& offer_of(const PurchaseSource& s) const { return wanted_.offers[s.offer]; }

    const PurchaseCase& wanted_;
    PurchaseModel out_;
};

void Thin::add_packs(PurchaseSource& source) {
    const PurchaseOffer& offer = offer_of(source);
    const int most = most_packs(wanted_, source);
    // kept until the next use of the item; from there on the stock pays
    Date next = wanted_.until + one;
    bool used = false;
    for (const PurchaseNeed& need : wanted_.needs)
        if (need.item == source.item && need.day >= source.from) {
            next = std::min(next, need.day);
            used = true;
        }
    // what nobody will use is worth at the end what it is worth
    const double kept = keeping(wanted_, source.item, source.from, next),
                 worth = used || wanted_.most_left.contains(source.item) ? 0.0 : source.value_share;
    std::vector<Term> chosen;
    for (std::size_t k = 0; k < offer.steps.size(); ++k) {
        const PurchaseStep& step = offer.steps[k];
        // parts of packs will do here: it is the days that are sought
        const int packs =
            out_.mip.column("packs", 0.0, std::max(most, step.packs), step.price * (1.0 - worth) + offer.pack * kept);
        source.packs.push_back(packs);
        if (step.packs <= 1) continue;
        const int taken = out_.mip.yes_no("price");
        chosen.push_back({taken, 1.0});
        out_.mip.row("at most", {{packs, 1.0}, {taken, -double(std::max(most, step.packs))}}, -no_limit, 0.0);
        out_.mip.row("from", {{packs, 1.0}, {taken, -double(step.packs)}}, 0.0, no_limit);
    }
    if (chosen.size() > 1) out_.mip.row("one price", chosen, -no_limit, 1.0);
}

void Thin::add_goods(std::vector<Term>& terms, const PurchaseGroup& group) const {
    for (const std::size_t s : group.sources)
        for (std::size_t k = 0; k < out_.sources[s].packs.size(); ++k)
            terms.push_back({out_.sources[s].packs[k], offer_of(out_.sources[s]).steps[k].price});
}

void Thin::add_order(PurchaseGroup& group) {
    if (!needs_opening(wanted_, group)) return;
    const SupplierTerms& terms = terms_of(wanted_, group.supplier);
    group.open = out_.mip.yes_no("order", group.delivery);
    for (const std::size_t s : group.sources)
        for (const int packs : out_.sources[s].packs)
            out_.mip.row("packs", {{packs, 1.0}, {group.open, -double(most_packs(wanted_, out_.sources[s]))}},
                         -no_limit, 0.0);
    if (terms.minimum_order > 0.0) {
        std::vector<Term> goods{{group.open, -terms.minimum_order}};
        add_goods(goods, group);
        out_.mip.row("minimum", goods, 0.0, no_limit);
    }
    if (!terms.free_from || group.delivery <= 0.0) return;
    group.free = out_.mip.yes_no("free", -group.delivery);
    std::vector<Term> goods{{group.free, -*terms.free_from}};
    add_goods(goods, group);
    out_.mip.row("free from", goods, 0.0, no_limit);
    out_.mip.row("free of an order", {{group.free, 1.0}, {group.open, -1.0}}, -no_limit, 0.0);
}

// At the least: by the richest thing that could serve it.
std::vector<Use> Thin::uses_of(const std::string& item) const {
    std::map<Date, Use> by_day;
    for (const PurchaseNeed& need : wanted_.needs) {
        if (need.item != item) continue;
        double richest = 0.0;
        for (const PurchaseSource& source : out_.sources)
            if (source.item == item && serves(source, need)) richest = std::max(richest, counts(wanted_, source, need));
        Use& use = by_day[need.day];
        use.day = need.day;
        use.amount += richest > 0.0 ? need.amount / richest : need.amount;
        use.safety = std::max(use.safety, need.safety);
    }
    std::vector<Use> uses;
    for (const auto& [day, use] : by_day) uses.push_back(use);
    return uses;
}

void Thin::add_item(const std::string& item) {
    std::vector<Use> uses = uses_of(item);
    add_stock(item, uses);
    add_spoiling(item, uses);
    add_left(item, uses.back());
    add_need_of_orders(item, uses);
}

// B1, with what is thrown away free: stock after a use is at most stock before it, and what came, less the use.
void Thin::add_stock(const std::string& item, std::vector<Use>& uses) {
    Date since = wanted_.today - one;
    int before = -1;
    for (std::size_t u = 0; u < uses.size(); ++u) {
        const Date next = u + 1 < uses.size() ? uses[u + 1].day : wanted_.until + one;
        uses[u].stock = out_.mip.column("stock", uses[u].safety, no_limit, keeping(wanted_, item, uses[u].day, next));
        std::vector<Term> terms{{uses[u].stock, -1.0}};
        if (before >= 0) terms.push_back({before, 1.0});
        double there = 0.0;
        for (const PurchaseSource& source : out_.sources) {
            if (source.item != item || source.from <= since || source.from > uses[u].day) continue;
            there += source.amount;
            for (const int packs : source.packs) terms.push_back({packs, offer_of(source).pack});
        }
        out_.mip.row("stock", terms, uses[u].amount - there, no_limit);
        before = uses[u].stock;
        since = uses[u].day;
    }
}

// B6: what is used on a day and left after it is of things that still serve.
void Thin::add_spoiling(const std::string& item, const std::vector<Use>& uses) {
    for (const Use& use : uses) {
        bool spoils = false;
        double there = 0.0;
        std::vector<Term> good;
        for (const PurchaseSource& source : out_.sources) {
            if (source.item != item || source.from > use.day) continue;
            if (source.spoilt && use.day >= *source.spoilt) {
                spoils = true;
                continue;
            }
            there += source.amount;
            for (const int packs : source.packs) good.push_back({packs, offer_of(source).pack});
        }
        if (!spoils) continue;
        good.push_back({use.stock, -1.0});
        out_.mip.row("good", good, use.amount - there, no_limit);
    }
}

// What is left is of packs that were bought, each worth what its age leaves of its price.
void Thin::add_left(const std::string& item, const Use& last) {
    std::vector<Term> all{{last.stock, -1.0}};
    for (const PurchaseSource& source : out_.sources) {
        if (source.item != item || source.supply || source.value_share <= 0.0 || source.from > last.day) continue;
        const PurchaseOffer& offer = offer_of(source);
        for (std::size_t k = 0; k < offer.steps.size(); ++k) {
            const int left =
                out_.mip.column("left", 0.0, no_limit, -source.value_share * offer.steps[k].price / offer.pack);
            out_.mip.row("left of these", {{left, 1.0}, {source.packs[k], -offer.pack}}, -no_limit, 0.0);
            all.push_back({left, 1.0});
        }
    }
    out_.mip.row("left", all, -no_limit, 0.0);
    const auto most = wanted_.most_left.find(item);
    if (most == wanted_.most_left.end()) return;
    all.erase(all.begin());
    if (!all.empty()) out_.mip.row("most left", all, -no_limit, most->second);
}

// Without an order since a use, the stock after it must serve the uses that follow: what keeps the relaxation near the
// truth (the (l,S) inequalities of Barany, Van Roy and Wolsey 1984, in their form for stock).
void Thin::add_need_of_orders(const std::string& item, const std::vector<Use>& uses) {
    for (std::size_t k = 0; k < uses.size(); ++k) {
        const Date since = k == 0 ? wanted_.today - one : uses[k - 1].day;
        double needed = 0.0, least = no_limit;
        std::map<int, double> relief; // by order
        std::vector<std::pair<Date, int>> orders;
        double there = 0.0;
        bool for_nothing = false; // something can come without an order that costs
        for (std::size_t l = k; l < uses.size() && l < k + look_ahead && !for_nothing; ++l) {
            for (const PurchaseSource& source : out_.sources) {
                const Date from = l == k ? since : uses[l - 1].day;
                if (source.item != item || source.from <= from || source.from > uses[l].day) continue;
                there += source.amount;
                if (source.supply) continue;
                const int open = out_.groups[source.group].open;
                for_nothing = for_nothing || open < 0;
                if (open >= 0) orders.emplace_back(source.from, open);
            }
            if (for_nothing) break;
            needed += uses[l].amount;
            least = std::min(least, uses[l].safety);
            std::set<int> seen;
            for (const auto& [from, open] : orders)
                if (seen.insert(open).second) relief[open] += uses[l].amount;
            std::vector<Term> terms;
            if (k > 0) terms.push_back({uses[k - 1].stock, 1.0});
            // an order can spare the uses from its arrival on, and the safety stock beyond
            for (const auto& [open, amount] : relief) terms.push_back({open, amount + least});
            if (!terms.empty()) out_.mip.row("orders", terms, needed + least - there, no_limit);
        }
    }
}

} // namespace

PurchaseModel thin_purchase_model(const PurchaseCase& wanted) {
    return Thin(wanted).build();
}

bool can_be_thin(const PurchaseCase& wanted) {
    return !wanted.budget && wanted.packs_between.empty() && wanted.blends.empty() &&
           std::ranges::all_of(wanted.needs, [](const PurchaseNeed& need) { return need.alternatives.empty(); });
}

std::size_t count_uses(const PurchaseCase& wanted) {
    PurchaseModel model;
    add_purchase_sources(wanted, model, nullptr);
    std::size_t uses = 0;
    for (const PurchaseSource& source : model.sources)
        for (const PurchaseNeed& need : wanted.needs) uses += serves(source, need) ? 1U : 0U;
    return uses;
}

} // namespace lotwort::plan
