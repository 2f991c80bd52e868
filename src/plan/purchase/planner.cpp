#include "planner.hpp"
#include "days.hpp"
#include "latest.hpp"
#include "long.hpp"
#include "lots.hpp"
#include "model.hpp"
#include "read_plan.hpp"
#include "together.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <numeric>

namespace lotwort::plan {

namespace {

constexpr double crumb = 1e-7;         // of a unit; the solver's tolerance
constexpr std::size_t some_uses = 400; // columns of uses from which order days are sought first
constexpr double few_days_gap = 1e-4;  // of what is sought on given order days
constexpr double share_of_time = 0.4;  // for that search, where there is more to try

[[noreturn]] void refuse(const PurchaseOffer& offer, const char* what, const char* hint) {
    throw Error(ErrorKind::refused, fmt::format("the offer of {} for {} {}", offer.supplier, offer.item, what), hint);
}

void check(const PurchaseCase& wanted) {
    for (const PurchaseOffer& offer : wanted.offers) {
        if (!(offer.pack > 0.0)) refuse(offer, "has packs of nothing", "state what a pack holds");
        if (offer.steps.empty()) refuse(offer, "states no price", "state the price of a pack");
        for (std::size_t k = 1; k < offer.steps.size(); ++k)
            if (offer.steps[k].price > offer.steps[k - 1].price || offer.steps[k].packs <= offer.steps[k - 1].packs)
                refuse(offer, "asks more for a pack when more are bought", "prices fall as the number of packs rises");
    }
    for (const PurchaseNeed& need : wanted.needs)
        if (!(need.amount >= 0.0) || !(need.safety >= 0.0))
            throw Error(ErrorKind::refused, fmt::format("a negative need of {}", need.item), "amounts are positive");
}

} // namespace

void ease_safety(PurchaseCase& wanted) {
    std::map<std::string, Date> first;
    for (const PurchaseOffer& offer : wanted.offers)
        if (const auto day = first_arrival(wanted, offer)) {
            const auto [at, is_new] = first.emplace(offer.item, *day);
            if (!is_new) at->second = std::min(at->second, *day);
        }
    for (PurchaseNeed& need : wanted.needs)
        if (const auto at = first.find(need.item); at == first.end() || need.day < at->second) need.safety = 0.0;
}

namespace {

std::optional<Date> next_chance(const PurchaseCase& wanted, const PurchaseNeed& need) {
    std::optional<Date> best;
    const auto consider = [&](std::optional<Date> day) {
        if (day && (!best || *day < *best)) best = day;
    };
    for (const PurchaseOffer& offer : wanted.offers)
        if (offer.item == need.item) consider(arrival_after(wanted, offer, need.day));
    for (const PurchaseSupply& supply : wanted.supplies)
        if (supply.item == need.item && supply.from > need.day && !supply.set_aside) consider(supply.from);
    return best;
}

class Planner {
public:
    Planner(const PurchaseCase& wanted, const MipOptions& limits) : asked_(wanted), limits_(limits), now_(wanted) {
        check(wanted);
        ease_safety(now_);
        for (std::size_t n = 0; n < wanted.needs.size(); ++n) asked_need_.push_back(n);
    }
    PurchasePlan run();

private:
    enum class Sought { found, not_yet, in_vain };
    bool sought();
    Sought sought_by_days(std::size_t uses);
    Sought sought_on_plain_days();
    void give_way();
    void take_back_late(const PurchaseNeed& need, Date asked, double missing);
    void read(const PurchaseModel& model, const MipAnswer& answer);
    void read_together(const PurchaseModel& model, const MipAnswer& answer);
    void bound_by(double bound, bool looked_twice);

    const PurchaseCase& asked_;
    const MipOptions& limits_;
    PurchaseCase now_;                    // the case with what is late moved, and safety eased
    std::vector<std::size_t> asked_need_; // of asked_.needs, by need of now_
    double bound_by_days_ = -no_limit;
    bool was_eased_ = false; // what lacks has been looked for once
    PurchasePlan out_;
};

// The search within its limits; whatever ends it before any answer, the first answer there is.
MipAnswer answered(const Mip& model, const MipOptions& limits) {
    MipAnswer answer = solve(model, limits);
    if (answer.found() || answer.status != MipStatus::stopped) return answer;
    MipOptions any;
    any.good_enough = std::numeric_limits<double>::max();
    any.progress = limits.progress;
    MipAnswer first = solve(model, any);
    first.bound = std::min(answer.bound, first.objective);
    first.status = first.found() ? MipStatus::stopped : first.status;
    first.seconds += answer.seconds;
    return first;
}

// By order days first. What it leaves to be done: nothing, if its plan is as near to the least as was asked, or the
// case is too long for anything else.
Planner::Sought Planner::sought_by_days(std::size_t uses) {
    MipOptions limits = limits_;
    if (uses <= many_uses) limits.seconds *= share_of_time;
    const LongPlan found = plan_long(now_, limits, uses > many_uses);
    out_.nodes += found.answer.nodes;
    out_.seconds += found.answer.seconds;
    if (found.answer.status == MipStatus::infeasible) return Sought::in_vain;
    bound_by_days_ = found.bound;
    if (!found.answer.found()) return Sought::not_yet;
    read_together(found.model, found.answer);
    if (now_.budget && out_.spent() > *now_.budget) {
        out_.found = false; // its bound holds all the same
        return Sought::not_yet;
    }
    const bool interrupted = limits_.stop != nullptr && limits_.stop->load();
    const bool enough = found.answer.status == MipStatus::optimal || uses > many_uses || interrupted;
    return enough ? Sought::found : Sought::not_yet;
}

// A long case with stand-ins, or with packs prescribed: without these first, and then with them on the order days of
// that plan. Stand-ins may cost less than any bound that knows none.
Planner::Sought Planner::sought_on_plain_days() {
    PurchaseCase plain = now_;
    plain.blends.clear();
    plain.packs_between.clear();
    for (PurchaseNeed& need : plain.needs) need.alternatives.clear();
    MipOptions limits = limits_;
    limits.seconds *= share_of_time;
    limits.progress = nullptr;
    const LongPlan found = plan_long(plain, limits, true);
    out_.seconds += found.answer.seconds;
    if (!found.answer.found()) return Sought::not_yet;
    const bool is_known = now_.blends.empty();
    bound_by_days_ = is_known ? found.bound : -no_limit;
    std::set<std::pair<std::string, Date>> ordered;
    for (const PurchaseSource& source : found.model.sources)
        for (const int packs : source.packs)
            if (found.answer.values[static_cast<std::size_t>(packs)] > 0.5) {
                const PurchaseGroup& group = found.model.groups[source.group];
                ordered.emplace(group.supplier, group.order_day);
            }
    OrderDays days;
    for (const auto& [supplier, day] : ordered)
        for (std::size_t o = 0; o < now_.offers.size(); ++o)
            if (now_.offers[o].supplier == supplier) days.emplace(o, day);
    const PurchaseModel model = purchase_model(now_, false, &days);
    limits.progress = limits_.progress;
    limits.seconds = std::max(0.2, limits_.seconds - out_.seconds);
    limits.relative_gap = std::max(limits.relative_gap, few_days_gap);
    const MipAnswer answer = solve(model.mip, limits);
    out_.seconds += answer.seconds;
    out_.nodes += answer.nodes;
    const bool has_own = now_.packs_between.empty(); // each brew with its own, as without stand-ins
    const bool own_is_better = has_own && (!answer.found() || answer.objective + model.constant >=
                                                                  found.answer.objective + found.model.constant);
    if (!answer.found() && !has_own) return Sought::not_yet;
    if (own_is_better)
        read(found.model, found.answer);
    else
        read(model, answer);
    bound_by(bound_by_days_, true);
    return Sought::found;
}

void Planner::bound_by(double bound, bool looked_twice) {
    // what is left is worth no more than it cost: less than nothing no plan costs
    out_.bound = std::isfinite(bound) ? std::min(bound, out_.total_cost) : std::min(0.0, out_.total_cost);
    out_.gap = (out_.total_cost - out_.bound) / std::max(1.0, std::abs(out_.total_cost));
    out_.looked_twice = looked_twice;
    const double alone = (out_.total_cost - out_.put_together - out_.bound) / std::max(1.0, std::abs(out_.total_cost));
    out_.proven_optimal = alone <= 0.001 && looked_twice;
}

// Is there a plan that meets all needs as they stand now?
bool Planner::sought() {
    const std::size_t uses = has_lots(now_) ? count_uses(now_) : 0;
    if (uses > some_uses) {
        const Sought by_days = sought_by_days(uses);
        if (by_days != Sought::not_yet) return by_days == Sought::found;
    }
    if (!has_lots(now_) && !now_.budget && count_uses(now_) > many_uses) {
        const Sought on_days = sought_on_plain_days();
        if (on_days == Sought::found || !now_.packs_between.empty()) return on_days == Sought::found;
    }
    const PurchaseModel model = purchase_model(now_, false);
    if (model.mip.columns().empty()) { // nothing there and nobody who sells
        const bool met = std::ranges::all_of(now_.needs, [](const PurchaseNeed& need) { return need.amount <= crumb; });
        MipAnswer nothing;
        nothing.bound = 0.0;
        nothing.looked_twice = true;
        if (met) read(model, nothing);
        return met;
    }
    MipOptions limits = limits_;
    limits.seconds = std::max(0.1, limits_.seconds - out_.seconds);
    limits.twice = true;
    const MipAnswer answer = out_.found ? solve(model.mip, limits) : answered(model.mip, limits);
    out_.nodes += answer.nodes;
    out_.seconds += answer.seconds;
    if (answer.status == MipStatus::infeasible) return false;
    if (answer.found() && !(out_.found && out_.total_cost <= answer.objective + model.constant))
        read_together(model, ordered_late(model, answer, limits_));
    const double bound = answer.bound + model.constant;
    if (uses > some_uses) bound_by(std::max(bound_by_days_, bound), answer.looked_twice || bound_by_days_ >= bound);
    return true;
}

// What was moved to a day and cannot be had then either is not late until that day.
void Planner::take_back_late(const PurchaseNeed& need, Date asked, double missing) {
    for (PurchaseLate& late : out_.late)
        if (late.item == need.item && late.brew == need.brew && late.date == asked && late.earliest == need.day) {
            const double taken = std::min(missing, late.amount_short);
            late.amount_short -= taken;
            missing -= taken;
        }
    std::erase_if(out_.late, [](const PurchaseLate& late) { return late.amount_short <= crumb; });
}

// Of a long case: what nothing that can be bought serves. All else can be bought for its day, so that the stock is
// theirs, and how much of them lacks has nothing to do with orders.
std::optional<PurchaseCase> only_by_stock(const PurchaseCase& wanted, std::vector<std::size_t>& which) {
    if (wanted.budget || !wanted.blends.empty() || !wanted.packs_between.empty() || count_uses(wanted) <= some_uses)
        return std::nullopt;
    PurchaseModel model;
    add_purchase_sources(wanted, model, nullptr);
    std::erase_if(model.sources, [](const PurchaseSource& source) { return source.supply.has_value(); });
    PurchaseCase left = wanted;
    left.needs.clear();
    left.offers.clear();
    for (std::size_t n = 0; n < wanted.needs.size(); ++n) {
        const PurchaseNeed& need = wanted.needs[n];
        if (std::ranges::any_of(model.sources, [&](const PurchaseSource& s) { return serves(s, need); })) continue;
        which.push_back(n);
        left.needs.push_back(need);
        left.needs.back().safety = 0.0; // it may be kept of what is bought
    }
    return left;
}

// What cannot be had in time is moved to the first day it can be had. What no money is left for is left out. A safety
// stock that cannot be kept is kept as far as it can.
void Planner::give_way() {
    std::vector<std::size_t> which; // of now_.needs, by need of the model
    const auto by_stock = was_eased_ ? std::nullopt : only_by_stock(now_, which);
    was_eased_ = true; // what it does not mend the whole model will
    if (!by_stock) {
        which.resize(now_.needs.size());
        std::iota(which.begin(), which.end(), std::size_t{0});
    }
    const PurchaseModel model = purchase_model(by_stock.value_or(now_), true);
    MipOptions limits = limits_;
    limits.relative_gap = 1e-6;
    limits.progress = nullptr;
    limits.twice = true;
    const MipAnswer answer = solve(model.mip, limits);
    if (!answer.found()) return;
    const auto value = [&](int column) { return answer.values[static_cast<std::size_t>(column)]; };
    for (std::size_t m = 0; m < which.size(); ++m) {
        const std::size_t n = which[m];
        if (model.below[m] >= 0 && value(model.below[m]) > crumb)
            now_.needs[n].safety = std::max(0.0, now_.needs[n].safety - value(model.below[m]) - crumb);
        const double missing = value(model.missing[m]);
        if (missing <= crumb * std::max(1.0, now_.needs[n].amount)) continue;
        PurchaseLate late{now_.needs[n].item, now_.needs[n].brew, asked_.needs[asked_need_[n]].day, {}, missing};
        take_back_late(now_.needs[n], late.date, missing);
        now_.needs[n].amount = std::max(0.0, now_.needs[n].amount - missing);
        late.for_money = now_.budget.has_value();
        if (!late.for_money) late.earliest = next_chance(now_, now_.needs[n]);
        if (late.earliest) {
            PurchaseNeed moved = now_.needs[n];
            moved.amount = missing;
            moved.safety = 0.0;
            moved.day = *late.earliest;
            now_.until = std::max(now_.until, moved.day);
            now_.needs.push_back(std::move(moved));
            asked_need_.push_back(asked_need_[n]);
        }
        out_.late.push_back(std::move(late));
    }
}

PurchasePlan Planner::run() {
    // time first, money then: a budget says nothing of what could be had
    std::vector<std::optional<double>> budgets{std::nullopt};
    if (asked_.budget) budgets.push_back(asked_.budget);
    for (const auto& budget : budgets) {
        now_.budget = budget;
        const bool last = budget == asked_.budget;
        // where the budget is to come, its absence is only asked whether all can be had
        for (int round = 0; round < 4; ++round) {
            if (last ? sought() : solve(purchase_model(now_, true).mip, limits_).objective < crumb) break;
            give_way();
        }
    }
    std::ranges::stable_sort(out_.late, {}, &PurchaseLate::date);
    return std::move(out_);
}

void Planner::read(const PurchaseModel& model, const MipAnswer& answer) {
    PurchasePlan fresh = read_plan({asked_, now_, asked_need_}, model, answer.values);
    fresh.late = std::move(out_.late);
    fresh.nodes = out_.nodes;
    fresh.seconds = out_.seconds;
    out_ = std::move(fresh);
    bound_by(answer.bound + model.constant, answer.looked_twice);
}

// With orders put together where a delivery costs nobody knows what. What that makes dearer is no fault of the search.
void Planner::read_together(const PurchaseModel& model, const MipAnswer& answer) {
    const auto joined = put_together(now_, model, answer, limits_);
    if (!joined) return read(model, answer);
    MipAnswer put = joined->answer;
    put.looked_twice = answer.looked_twice;
    read(joined->model, put);
    out_.put_together = joined->dearer;
    bound_by(out_.bound, out_.looked_twice);
}

} // namespace

PurchasePlan plan_part(const PurchaseCase& wanted, const MipOptions& limits) {
    return Planner(wanted, limits).run();
}

} // namespace lotwort::plan
