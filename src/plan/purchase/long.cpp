#include "long.hpp"
#include "bound.hpp"
#include "days.hpp"
#include "mip/budget.hpp"
#include "packs.hpp"
#include "search.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {

constexpr int most_steps = 600;        // towards the bound
constexpr int most_coarse_steps = 200; // where others follow
constexpr int look_every = 20;         // of these
constexpr int most_fine_steps = 150;   // of those that count what ages finely
constexpr int share_every = 40;        // of these
constexpr int share_rounds = 16;       // of sharing orders
constexpr int most_shakes = 400;       // of the order days
constexpr int enough_shakes = 80;      // in a row that brought nothing
constexpr double share_of_time = 0.9;  // for all of that; what is left is the solver's
constexpr double first_share = 0.3;    // for the first plan
constexpr double much_nearer = 0.25;   // than asked: where the bound is left alone
constexpr double few_packs = 0.1;      // of the packs found: what the solver may differ by
constexpr int most_extra = 3;          // packs of each order of what ages
constexpr int most_mended = 40;        // rounds of packs added where something lacks all the same
constexpr double lacking = 1e-6;       // of a need: what lacks of it at all
constexpr double refined_gap = 1e-3;   // at which the solver ends
constexpr int refined_nodes = 300;     // or after so many

class LongSearch {
public:
    LongSearch(const PurchaseCase& wanted, const MipOptions& limits)
        : wanted_(wanted), limits_(limits), began_(wall_seconds()), lots_(joint_lots(wanted)),
          careful_(joint_lots(wanted, LotsFor::search)), search_(careful_), prices_(lots_) {
        for (std::size_t i = 0; i < lots_.items.size(); ++i)
            for (std::size_t c = 0; c < lots_.items[i].chances.size(); ++c) {
                const PurchaseSource& source = lots_.model.sources[lots_.source_of[i][c]];
                line_of_[{source.offer, lots_.model.groups[source.group].order_day}] = {i, c};
            }
    }
    LongPlan run(bool refined);

private:
    void read_packs(int extra);
    void fill_to_minimum();
    [[nodiscard]] Mip with_packs_found(const PurchaseModel& model) const;
    bool mend();
    void buy_more(const PurchaseNeed& need, double lacks, bool for_use);
    [[nodiscard]] const PurchaseOffer& offer_of(const LotRef& line) const {
        return wanted_.offers[lots_.model.sources[lots_.source_of[line.item][line.chance]].offer];
    }
    [[nodiscard]] double goods_of(const LotOrder& order) const;
    [[nodiscard]] OrderDays days_found(bool bought_alone) const;
    [[nodiscard]] int packs_found(const PurchaseModel& model, const PurchaseSource& source) const;
    void keep();
    bool weigh();
    void take(PurchaseModel model, MipAnswer answer);
    void raise_bound(bool refined);
    void look_finer(bool refined);
    [[nodiscard]] double bound() const { return std::max(prices_.bound(), fine_bound_); }
    void shake();
    void share(const std::vector<std::vector<ChanceTerms>>& prices);
    void refine(bool any);
    [[nodiscard]] bool is_over() const {
        const bool interrupted = limits_.stop != nullptr && limits_.stop->load();
        return interrupted || wall_seconds() - began_ > share_of_time * limits_.seconds;
    }
    // Within what is asked, or a share of that.
    [[nodiscard]] bool is_near(double share = 1.0) const {
        const double gap = best_cost_ - bound();
        return gap <= share * std::max(limits_.absolute_gap, limits_.relative_gap * std::abs(best_cost_));
    }

    const PurchaseCase& wanted_;
    const MipOptions& limits_;
    double began_;
    JointLots lots_, careful_;
    std::optional<JointLots> fine_, exact_; // once they are asked for
    LotSizer sizer_;
    OrderSearch search_;
    OrderPrices prices_;
    std::map<std::pair<std::size_t, Date>, LotRef> line_of_; // by offer and order day
    std::vector<std::vector<int>> packs_;                    // by item and chance
    LongPlan best_;
    double best_cost_ = no_limit; // of best_, counted in full
    double fine_bound_ = -no_limit;
    double least_tried_ = no_limit;
    int shakes_ = 0;
};

double LongSearch::goods_of(const LotOrder& order) const {
    double goods = 0.0;
    for (const LotRef& line : order.lines) {
        const int packs = packs_[line.item][line.chance];
        goods += packs * step_price(offer_of(line), packs);
    }
    return goods;
}

// The packs of the search.
void LongSearch::read_packs(int extra) {
    packs_.clear();
    for (const LotChoice& choice : search_.choices()) packs_.push_back(choice.packs);
    if (lots_.ages) { // counted coarsely while days were tried
        if (!exact_) exact_ = joint_lots(wanted_, LotsFor::packs);
        for (std::size_t i = 0; i < packs_.size(); ++i) {
            LotChoice choice = sizer_.solve(exact_->items[i], search_.terms()[i]);
            if (std::isfinite(choice.cost)) packs_[i] = std::move(choice.packs);
        }
    }
    for (std::size_t i = 0; i < packs_.size(); ++i)
        for (std::size_t c = 0; c < packs_[i].size(); ++c)
            if (packs_[i][c] > 0 && offer_of({i, c}).worth) packs_[i][c] += extra;
    fill_to_minimum();
}

// An order that lacks something to its minimum has more of what keeps its worth best.
void LongSearch::fill_to_minimum() {
    for (const LotOrder& order : lots_.orders) {
        if (goods_of(order) <= 0.0) continue;
        const auto loss = [&](const LotRef& line) {
            const LotChance& chance = careful_.items[line.item].chances[line.chance];
            const PurchaseOffer& offer = offer_of(line);
            return 1.0 - chance.left_worth * offer.pack / std::max(1e-9, offer.steps.front().price);
        };
        const auto& best = *std::ranges::min_element(order.lines, {}, loss);
        while (goods_of(order) < order.minimum && offer_of(best).steps.back().price > 0.0)
            ++packs_[best.item][best.chance];
    }
}

// bought_alone: only on which something is bought; else all that are open.
OrderDays LongSearch::days_found(bool bought_alone) const {
    OrderDays days;
    for (const auto& [key, line] : line_of_) {
        const int order = lots_.order_of[line.item][line.chance];
        const bool open = order < 0 || search_.open()[static_cast<std::size_t>(order)];
        if (packs_[line.item][line.chance] > 0 || (open && !bought_alone)) days.insert(key);
    }
    return days;
}

int LongSearch::packs_found(const PurchaseModel& model, const PurchaseSource& source) const {
    const LotRef& line = line_of_.at({source.offer, model.groups[source.group].order_day});
    return packs_[line.item][line.chance];
}

void LongSearch::take(PurchaseModel model, MipAnswer answer) {
    const double cost = answer.objective + model.constant;
    if (cost >= best_cost_) return;
    best_cost_ = cost;
    best_ = {std::move(model), std::move(answer)};
    if (limits_.progress) limits_.progress({best_cost_, bound(), shakes_});
}

// The plan of the search. Where things age its packs may be too few by a little: more of them, then.
void LongSearch::keep() {
    if (!(search_.cost() < least_tried_)) return;
    least_tried_ = search_.cost();
    for (int extra = 0; extra <= most_extra; ++extra) {
        read_packs(extra);
        if (weigh()) return;
    }
    if (!best_.answer.found() && mend()) weigh(); // what spoils or ages is counted roughly while days are sought
}

// Of a need that lacks something: more of what can serve it, where it is bought already, else where an order is open,
// else what comes last.
void LongSearch::buy_more(const PurchaseNeed& need, double lacks, bool for_use) {
    std::optional<LotRef> best;
    int best_rank = -1;
    double each = 0.0;
    for (std::size_t i = 0; i < lots_.items.size(); ++i)
        for (std::size_t c = 0; c < lots_.source_of[i].size(); ++c) {
            const PurchaseSource& source = lots_.model.sources[lots_.source_of[i][c]];
            if (for_use ? !serves(source, need) : !is_there_after(source, need)) continue;
            const double counted = for_use ? counts(wanted_, source, need) : 1.0;
            const int order = lots_.order_of[i][c];
            const bool open = order < 0 || goods_of(lots_.orders[static_cast<std::size_t>(order)]) > 0.0;
            const int rank = packs_[i][c] > 0 ? 2 : open ? 1 : 0;
            if (counted <= 0.0 || rank < best_rank || packs_[i][c] >= most_packs(wanted_, source)) continue;
            best = LotRef{i, c}; // chances come by their day: of equals the last
            best_rank = rank;
            each = counted;
        }
    if (!best) return;
    int& packs = packs_[best->item][best->chance];
    const PurchaseSource& source = lots_.model.sources[lots_.source_of[best->item][best->chance]];
    packs = std::min(most_packs(wanted_, source),
                     packs + static_cast<int>(std::ceil(lacks / (each * offer_of(*best).pack))));
}

// Packs added until nothing lacks any more; false: there is always something that does.
bool LongSearch::mend() {
    for (int round = 0; round < most_mended; ++round) {
        const OrderDays days = days_found(true);
        const PurchaseModel model = purchase_model(wanted_, true, &days);
        const MipAnswer answer = solve(with_packs_found(model));
        if (!answer.found()) return false;
        bool lacks = false;
        for (std::size_t n = 0; n < wanted_.needs.size(); ++n) {
            const auto more = [&](int column, bool for_use) {
                const double amount = column >= 0 ? answer.values[static_cast<std::size_t>(column)] : 0.0;
                if (amount <= lacking * std::max(1.0, wanted_.needs[n].amount)) return;
                lacks = true;
                buy_more(wanted_.needs[n], amount, for_use);
            };
            more(model.missing[n], true);
            if (!lacks) more(model.below[n], false);
        }
        if (!lacks) return true;
        fill_to_minimum();
    }
    return false;
}

// Given the packs, what serves what is a linear programme.
Mip LongSearch::with_packs_found(const PurchaseModel& model) const {
    return with_packs(wanted_, model, [&](const PurchaseSource& source) { return packs_found(model, source); });
}

// Counted in full.
bool LongSearch::weigh() {
    const OrderDays days = days_found(true);
    PurchaseModel model = purchase_model(wanted_, false, &days);
    const Mip mip = with_packs_found(model);
    MipAnswer answer = solve(mip);
    if (!answer.found()) return false;
    take(std::move(model), std::move(answer));
    return true;
}

// Orders as items share them that pay so much for each. From there to where no single change is better; kept, where
// that is the best so far.
void LongSearch::share(const std::vector<std::vector<ChanceTerms>>& prices) {
    const OrderSearch::Days best = search_.days();
    const double least = search_.cost();
    search_.share(prices, share_rounds);
    search_.improve([this] { return is_over(); });
    if (search_.cost() < least)
        keep();
    else
        search_.set(best);
}

void LongSearch::raise_bound(bool refined) {
    const int most = lots_.ages ? most_coarse_steps : most_steps;
    for (int n = 0; n < most && !prices_.is_done() && !is_over(); ++n) {
        if (!prices_.step(search_.cost())) return;
        if (n % look_every != look_every - 1) continue;
        if (refined && n % share_every == share_every - 1 && !is_near()) share(prices_.terms());
        if (limits_.progress) limits_.progress({best_cost_, bound(), shakes_});
        if (is_near(much_nearer)) return; // a bound is soon had, and other parts may have the rest
    }
}

// Steps towards the bound count what ages coarsely, or not at all. Finer ones are dear: they begin where these ended.
void LongSearch::look_finer(bool refined) {
    if (!lots_.ages || is_near()) return;
    fine_ = joint_lots(wanted_, LotsFor::fine_bound);
    OrderPrices prices(*fine_, prices_);
    for (int n = 0; n < most_fine_steps && !prices.is_done() && !is_near(); ++n) {
        if (n > 0 && is_over()) return; // one tells most of it
        if (!prices.step(search_.cost())) return;
        fine_bound_ = std::max(fine_bound_, prices.bound());
        if (n % look_every != look_every - 1) continue;
        if (limits_.progress) limits_.progress({best_cost_, bound(), shakes_});
        if (refined && n % share_every == share_every - 1) share(prices.terms());
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
    read_packs(0);
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
    limits.relative_gap = std::max(limits.relative_gap, refined_gap);
    limits.most_nodes = std::min(limits.most_nodes, refined_nodes);
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
    search_.share(first_prices(lots_), share_rounds);
    if (!std::isfinite(search_.cost())) search_.begin();
    search_.improve([this] { return wall_seconds() - began_ > first_share * limits_.seconds; });
    keep();
    if (!best_.answer.found()) refine(true);
    raise_bound(refined);
    look_finer(refined);
    if (refined && !is_near()) shake();
    // the solver may take for ever: only where there is an end to that
    if (refined && std::isfinite(limits_.seconds) && !is_near() && !is_over()) refine(false);
    best_.answer.status = best_.answer.found() ? MipStatus::optimal : MipStatus::stopped;
    if (best_.answer.found() && !is_near()) best_.answer.status = MipStatus::stopped;
    if (limits_.progress) limits_.progress({best_cost_, bound(), shakes_});
    best_.bound = bound();
    best_.answer.bound = std::min(best_.bound - best_.model.constant, best_.answer.objective);
    best_.answer.looked_twice = true; // it is no solver's
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
