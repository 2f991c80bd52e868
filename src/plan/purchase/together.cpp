#include "together.hpp"
#include "days.hpp"
#include "mip/budget.hpp"
#include "packs.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {

constexpr std::chrono::days a_week{7};
constexpr double little = 0.02;                           // of the goods that are moved
constexpr double most_seconds = 2.0, share_of_time = 0.1; // of the search
constexpr double alike = 1e-6;

class Joiner {
public:
    Joiner(const PurchaseCase& wanted, const PurchaseModel& model, const MipAnswer& answer, const MipOptions& limits)
        : wanted_(wanted), before_(answer.objective + model.constant), bound_(answer.bound + model.constant) {
        limits_.seconds = std::min(limits.seconds, 0.5);
        until_ = wall_seconds() + std::min(most_seconds, share_of_time * limits.seconds);
        for (const PurchaseSource& source : model.sources) {
            if (source.supply) continue;
            int packs = 0;
            for (const int column : source.packs)
                packs += static_cast<int>(std::lround(answer.values[static_cast<std::size_t>(column)]));
            if (packs > 0) packs_[{source.offer, model.groups[source.group].order_day}] = packs;
        }
        for (const auto& [bought, packs] : packs_)
            if (is_joined(bought.first)) days_[supplier_of(bought.first)].insert(bought.second);
        std::erase_if(days_, [](const auto& of_supplier) { return of_supplier.second.size() < 2; });
    }

    std::optional<PutTogether> run() {
        if (days_.empty()) return std::nullopt;
        OrderDays wide;
        for (const auto& [bought, packs] : packs_) {
            wide.insert(bought);
            if (const auto days = days_.find(supplier_of(bought.first)); days != days_.end())
                for (const Date day : days->second) wide.emplace(bought.first, day);
        }
        model_ = purchase_model(wanted_, false, &wide);
        best_ = weighed(packs_);
        // what the search found is the same in this model, or there is nothing to go by
        if (!best_.found() || std::abs(cost() - before_) > alike * std::max(1.0, std::abs(before_)))
            return std::nullopt;
        bool any = false;
        for (auto& [supplier, days] : days_) any = join(supplier, days) || any;
        if (!any) return std::nullopt;
        const double dearer = std::max(0.0, cost() - before_);
        best_.bound = std::min(bound_ - model_.constant, best_.objective);
        return PutTogether{std::move(model_), std::move(best_), dearer};
    }

private:
    using Packs = std::map<std::pair<std::size_t, Date>, int>; // by offer and order day

    [[nodiscard]] double cost() const { return best_.objective + model_.constant; }
    [[nodiscard]] const std::string& supplier_of(std::size_t offer) const { return wanted_.offers[offer].supplier; }
    [[nodiscard]] bool is_joined(std::size_t offer) const {
        return !terms_of(wanted_, supplier_of(offer)).delivery_known;
    }

    [[nodiscard]] MipAnswer weighed(const Packs& packs) const {
        return solve(with_packs(wanted_, model_,
                                [&](const PurchaseSource& source) {
                                    const auto at = packs.find({source.offer, model_.groups[source.group].order_day});
                                    return at == packs.end() ? 0 : at->second;
                                }),
                     limits_);
    }

    // Every order with the next one, to the later day where all comes in time, else to the earlier.
    bool join(const std::string& supplier, std::set<Date>& days) {
        bool any = false;
        for (auto day = days.begin(); day != days.end() && std::next(day) != days.end();) {
            const Date first = *day, second = *std::next(day);
            if (second - first > a_week || wall_seconds() > until_) {
                ++day;
            } else if (moved(supplier, first, second)) {
                day = days.erase(day);
                any = true;
            } else if (moved(supplier, second, first)) {
                days.erase(std::next(day));
                any = true;
            } else {
                ++day;
            }
        }
        return any;
    }

    bool moved(const std::string& supplier, Date from, Date to) {
        Packs joined = packs_;
        double goods = 0.0;
        for (const auto& [bought, packs] : packs_) {
            const auto& [offer, day] = bought;
            if (day != from || supplier_of(offer) != supplier) continue;
            const bool can = std::ranges::any_of(model_.sources, [&](const PurchaseSource& source) {
                return !source.supply && source.offer == offer && model_.groups[source.group].order_day == to;
            });
            if (!can) return false;
            goods += packs * step_price(wanted_.offers[offer], packs);
            joined.erase(bought);
            joined[{offer, to}] += packs;
        }
        MipAnswer answer = weighed(joined);
        if (!answer.found() || answer.objective > best_.objective + little * goods) return false;
        packs_ = std::move(joined);
        best_ = std::move(answer);
        return true;
    }

    const PurchaseCase& wanted_;
    double before_, bound_;
    MipOptions limits_;
    double until_ = 0.0; // by the wall clock
    Packs packs_;
    std::map<std::string, std::set<Date>> days_; // of orders, by supplier who is to be asked once
    PurchaseModel model_;
    MipAnswer best_;
};

} // namespace

std::optional<PutTogether> put_together(const PurchaseCase& wanted, const PurchaseModel& model, const MipAnswer& answer,
                                        const MipOptions& limits) {
    return Joiner(wanted, model, answer, limits).run();
}

} // namespace lotwort::plan
