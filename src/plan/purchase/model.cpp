#include "model.hpp"
#include "days.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace lotwort::plan {

namespace {

constexpr std::chrono::days one{1};

class Builder {
public:
    Builder(const PurchaseCase& wanted, bool lenient, const OrderDays* only)
        : wanted_(wanted), lenient_(lenient), only_(only) {}

    PurchaseModel build() {
        add_purchase_sources(wanted_, out_, only_);
        for (PurchaseSource& source : out_.sources) add_source(source);
        for (PurchaseGroup& group : out_.groups) add_order(group);
        for (std::size_t n = 0; n < wanted_.needs.size(); ++n) add_need(n);
        add_safety();
        add_limits();
        return std::move(out_);
    }

private:
    void add_source(PurchaseSource& source);
    void add_packs(PurchaseSource& source, double kept_to_end);
    void add_left(const PurchaseSource& source, std::size_t k, const std::string& name, std::vector<Term>& left);
    void add_order(PurchaseGroup& group);
    void add_need(std::size_t n);
    void add_safety();
    void add_safety_of(const std::string& item, const std::vector<Date>& days);
    void add_limits();
    [[nodiscard]] const PurchaseOffer& offer_of(const PurchaseSource& s) const { return wanted_.offers[s.offer]; }
    [[nodiscard]] double money(double amount) const { return lenient_ ? 0.0 : amount; }
    void add_goods(std::vector<Term>& terms, const PurchaseGroup& group) const;

    const PurchaseCase& wanted_;
    bool lenient_;
    const OrderDays* only_;
    std::map<std::string, std::vector<Term>> left_of_; // by item
    PurchaseModel out_;
};

// What is left of the packs of one price.
void Builder::add_left(const PurchaseSource& source, std::size_t k, const std::string& name, std::vector<Term>& left) {
    if (source.value_share <= 0.0) return;
    const PurchaseOffer& offer = offer_of(source);
    const int kept =
        out_.mip.column(name + " left", 0.0, no_limit, money(-source.value_share * offer.steps[k].price / offer.pack));
    out_.mip.row(name + " left of these", {{kept, 1.0}, {source.packs[k], -offer.pack}}, -no_limit, 0.0);
    left.push_back({kept, 1.0});
    left.push_back({source.packs[k], -offer.pack});
    if (wanted_.most_left.contains(source.item)) left_of_[source.item].push_back({kept, 1.0});
}

// kept_to_end: money for keeping a unit from arrival to the horizon, or until it spoils.
void Builder::add_packs(PurchaseSource& source, double kept_to_end) {
    const PurchaseOffer& offer = offer_of(source);
    const int most = most_packs(wanted_, source);
    const auto name = fmt::format("{} {} {}", offer.supplier, offer.item, to_iso(source.from));
    const bool several = offer.steps.size() > 1 || wanted_.most_left.contains(offer.item);
    std::vector<Term> chosen, left;
    for (std::size_t k = 0; k < offer.steps.size(); ++k) {
        const PurchaseStep& step = offer.steps[k];
        // of one price the value of what is left is told by packs and uses; of several, by the packs of that price
        const double value = several ? 0.0 : source.value_share * step.price;
        const int packs = out_.mip.whole(name + " packs", 0.0, std::max(most, step.packs),
                                         money(step.price + offer.pack * kept_to_end - value));
        source.packs.push_back(packs);
        const bool apart = offer.steps.size() > 1 || step.packs > 1;
        if (several) add_left(source, k, name, left);
        if (!apart) continue;
        const int taken = out_.mip.yes_no(name + " price");
        chosen.push_back({taken, 1.0});
        const double up_to = k + 1 < offer.steps.size() ? std::min(most, offer.steps[k + 1].packs - 1) : most;
        out_.mip.row(name + " at most", {{packs, 1.0}, {taken, -std::max<double>(up_to, step.packs)}}, -no_limit, 0.0);
        if (step.packs > 1) out_.mip.row(name + " from", {{packs, 1.0}, {taken, -double(step.packs)}}, 0.0, no_limit);
    }
    if (chosen.size() > 1) out_.mip.row(name + " one price", chosen, -no_limit, 1.0);
    std::vector<Term> used;
    for (const auto& [need, column] : source.uses) used.push_back({column, 1.0});
    if (!left.empty()) {
        left.insert(left.end(), used.begin(), used.end());
        out_.mip.row(name + " left", left, -no_limit, 0.0);
    }
    for (const int packs : source.packs) used.push_back({packs, -offer.pack});
    out_.mip.row(name + " bought", used, -no_limit, 0.0);
}

// Its uses, then what they may come to.
void Builder::add_source(PurchaseSource& source) {
    Date end = wanted_.until + one;
    if (source.spoilt) end = std::min(end, *source.spoilt);
    const double to_end = keeping(wanted_, source.item, source.from, end);
    double value = 0.0; // of a unit that is left, where one price alone tells it
    if (!source.supply && offer_of(source).steps.size() == 1 && !wanted_.most_left.contains(source.item))
        value = source.value_share * offer_of(source).steps.front().price / offer_of(source).pack;
    for (std::size_t n = 0; n < wanted_.needs.size(); ++n) {
        const PurchaseNeed& need = wanted_.needs[n];
        if (!serves(source, need)) continue;
        const double each = counts(wanted_, source, need);
        if (each <= 0.0) continue;
        const double kept = keeping(wanted_, source.item, source.from, need.day);
        const int use = out_.mip.column(fmt::format("{} {} for {}", source.item, to_iso(source.from), n), 0.0,
                                        need.amount / each, money(kept - to_end + value));
        source.uses.emplace_back(n, use);
    }
    if (!source.supply) return add_packs(source, to_end);
    out_.constant += money(source.amount * to_end);
    std::vector<Term> used;
    for (const auto& [need, column] : source.uses) used.push_back({column, 1.0});
    if (!used.empty()) out_.mip.row(source.item + " there", used, -no_limit, source.amount);
}

void Builder::add_goods(std::vector<Term>& terms, const PurchaseGroup& group) const {
    for (const std::size_t s : group.sources) {
        const PurchaseSource& source = out_.sources[s];
        for (std::size_t k = 0; k < source.packs.size(); ++k)
            terms.push_back({source.packs[k], offer_of(source).steps[k].price});
    }
}

// B4 and B5. What an order brings to a need is at most the need, times whether there is the order: that is what keeps
// the relaxation near the truth.
void Builder::add_order(PurchaseGroup& group) {
    if (!needs_opening(wanted_, group)) return;
    const SupplierTerms& terms = terms_of(wanted_, group.supplier);
    const auto name = fmt::format("{} {}", group.supplier, to_iso(group.order_day));
    group.open = out_.mip.yes_no(name + " order", money(group.delivery));
    std::map<std::size_t, std::vector<Term>> brought;
    for (const std::size_t s : group.sources) {
        const PurchaseSource& source = out_.sources[s];
        for (const int packs : source.packs)
            out_.mip.row(name + " packs", {{packs, 1.0}, {group.open, -double(most_packs(wanted_, source))}}, -no_limit,
                         0.0);
        for (const auto& [need, column] : source.uses)
            brought[need].push_back({column, counts(wanted_, source, wanted_.needs[need])});
    }
    for (auto& [need, terms_of_need] : brought) {
        terms_of_need.push_back({group.open, -wanted_.needs[need].amount});
        out_.mip.row(name + " brings", terms_of_need, -no_limit, 0.0);
    }
    if (terms.minimum_order > 0.0) {
        std::vector<Term> goods{{group.open, -terms.minimum_order}};
        add_goods(goods, group);
        out_.mip.row(name + " minimum", goods, 0.0, no_limit);
    }
    if (!terms.free_from || group.delivery <= 0.0) return;
    group.free = out_.mip.yes_no(name + " free", money(-group.delivery));
    std::vector<Term> goods{{group.free, -*terms.free_from}};
    add_goods(goods, group);
    out_.mip.row(name + " free from", goods, 0.0, no_limit);
    out_.mip.row(name + " free of an order", {{group.free, 1.0}, {group.open, -1.0}}, -no_limit, 0.0);
}

void Builder::add_need(std::size_t n) {
    const PurchaseNeed& need = wanted_.needs[n];
    std::vector<Term> terms;
    for (const PurchaseSource& source : out_.sources)
        for (const auto& [served, column] : source.uses)
            if (served == n) terms.push_back({column, counts(wanted_, source, need)});
    if (lenient_) {
        // of two brews the first is served first
        const double early = 1.0 + 1e-3 * static_cast<double>((wanted_.until - need.day).count());
        const double unit = std::max(need.amount, 1e-9);
        out_.missing.push_back(out_.mip.column("missing", 0.0, need.amount, 1000.0 * early / unit));
        terms.push_back({out_.missing.back(), 1.0});
    }
    out_.mip.row(fmt::format("need {}", n), terms, need.amount, need.amount);
}

// B1: what is there after the day. Stock is carried from day to day; what spoils between two days leaves it.
void Builder::add_safety() {
    std::map<std::string, std::vector<Date>> days;
    for (const PurchaseNeed& need : wanted_.needs)
        if (need.safety > 0.0) days[need.item].push_back(need.day);
    if (lenient_) out_.below.assign(wanted_.needs.size(), -1);
    for (auto& [item, on] : days) {
        std::ranges::sort(on);
        on.erase(std::unique(on.begin(), on.end()), on.end());
        add_safety_of(item, on);
    }
}

void Builder::add_safety_of(const std::string& item, const std::vector<Date>& days) {
    int before = -1;
    Date since = wanted_.today - one;
    const auto within = [&](Date day, Date to) { return day > since && day <= to; };
    for (const Date day : days) {
        std::vector<Term> terms;
        double there = 0.0; // of supplies
        for (const PurchaseSource& source : out_.sources) {
            if (source.item != item) continue;
            double comes = within(source.from, day) ? 1.0 : 0.0;
            const bool goes = source.spoilt && within(*source.spoilt, day);
            for (const auto& [need, column] : source.uses) {
                const double used = within(wanted_.needs[need].day, day) ? 1.0 : 0.0;
                terms.push_back({column, (goes ? 1.0 : 0.0) - used});
            }
            comes -= goes ? 1.0 : 0.0;
            if (source.supply) there += comes * source.amount;
            for (const int packs : source.packs) terms.push_back({packs, comes * offer_of(source).pack});
        }
        double safety = 0.0;
        std::size_t at = 0;
        for (std::size_t n = 0; n < wanted_.needs.size(); ++n)
            if (wanted_.needs[n].item == item && wanted_.needs[n].day == day && wanted_.needs[n].safety > safety) {
                safety = wanted_.needs[n].safety;
                at = n;
            }
        const int stock = out_.mip.column(item + " stock " + to_iso(day), lenient_ ? 0.0 : safety, no_limit);
        if (lenient_) {
            out_.below[at] = out_.mip.column("below safety", 0.0, safety, 1.0 / safety);
            out_.mip.row(item + " safety", {{stock, 1.0}, {out_.below[at], 1.0}}, safety, no_limit);
        }
        terms.push_back({stock, -1.0});
        if (before >= 0) terms.push_back({before, 1.0});
        out_.mip.row(item + " stock " + to_iso(day), terms, -there, -there);
        before = stock;
        since = day;
    }
}

void Builder::add_limits() {
    if (wanted_.budget) {
        std::vector<Term> all;
        for (const PurchaseGroup& group : out_.groups) {
            add_goods(all, group);
            if (group.open >= 0) all.push_back({group.open, group.delivery});
            if (group.free >= 0) all.push_back({group.free, -group.delivery});
        }
        out_.mip.row("budget", all, -no_limit, *wanted_.budget);
    }
    for (const auto& [item, left] : left_of_) out_.mip.row(item + " left", left, -no_limit, wanted_.most_left.at(item));
    for (const auto& [offer, packs] : wanted_.packs_between) {
        std::vector<Term> all;
        for (const PurchaseSource& source : out_.sources)
            if (!source.supply && source.offer == offer)
                for (const int column : source.packs) all.push_back({column, 1.0});
        out_.mip.row("packs of an offer", all, packs.first, packs.second);
    }
    if (lenient_) return; // what is missing would break a blend's rule
    for (const BlendRule& rule : wanted_.blends) {
        std::vector<Term> all;
        for (const PurchaseSource& source : out_.sources)
            for (const auto& [need, column] : source.uses)
                if (std::ranges::find(rule.needs, need) != rule.needs.end())
                    all.push_back({column, rule.per_unit(need, source.item,
                                                         source.supply ? &wanted_.supplies[*source.supply] : nullptr)});
        out_.mip.row(rule.name, all, rule.low, rule.high);
    }
}

} // namespace

PurchaseModel purchase_model(const PurchaseCase& wanted, bool lenient, const OrderDays* only) {
    return Builder(wanted, lenient, only).build();
}

} // namespace lotwort::plan
