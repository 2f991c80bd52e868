#include "item_lots.hpp"
#include "days.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {

constexpr std::chrono::days one{1}, some_months{120};
constexpr double slack = 1e-9;       // of a unit
constexpr double measure = 1e-6;     // of a pack: what one may miss a common measure by
constexpr double most_states = 1000; // of an item: beyond that packs are rounded up to a coarser measure
constexpr double rounded_states = 300;
constexpr double fine_states = 300; // up to so many, a pack is counted in parts where things spoil
constexpr double finest = 4;        // of a pack

// Where goods age, a pack is counted in so many parts at most; and so that items, chances and states together make no
// more work than that, by the search, which tries much, less, and for the bound itself, which is looked at seldom,
// more.
constexpr double aged_parts = 100;
constexpr double bound_work = 2.5e5, search_work = 4e4, fine_work = 1e7;
constexpr double most_aged_states = 5000;
constexpr double fewest_parts = 40,
                 fewest_tried = 8; // fewer tell less than they cost: each need counts as of what comes by then

// What is used of an item on one day, as of the first day (see ItemLots::ageing); and in stock's own amounts at the
// most.
struct DayUse {
    Date day;
    double amount = 0.0, most = 0.0, safety = 0.0;
};

class ItemLots {
public:
    ItemLots(const PurchaseCase& wanted, const PurchaseModel& model, const std::string& name, LotsFor what,
             bool in_full)
        : wanted_(wanted), model_(model), name_(name), careful_(what == LotsFor::search || what == LotsFor::packs),
          fine_(what == LotsFor::fine_bound || what == LotsFor::packs), in_full_(in_full) {
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
    [[nodiscard]] double ageing(Date day) const { return std::max(measure, (*worth_)(wanted_.today, day)); }
    [[nodiscard]] double least_count(const PurchaseSource& supply) const;
    [[nodiscard]] double gain(const PurchaseSource& source) const;
    [[nodiscard]] double gain_by(Date day) const;
    void find_uses();
    [[nodiscard]] double set_aside_after(Date day) const;
    [[nodiscard]] double aged_states() const;
    void find_unit();
    [[nodiscard]] double near_measure(double least) const;
    void add_uses();
    void add_supplies();
    void add_worth();
    void add_chance(std::size_t s);
    [[nodiscard]] Date next_use(Date day) const; // the first on or after it; the day after the horizon
    [[nodiscard]] double used_before(std::optional<Date> day) const;
    [[nodiscard]] double left_worth(std::size_t s) const;
    [[nodiscard]] double there_by(Date day) const;
    [[nodiscard]] double there_for_good(Date day) const;
    [[nodiscard]] bool keeps(const PurchaseSource& source) const {
        return !source.spoilt || *source.spoilt > wanted_.until;
    }
    [[nodiscard]] const PurchaseOffer& offer_of(std::size_t s) const { return wanted_.offers[model_.sources[s].offer]; }
    [[nodiscard]] int units_of(std::size_t s) const {
        const double units = offer_of(s).pack * gain_.at(s) / item_.unit;
        return std::max(1,
                        static_cast<int>(careful_ && by_age_ ? (fine_ ? std::floor(units + measure) : std::round(units))
                                                             : std::ceil(units - measure)));
    }

    const PurchaseCase& wanted_;
    const PurchaseModel& model_;
    const std::string& name_;
    bool careful_, fine_, in_full_;
    std::vector<std::size_t> supplies_, sources_;
    std::map<std::size_t, double> gain_; // by source
    const Worth* worth_ = nullptr;       // of what ages
    bool by_age_ = false;
    std::vector<DayUse> uses_;
    double most_safety_ = 0.0;
    double cheapest_ = no_limit; // of an amount of one
    LotItem item_;
};

// What is left by that day of hops that came on the first: a need of that day is the more of those. So everything is
// counted as of the first day, and hops that come later, and are fresher for it, count for more (gain). Exact where
// ageing is one rate for all.
void ItemLots::decide_ageing() {
    double smallest = no_limit, needed = 0.0;
    for (const std::size_t s : sources_) {
        smallest = std::min(smallest, offer_of(s).pack);
        if (worth_ == nullptr && offer_of(s).worth) worth_ = &offer_of(s).worth;
    }
    for (const PurchaseNeed& need : wanted_.needs)
        if (need.item == name_ && !need.set_aside) needed += need.amount;
    by_age_ = worth_ != nullptr && aged_states() * smallest >= (careful_ ? fewest_tried : fewest_parts) * needed;
}

// Where ageing is left out of account, what a unit of a supply is to a unit that is bought, at the least.
double ItemLots::least_count(const PurchaseSource& supply) const {
    double least = 1.0;
    for (const PurchaseNeed& need : wanted_.needs)
        if (need.item == name_ && serves(supply, need)) least = std::min(least, counts(wanted_, supply, need));
    return least;
}

// At its richest over what it may serve; careful: at its poorest, of what it will serve in some months.
double ItemLots::gain(const PurchaseSource& source) const {
    if (!by_age_) return careful_ && source.supply ? least_count(source) : 1.0;
    double best = 0.0, least = no_limit;
    for (const PurchaseNeed& need : wanted_.needs) {
        if (need.item != name_ || !serves(source, need)) continue;
        const double as_of_first = counts(wanted_, source, need) / ageing(need.day);
        best = std::max(best, as_of_first);
        if (as_of_first > 0.0 && (source.supply || source.from >= need.day - some_months))
            least = std::min(least, as_of_first);
    }
    if (best <= 0.0) return source.supply ? 1.0 : 1.0 / ageing(std::min(source.from, wanted_.until));
    return careful_ && least < no_limit ? least : best;
}

// Of what has come by then: what a unit of the safety stock is at the least; careful: at the most.
double ItemLots::gain_by(Date day) const {
    double least = no_limit, most = 0.0;
    for (const auto& [s, gain] : gain_) {
        if (model_.sources[s].from > day) continue;
        least = std::min(least, gain);
        most = std::max(most, gain);
    }
    if (!by_age_ || most <= 0.0) return 1.0;
    return careful_ ? most : least;
}

void ItemLots::find_uses() {
    std::map<Date, DayUse> by_day;
    for (const PurchaseNeed& need : wanted_.needs) {
        if (need.item != name_) continue;
        if (need.set_aside) {
            by_day[need.day].safety = std::max(by_day[need.day].safety, need.safety);
            continue;
        }
        double richest = 0.0, poorest = no_limit, recent = no_limit;
        for (const auto* list : {&supplies_, &sources_})
            for (const std::size_t s : *list) {
                if (!serves(model_.sources[s], need)) continue;
                const double each = counts(wanted_, model_.sources[s], need);
                richest = std::max(richest, each);
                if (each <= 0.0) continue;
                poorest = std::min(poorest, each);
                if (list == &sources_ && model_.sources[s].from >= need.day - some_months)
                    recent = std::min(recent, each);
            }
        if (careful_ && recent < no_limit) richest = recent;
        if (by_age_ || richest <= 0.0) richest = by_age_ ? ageing(need.day) : 1.0;
        DayUse& use = by_day[need.day];
        use.amount += need.amount / richest;
        use.most += need.amount / std::min(poorest, 1.0);
        use.safety = std::max(use.safety, need.safety);
    }
    for (auto& [day, use] : by_day) {
        use.day = day;
        use.safety = std::max(0.0, use.safety - set_aside_after(day)) * gain_by(day);
        most_safety_ = std::max(most_safety_, use.safety);
        uses_.push_back(use);
    }
}

// What is kept for later brews is in the house until then: so much of the safety stock is there.
double ItemLots::set_aside_after(Date day) const {
    double sum = 0.0;
    for (const PurchaseSource& source : model_.sources)
        if (source.set_aside && source.item == name_ && source.from <= day) sum += source.amount;
    for (const PurchaseNeed& need : wanted_.needs)
        if (need.set_aside && need.item == name_ && need.day <= day) sum -= need.amount;
    return std::max(0.0, sum);
}

Date ItemLots::next_use(Date day) const {
    const auto at = std::ranges::find_if(uses_, [&](const DayUse& use) { return use.day >= day; });
    return at == uses_.end() ? wanted_.until + one : at->day;
}

double ItemLots::used_before(std::optional<Date> day) const {
    double sum = 0.0;
    for (const DayUse& use : uses_)
        if (!day || use.day < *day) sum += use.amount;
    return sum;
}

// Of supplies, what can serve at all, as of the first day.
double ItemLots::there_by(Date day) const {
    double sum = 0.0;
    for (const std::size_t s : supplies_) {
        const PurchaseSource& supply = model_.sources[s];
        if (supply.from > day) continue;
        const double amount = supply.amount * gain_.at(s);
        sum += keeps(supply) ? amount : std::min(amount, used_before(supply.spoilt) + most_safety_);
    }
    return sum;
}

// Of supplies, what keeps to the end, in its own amount.
double ItemLots::there_for_good(Date day) const {
    double sum = 0.0;
    for (const std::size_t s : supplies_)
        if (model_.sources[s].from <= day && keeps(model_.sources[s])) sum += model_.sources[s].amount;
    return sum;
}

// The greatest amount that every pack is a whole number of, or nearly (Euclid).
double common_measure(double a, double b) {
    const double nearly = measure * std::max(a, b);
    while (b > nearly) {
        const double rest = std::fmod(a, b);
        a = b;
        b = rest < nearly || a - rest < nearly ? 0.0 : rest;
    }
    return a;
}

// Of the parts of the smallest pack that are no smaller than `least`, the one that rounds packs up least.
double ItemLots::near_measure(double least) const {
    double smallest = no_limit, best = least, least_lost = no_limit;
    for (const std::size_t s : sources_) smallest = std::min(smallest, offer_of(s).pack);
    for (int parts = 1; smallest / parts >= least; ++parts) {
        const double unit = smallest / parts;
        double lost = 0.0;
        for (const std::size_t s : sources_) {
            const double units = offer_of(s).pack / unit;
            lost = std::max(lost, std::ceil(units - measure) / units - 1.0);
        }
        if (lost < least_lost - measure) {
            least_lost = lost;
            best = unit;
        }
    }
    return best;
}

double ItemLots::aged_states() const {
    std::set<std::string> ageing;
    for (const PurchaseOffer& offer : wanted_.offers)
        if (offer.worth) ageing.insert(offer.item);
    const double work = fine_ ? fine_work : careful_ ? search_work : bound_work;
    return std::min(work / static_cast<double>(ageing.size() * sources_.size()), most_aged_states);
}

void ItemLots::find_unit() {
    double unit = 0.0, largest = 0.0, smallest = no_limit, most_gain = 0.0;
    bool spoils = false;
    for (const std::size_t s : sources_) {
        unit = common_measure(offer_of(s).pack, unit);
        largest = std::max(largest, offer_of(s).pack);
        smallest = std::min(smallest, offer_of(s).pack * gain_.at(s));
        most_gain = std::max(most_gain, gain_.at(s));
        spoils = spoils || !keeps(model_.sources[s]);
    }
    const double most = used_before({}) + most_safety_ + 2.0 * largest * std::max(1.0, most_gain);
    if (sources_.empty()) unit = std::max(1.0, most);
    if (most / unit > most_states) unit = near_measure(most / rounded_states);
    if (spoils) unit /= std::clamp(std::floor(fine_states * unit / most), 1.0, finest);
    if (by_age_) unit = std::max(smallest / aged_parts, most / aged_states());
    item_.unit = unit;
    item_.held_share = no_limit;
    for (const std::size_t s : sources_)
        item_.held_share = std::min(item_.held_share, offer_of(s).pack / (unit * units_of(s)));
    if (sources_.empty()) item_.held_share = 1.0;
}

void ItemLots::add_uses() {
    double used = 0.0, used_at_most = 0.0;
    const auto next_of = [&](std::size_t u) { return u + 1 < uses_.size() ? uses_[u + 1].day : wanted_.until + one; };
    for (std::size_t u = 0; u < uses_.size(); ++u) {
        const DayUse& use = uses_[u];
        used += use.amount;
        used_at_most += use.most;
        LotUse made;
        const double asked = used + use.safety - there_by(use.day);
        made.least = std::max(0, static_cast<int>(std::ceil(asked / item_.unit - slack)));
        made.rate = keeping(wanted_, name_, use.day, next_of(u));
        made.may_spoil = std::ranges::any_of(sources_, [&](std::size_t s) {
            const PurchaseSource& source = model_.sources[s];
            return !keeps(source) && *source.spoilt <= next_of(u);
        });
        // a part of a unit may have spoilt, and states count whole ones
        made.base = there_for_good(use.day) - used_at_most - (made.may_spoil ? item_.unit : 0.0);
        item_.most_state = std::max(item_.most_state, made.least);
        item_.uses.push_back(made);
    }
    item_.left_base = there_by(wanted_.until) - used;
}

void ItemLots::add_supplies() {
    for (const std::size_t s : supplies_) {
        const PurchaseSource& supply = model_.sources[s];
        if (keeps(supply) && supply.from <= wanted_.until)
            item_.constant += supply.amount * keeping(wanted_, name_, supply.from, next_use(supply.from));
    }
    for (const PurchaseNeed& need : wanted_.needs)
        if (need.set_aside && need.item == name_)
            item_.constant +=
                need.amount *
                keeping(wanted_, name_, std::max(wanted_.today, wanted_.supplies[*need.set_aside].from), need.day);
}

void ItemLots::add_worth() {
    for (const std::size_t s : sources_)
        for (const PurchaseStep& step : offer_of(s).steps)
            cheapest_ = std::min(cheapest_, step.price / (item_.unit * units_of(s)));
    double most_gain = 1.0;
    for (const auto& [s, gain] : gain_) most_gain = std::max(most_gain, gain);
    const auto most = wanted_.most_left.find(name_);
    item_.left_most = most == wanted_.most_left.end() ? no_limit : most->second * (careful_ ? 1.0 : most_gain);
}

// What is left counts as the best of what has come by then, or, as far as only so much counts, as the best of all; no
// more than the least price, or there would be money in buying to keep, and what a dear offer's would count beyond that
// is taken off its price. Where little counts it may as well count in full.
double ItemLots::left_worth(std::size_t s) const {
    double worth = 0.0;
    for (const std::size_t other : sources_) {
        const bool may_be = item_.left_most < no_limit || model_.sources[other].from <= model_.sources[s].from;
        if (careful_ ? other != s : !may_be) continue;
        const auto& steps = offer_of(other).steps;
        const double price = (careful_ ? steps.back() : steps.front()).price / (offer_of(other).pack * gain_.at(other));
        worth = std::max(worth, model_.sources[other].value_share * price);
    }
    if (careful_) return std::min(1.0, item_.held_share * gain_.at(s)) * worth;
    return in_full_ ? worth : std::min(worth, cheapest_);
}

void ItemLots::add_chance(std::size_t s) {
    const PurchaseSource& source = model_.sources[s];
    const PurchaseOffer& offer = offer_of(s);
    LotChance made;
    const Date next = next_use(source.from);
    made.use = static_cast<std::size_t>(
        std::ranges::count_if(uses_, [&](const DayUse& use) { return use.day < source.from; }));
    made.units = units_of(s);
    made.keeps = keeps(source);
    made.kept = offer.pack * keeping(wanted_, name_, source.from, made.keeps ? next : std::min(next, *source.spoilt));
    made.most_state = item_.most_state;
    // what is there spoils no later: none of it is needed beyond what is used by then
    const bool is_last_good = std::ranges::none_of(sources_, [&](std::size_t other) {
        const PurchaseSource& earlier = model_.sources[other];
        return earlier.from <= source.from && (!earlier.spoilt || *earlier.spoilt > source.spoilt);
    });
    if (!made.keeps && is_last_good)
        made.most_state =
            std::min(made.most_state,
                     static_cast<int>(std::ceil((used_before(source.spoilt) + most_safety_) / item_.unit - slack)));
    const int most = most_packs(wanted_, source);
    for (std::size_t k = 0; k < offer.steps.size(); ++k) {
        const PurchaseStep& step = offer.steps[k];
        const int up_to = k + 1 < offer.steps.size() ? std::min(most, offer.steps[k + 1].packs - 1) : most;
        const double held = offer.pack * gain_.at(s), worth = source.value_share * step.price / held;
        made.bands.push_back({step.packs, std::max(up_to, step.packs), step.price,
                              careful_ || in_full_ ? 0.0 : std::max(0.0, worth - cheapest_) * held});
    }
    made.left_worth = left_worth(s);
    item_.chances.push_back(std::move(made));
}

LotItem ItemLots::build() {
    find_unit();
    add_uses();
    int room = 0;
    for (const std::size_t s : sources_) room = std::max(room, units_of(s) * (1 + offer_of(s).steps.back().packs));
    item_.most_state += room;
    add_supplies();
    add_worth();
    for (const std::size_t s : sources_) add_chance(s);
    return std::move(item_);
}

} // namespace

MadeItem make_item(const PurchaseCase& wanted, const PurchaseModel& model, const std::string& name, LotsFor what,
                   bool in_full) {
    ItemLots lots(wanted, model, name, what, in_full);
    LotItem item = lots.build();
    return {std::move(item), lots.sources(), lots.ages()};
}

} // namespace lotwort::plan
