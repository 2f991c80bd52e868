#include "purchase_long.hpp"
#include "budget.hpp"
#include "purchase_bound.hpp"
#include "purchase_days.hpp"
#include "purchase_search.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {

constexpr int most_steps = 600;       // towards the bound
constexpr int look_every = 20;        // of these
constexpr int most_shakes = 400;      // of the order days
constexpr int enough_shakes = 80;     // in a row that brought nothing
constexpr double share_of_time = 0.7; // for all of that; the rest is the solver's
constexpr double few_packs = 0.1;     // of the packs found: what the solver may differ by

class LongSearch {
public:
    LongSearch(const PurchaseCase& wanted, const MipOptions& limits)
        : wanted_(wanted), limits_(limits), began_(wall_seconds()), lots_(joint_lots(wanted)),
          careful_(joint_lots(wanted, true)), search_(careful_), prices_(lots_) {}
    LongPlan run(bool refined);

private:
    [[nodiscard]] OrderDays days_found(bool bought_alone) const;
    [[nodiscard]] int packs_found(const PurchaseModel& model, const PurchaseSource& source) const;
    [[nodiscard]] double goods_found(const PurchaseModel& model, const PurchaseGroup& group) const;
    void keep();
    void take(PurchaseModel model, MipAnswer answer);
    void raise_bound();
    void shake();
    void refine(bool any);
    [[nodiscard]] bool is_over() const {
        const bool interrupted = limits_.stop != nullptr && limits_.stop->load();
        return interrupted || wall_seconds() - began_ > share_of_time * limits_.seconds;
    }
    [[nodiscard]] bool is_near() const {
        const double gap = best_cost_ - prices_.bound();
        return gap <= std::max(limits_.absolute_gap, limits_.relative_gap * std::abs(best_cost_));
    }

    const PurchaseCase& wanted_;
    const MipOptions& limits_;
    double began_;
    JointLots lots_, careful_;
    OrderSearch search_;
    OrderPrices prices_;
    LongPlan best_;
    double best_cost_ = no_limit; // of best_, counted in full
    double least_tried_ = no_limit;
    int shakes_ = 0;
};

// bought_alone: only on which something is bought; else all that are open.
OrderDays LongSearch::days_found(bool bought_alone) const {
    OrderDays days;
    for (std::size_t i = 0; i < lots_.items.size(); ++i)
        for (std::size_t c = 0; c < lots_.items[i].chances.size(); ++c) {
            const PurchaseSource& source = lots_.model.sources[lots_.source_of[i][c]];
            const int order = lots_.order_of[i][c];
            const bool open = order < 0 || search_.open()[static_cast<std::size_t>(order)];
            if (search_.choices()[i].packs[c] > 0 || (open && !bought_alone))
                days.insert({source.offer, lots_.model.groups[source.group].order_day});
        }
    return days;
}

int LongSearch::packs_found(const PurchaseModel& model, const PurchaseSource& source) const {
    const Date day = model.groups[source.group].order_day;
    for (std::size_t i = 0; i < lots_.items.size(); ++i)
        for (std::size_t c = 0; c < lots_.items[i].chances.size(); ++c) {
            const PurchaseSource& same = lots_.model.sources[lots_.source_of[i][c]];
            if (same.offer == source.offer && lots_.model.groups[same.group].order_day == day)
                return search_.choices()[i].packs[c];
        }
    return 0;
}

double step_price(const PurchaseOffer& offer, int packs) {
    double price = offer.steps.front().price;
    for (const PurchaseStep& step : offer.steps)
        if (packs >= step.packs) price = step.price;
    return price;
}

double LongSearch::goods_found(const PurchaseModel& model, const PurchaseGroup& group) const {
    double goods = 0.0;
    for (const std::size_t s : group.sources) {
        const int packs = packs_found(model, model.sources[s]);
        goods += packs * step_price(wanted_.offers[model.sources[s].offer], packs);
    }
    return goods;
}

void LongSearch::take(PurchaseModel model, MipAnswer answer) {
    const double cost = answer.objective + model.constant;
    if (cost >= best_cost_) return;
    best_cost_ = cost;
    best_ = {std::move(model), std::move(answer)};
    if (limits_.progress) limits_.progress({best_cost_, prices_.bound(), shakes_});
}

// The plan of the search, counted in full: given its packs, what serves what is a linear programme.
void LongSearch::keep() {
    if (!(search_.cost() < least_tried_)) return;
    least_tried_ = search_.cost();
    const OrderDays days = days_found(true);
    PurchaseModel model = purchase_model(wanted_, false, &days);
    Mip mip = model.mip;
    for (std::size_t c = 0; c < mip.columns().size(); ++c) mip.set_whole(static_cast<int>(c), false);
    for (const PurchaseSource& source : model.sources) {
        if (source.supply) continue;
        const int packs = packs_found(model, source);
        const auto& steps = wanted_.offers[source.offer].steps;
        for (std::size_t k = 0; k < source.packs.size(); ++k) {
            const bool of_step = packs >= steps[k].packs && (k + 1 == steps.size() || packs < steps[k + 1].packs);
            mip.set_bounds(source.packs[k], of_step ? packs : 0.0, of_step ? packs : 0.0);
        }
    }
    for (const PurchaseGroup& group : model.groups) {
        if (group.open >= 0) mip.set_bounds(group.open, 1.0, 1.0);
        if (group.free < 0) continue;
        const double enough = *terms_of(wanted_, group.supplier).free_from;
        const double free = goods_found(model, group) >= enough ? 1.0 : 0.0;
        mip.set_bounds(group.free, free, free);
    }
    MipAnswer answer = solve(mip);
    if (answer.found()) take(std::move(model), std::move(answer));
}

void LongSearch::raise_bound() {
    for (int n = 0; n < most_steps && !prices_.is_done() && !is_over(); ++n) {
        if (!prices_.step(search_.cost())) return;
        if (n % look_every != look_every - 1) continue;
        if (limits_.progress) limits_.progress({best_cost_, prices_.bound(), shakes_});
        if (is_near()) return;
    }
}

// Away from where no single change is better, and back down from there.
void LongSearch::shake() {
    const auto over = [this] { return is_over(); };
    OrderSearch::Days best = search_.days();
    double least = search_.cost();
    int in_vain = 0;
    for (; shakes_ < most_shakes && in_vain < enough_shakes && !is_over() && !is_near(); ++shakes_, ++in_vain) {
        search_.shake(static_cast<unsigned>(shakes_), 2 + shakes_ % 4);
        search_.improve(over);
        if (search_.cost() < least) {
            least = search_.cost();
            best = search_.days();
            in_vain = 0;
            keep();
        } else {
            search_.set(best);
        }
    }
}

// Packs anew on the days found: for minimum orders and free delivery, and where what is bought ages.
// any: a first answer will do.
void LongSearch::refine(bool any) {
    const OrderDays days = days_found(false);
    PurchaseModel model = purchase_model(wanted_, false, &days);
    for (const PurchaseSource& source : model.sources) {
        if (source.supply || any) continue;
        const int packs = packs_found(model, source);
        const auto& steps = wanted_.offers[source.offer].steps;
        const double more = 1.0 + std::ceil(few_packs * packs);
        for (std::size_t k = 0; k < source.packs.size(); ++k) {
            const double high = std::min(model.mip.columns()[static_cast<std::size_t>(source.packs[k])].high,
                                         std::max<double>(steps[k].packs, packs) + more);
            model.mip.set_bounds(source.packs[k], 0.0, high);
        }
    }
    MipOptions limits = limits_;
    limits.progress = nullptr;
    limits.relative_gap = std::max(limits.relative_gap, 1e-4);
    limits.seconds = std::max(0.5, limits_.seconds - (wall_seconds() - began_));
    if (any) { // who interrupts wants a plan all the same
        limits.good_enough = std::numeric_limits<double>::max();
        limits.seconds = no_limit;
        limits.stop = nullptr;
    }
    MipAnswer answer = solve(model.mip, limits);
    if (answer.found()) take(std::move(model), std::move(answer));
}

LongPlan LongSearch::run(bool refined) {
    if (!prices_.step(no_limit)) return {}; // not even with all orders free of charge
    // who interrupts wants a plan all the same: the first is near
    search_.begin();
    search_.improve([this] { return wall_seconds() - began_ > share_of_time * limits_.seconds; });
    keep();
    if (!best_.answer.found()) refine(true);
    raise_bound();
    if (refined && !is_near()) shake();
    if (refined && !is_near() && !is_over()) refine(false);
    best_.answer.status = best_.answer.found() ? MipStatus::optimal : MipStatus::stopped;
    if (best_.answer.found() && !is_near()) best_.answer.status = MipStatus::stopped;
    best_.bound = prices_.bound();
    best_.answer.bound = std::min(best_.bound - best_.model.constant, best_.answer.objective);
    best_.answer.nodes = shakes_;
    best_.answer.seconds = wall_seconds() - began_;
    return std::move(best_);
}

} // namespace

LongPlan plan_long(const PurchaseCase& wanted, const MipOptions& limits, bool refined) {
    return LongSearch(wanted, limits).run(refined);
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
