// How an item of a purchase case is counted (item_lots.hpp): its uses, supplies and chances, one after the other.
#pragma once

#include "days.hpp"
#include "item_lots.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

inline constexpr double of_a_unit = 1e-9; // what rounding may miss
inline constexpr double of_a_pack = 1e-6; // what a pack may miss a common measure by

// What is used of an item on one day, as of the first day (see ItemLots::ageing); and in stock's own amounts at the
// most.
struct DayUse {
    Date day;
    double amount = 0.0, most = 0.0, safety = 0.0;
    double aged = 0.0; // as of the first day, at the most: what of goods counted at their richest is taken
};

class ItemLots {
public:
    ItemLots(const PurchaseCase& wanted, const PurchaseModel& model, const std::string& name, LotsFor what,
             LotsCounted counted)
        : wanted_(wanted), model_(model), name_(name), careful_(what == LotsFor::search || what == LotsFor::packs),
          fine_(what == LotsFor::fine_bound || what == LotsFor::packs), strict_(counted.before_spoilt),
          counted_(counted.left) {
        for (std::size_t s = 0; s < model.sources.size(); ++s)
            if (model.sources[s].item == name && !model.sources[s].set_aside)
                (model.sources[s].supply ? supplies_ : sources_).push_back(s);
        std::ranges::stable_sort(sources_, {}, [&](std::size_t s) { return model.sources[s].from; });
        decide_ageing();
        for (const auto* list : {&supplies_, &sources_})
            for (const std::size_t s : *list) gain_[s] = gain(model.sources[s]);
        find_uses();
    }

    LotItem build();
    [[nodiscard]] const std::vector<std::size_t>& sources() const { return sources_; }
    [[nodiscard]] bool ages() const { return worth_ != nullptr; }

private:
    void decide_ageing();
    [[nodiscard]] double ageing(Date day) const { return std::max(of_a_pack, (*worth_)(wanted_.today, day)); }
    [[nodiscard]] double least_count(const PurchaseSource& supply) const;
    [[nodiscard]] double gain(const PurchaseSource& source) const;
    [[nodiscard]] double gain_by(Date day) const;
    void find_uses();
    [[nodiscard]] double set_aside_after(Date day) const;
    [[nodiscard]] double aged_states() const;
    void find_unit();
    [[nodiscard]] double near_measure(double least) const;
    void add_uses();
    void keep_aged(Date day, double aged, LotUse& made) const;
    void add_supplies();
    void add_worth();
    void add_chance(std::size_t s);
    void limit_useful(const PurchaseSource& source, LotChance& made) const;
    [[nodiscard]] Date next_use(Date day) const; // the first on or after it; the day after the horizon
    [[nodiscard]] double used_before(std::optional<Date> day) const;
    [[nodiscard]] double best_left(std::size_t s) const;
    [[nodiscard]] double cheapest_from(std::size_t s) const;
    void add_left(std::size_t s, LotChance& made) const;
    [[nodiscard]] double there_by(Date day) const;
    [[nodiscard]] double there_for_good(Date day) const;
    [[nodiscard]] bool keeps(const PurchaseSource& source) const {
        return !source.spoilt || *source.spoilt > wanted_.until;
    }
    [[nodiscard]] const PurchaseOffer& offer_of(std::size_t s) const { return wanted_.offers[model_.sources[s].offer]; }
    [[nodiscard]] int units_of(std::size_t s) const {
        const double units = offer_of(s).pack * gain_.at(s) / item_.unit;
        return std::max(1, static_cast<int>(careful_ && by_age_
                                                ? (fine_ ? std::floor(units + of_a_pack) : std::round(units))
                                                : std::ceil(units - of_a_pack)));
    }

    const PurchaseCase& wanted_;
    const PurchaseModel& model_;
    const std::string& name_;
    bool careful_, fine_, strict_;
    double counted_;          // share of the best, see LotsCounted
    double most_worth_ = 0.0; // of an amount of one that is left
    std::vector<std::size_t> supplies_, sources_;
    std::map<std::size_t, double> gain_; // by source
    const Worth* worth_ = nullptr;       // of what ages
    bool by_age_ = false;
    std::vector<DayUse> uses_;
    double most_safety_ = 0.0;
    double held_share_ = 1.0; // what a pack holds, at the least, of what its units come to
    LotItem item_;
};

} // namespace lotwort::plan
