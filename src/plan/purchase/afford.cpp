#include "afford.hpp"
#include "days.hpp"
#include <algorithm>

namespace lotwort::plan {

namespace {

constexpr double trial_gap = 0.05;  // of plans that only show what the budget reaches
constexpr double trial_time = 0.05; // and their share of the time
constexpr double crumb = 1e-6;

using Needs = std::vector<std::size_t>; // of the whole case

// The needs of each brew, by its first day; last those that lack what nobody sells, and cannot be brewed for any money.
// Needs of no brew are a brew by themselves, day by day.
std::vector<Needs> brews_in_order(const PurchaseCase& wanted, const PurchasePlan& for_any_money) {
    std::map<std::pair<std::string, Date>, Needs> by_brew;
    for (std::size_t n = 0; n < wanted.needs.size(); ++n) {
        const PurchaseNeed& need = wanted.needs[n];
        by_brew[{need.brew, need.brew.empty() ? need.day : Date{}}].push_back(n);
    }
    const auto first_day = [&](const Needs& needs) {
        return std::ranges::min(needs, {}, [&](std::size_t n) { return wanted.needs[n].day; });
    };
    std::vector<Needs> brews;
    for (auto& [brew, needs] : by_brew) brews.push_back(std::move(needs));
    std::ranges::stable_sort(brews, {}, [&](const Needs& needs) { return wanted.needs[first_day(needs)].day; });
    std::ranges::stable_partition(brews, [&](const Needs& needs) {
        return std::ranges::none_of(for_any_money.late, [&](const PurchaseLate& late) {
            return !late.earliest && late.brew == wanted.needs[needs.front()].brew &&
                   (!late.brew.empty() || late.date == wanted.needs[needs.front()].day);
        });
    });
    return brews;
}

class Affording {
public:
    Affording(const PurchaseCase& wanted, const PurchasePlan& for_any_money, const MipOptions& limits, bool is_long,
              const PlanPurchases& plan)
        : wanted_(wanted), limits_(limits), is_long_(is_long), plan_(plan), quick_(limits),
          brews_(brews_in_order(wanted, for_any_money)) {
        quick_.progress = nullptr;
        quick_.relative_gap = std::max(limits.relative_gap, is_long ? trial_gap : limits.relative_gap);
        quick_.seconds = std::max(0.1, trial_time * limits.seconds);
    }

    PurchasePlan run() {
        serve_first();
        // of many brews what is left is seldom enough for another, and each is a search
        for (std::size_t b = first_ + 1; b < brews_.size() && (!is_long_ || b <= first_ + few_more); ++b)
            if (is_enough(with(brews_[b]))) served_ = with(brews_[b]);
        PurchasePlan best = best_plan();
        for (PurchaseUse& use : best.uses) use.need = served_[use.need];
        tell_unserved(best);
        return best;
    }

private:
    static constexpr std::size_t few_more = 3;

    [[nodiscard]] Needs with(const Needs& brew) const {
        Needs all = served_;
        all.insert(all.end(), brew.begin(), brew.end());
        std::ranges::sort(all);
        return all;
    }
    [[nodiscard]] Needs first_brews(std::size_t count) const {
        Needs all;
        for (std::size_t b = 0; b < count; ++b) all.insert(all.end(), brews_[b].begin(), brews_[b].end());
        std::ranges::sort(all);
        return all;
    }

    // How many brews the money reaches for, one after the other: more cost more.
    void serve_first() {
        std::size_t high = brews_.size() + 1;
        while (high - first_ > 1) {
            const std::size_t middle = is_long_ ? (first_ + high) / 2 : first_ + 1;
            if (is_enough(first_brews(middle)))
                first_ = middle;
            else
                high = middle;
        }
        served_ = first_brews(first_);
    }

    // The case of these needs alone, without a budget.
    [[nodiscard]] PurchaseCase part(const Needs& kept) const {
        PurchaseCase made = wanted_;
        made.budget.reset();
        made.needs.clear();
        made.blends.clear();
        for (const std::size_t n : kept) made.needs.push_back(wanted_.needs[n]);
        for (BlendRule rule : wanted_.blends) {
            for (std::size_t& need : rule.needs)
                need = static_cast<std::size_t>(std::ranges::find(kept, need) - kept.begin());
            if (std::ranges::find(rule.needs, kept.size()) != rule.needs.end()) continue; // of a brew left out
            rule.per_unit = [&kept, asked = rule.per_unit](std::size_t need, const std::string& item,
                                                           const PurchaseSupply* supply) {
                return asked(kept[need], item, supply);
            };
            made.blends.push_back(std::move(rule));
        }
        return made;
    }

    // Is the money enough for these? The least money, that is: a safety stock is bought of what is left, and what is
    // left over brings no money back.
    [[nodiscard]] bool is_enough(const Needs& kept) const {
        PurchaseCase cheap = part(kept);
        if (!is_long_) {
            for (PurchaseNeed& need : cheap.needs) need.safety = 0.0;
            for (const PurchaseOffer& offer : cheap.offers) cheap.most_left[offer.item] = 0.0;
            cheap.holding.clear();
        }
        const PurchasePlan found = plan_(cheap, quick_);
        return found.found && found.spent() <= *wanted_.budget + crumb;
    }

    PurchasePlan best_plan() {
        PurchaseCase last = part(served_);
        PurchasePlan best = plan_(last, limits_);
        if (best.found && best.spent() <= *wanted_.budget + crumb) return best;
        last.budget = wanted_.budget;
        return plan_(last, limits_);
    }

    // What the other brews lack beside what the plan leaves of the stock, and what they take of that.
    void tell_unserved(PurchasePlan& best) const {
        std::vector<double> free;
        for (const PurchaseSupply& supply : wanted_.supplies) free.push_back(supply.set_aside ? 0.0 : supply.amount);
        for (const PurchaseUse& use : best.uses)
            if (use.supply) free[*use.supply] -= use.amount;
        for (std::size_t n = 0; n < wanted_.needs.size(); ++n) {
            const PurchaseNeed& need = wanted_.needs[n];
            if (std::ranges::find(served_, n) != served_.end()) continue;
            if (need.set_aside) {
                take(best, n, *need.set_aside, need.amount);
                continue;
            }
            double lacks = need.amount;
            for (std::size_t s = 0; s < free.size(); ++s) {
                const PurchaseSupply& supply = wanted_.supplies[s];
                if (supply.item != need.item || supply.from > need.day || (supply.last && *supply.last < need.day))
                    continue;
                const double each = supply.worth ? supply.worth(supply.from, need.day) : 1.0;
                if (each <= 0.0) continue;
                const double taken = std::clamp(lacks / each, 0.0, std::max(0.0, free[s]));
                free[s] -= taken;
                lacks -= taken * each;
                take(best, n, s, taken);
            }
            if (lacks <= crumb * std::max(1.0, need.amount)) continue;
            best.below_safety = best.below_safety || need.safety > 0.0;
            best.late.push_back({need.item, need.brew, need.day, {}, lacks, true});
        }
        std::ranges::stable_sort(best.late, {}, &PurchaseLate::date);
    }

    // The plan kept it to the end.
    void take(PurchasePlan& best, std::size_t need, std::size_t supply, double amount) const {
        if (amount <= 0.0) return;
        const PurchaseSupply& there = wanted_.supplies[supply];
        Date end = wanted_.until;
        for (const PurchaseLate& late : best.late)
            if (late.earliest) end = std::max(end, *late.earliest);
        if (there.last) end = std::min(end, *there.last);
        const double spared =
            amount * keeping(wanted_, there.item, wanted_.needs[need].day, end + std::chrono::days(1));
        best.uses.push_back({need, supply, {}, {}, amount});
        best.holding -= spared;
        best.total_cost -= spared;
        best.bound -= spared;
    }

    const PurchaseCase& wanted_;
    const MipOptions& limits_;
    bool is_long_;
    const PlanPurchases& plan_;
    MipOptions quick_;
    std::vector<Needs> brews_;
    std::size_t first_ = 0; // so many brews, all from the first
    Needs served_;
};

} // namespace

PurchasePlan plan_within_budget(const PurchaseCase& wanted, const PurchasePlan& for_any_money, const MipOptions& limits,
                                bool is_long, const PlanPurchases& plan) {
    return Affording(wanted, for_any_money, limits, is_long, plan).run();
}

} // namespace lotwort::plan
