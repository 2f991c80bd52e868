#include "latest.hpp"
#include "mip/budget.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {

constexpr double alike = 1e-7;                            // of two plans' costs
constexpr double most_seconds = 2.0, share_of_time = 0.1; // of the search: a tie is worth no more

class Later {
public:
    Later(const PurchaseModel& model, MipAnswer answer, const MipOptions& limits)
        : model_(model), best_(std::move(answer)), limits_(limits) {
        limits_.progress = nullptr;
        limits_.seconds = std::min(limits.seconds, 0.5); // the packs are given: a linear programme
        until_ = wall_seconds() + std::min(most_seconds, share_of_time * limits.seconds);
    }

    // The last orders first, each to the last day that takes it.
    MipAnswer run() {
        for (std::size_t g = model_.groups.size(); g-- > 0;) {
            if (!is_ordered(model_.groups[g])) continue;
            for (std::size_t later = model_.groups.size(); later-- > 0 && wall_seconds() < until_;)
                if (can_take(model_.groups[g], model_.groups[later]) && moved(g, later)) break;
        }
        return std::move(best_);
    }

private:
    [[nodiscard]] double packs(int column) const { return std::round(best_.values[static_cast<std::size_t>(column)]); }
    [[nodiscard]] bool is_ordered(const PurchaseSource& source) const {
        return std::ranges::any_of(source.packs, [&](int column) { return packs(column) > 0.0; });
    }
    [[nodiscard]] bool is_ordered(const PurchaseGroup& group) const {
        return std::ranges::any_of(group.sources, [&](std::size_t s) { return is_ordered(model_.sources[s]); });
    }
    // The same offer's, in another order.
    [[nodiscard]] const PurchaseSource* same(const PurchaseSource& source, const PurchaseGroup& group) const {
        for (const std::size_t s : group.sources)
            if (model_.sources[s].offer == source.offer) return &model_.sources[s];
        return nullptr;
    }
    [[nodiscard]] bool can_take(const PurchaseGroup& group, const PurchaseGroup& later) const {
        if (later.supplier != group.supplier || later.order_day <= group.order_day || is_ordered(later)) return false;
        return std::ranges::all_of(group.sources, [&](std::size_t s) {
            return !is_ordered(model_.sources[s]) || same(model_.sources[s], later) != nullptr;
        });
    }

    bool moved(std::size_t from, std::size_t to) {
        Mip fixed = model_.mip;
        for (const PurchaseSource& source : model_.sources)
            for (const int column : source.packs) fixed.set_bounds(column, packs(column), packs(column));
        for (const std::size_t s : model_.groups[from].sources) {
            const PurchaseSource& source = model_.sources[s];
            if (!is_ordered(source)) continue;
            const PurchaseSource& other = *same(source, model_.groups[to]);
            for (std::size_t k = 0; k < source.packs.size(); ++k) {
                fixed.set_bounds(source.packs[k], 0.0, 0.0);
                fixed.set_bounds(other.packs[k], packs(source.packs[k]), packs(source.packs[k]));
            }
        }
        const MipAnswer answer = solve(fixed, limits_);
        if (!answer.found() || answer.objective > best_.objective + alike * std::max(1.0, std::abs(best_.objective)))
            return false;
        best_.values = answer.values;
        best_.objective = std::min(best_.objective, answer.objective);
        best_.bound = std::min(best_.bound, best_.objective);
        return true;
    }

    const PurchaseModel& model_;
    MipAnswer best_;
    MipOptions limits_;
    double until_ = 0.0; // by the wall clock
};

} // namespace

MipAnswer ordered_late(const PurchaseModel& model, MipAnswer answer, const MipOptions& limits) {
    return Later(model, std::move(answer), limits).run();
}

} // namespace lotwort::plan
