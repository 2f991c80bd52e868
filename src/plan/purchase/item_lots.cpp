#include "item_counting.hpp"
#include <algorithm>

namespace lotwort::plan {

namespace {

constexpr std::chrono::days one{1}, some_months{120};
constexpr double most_states = 1000; // of an item: beyond that packs are rounded up to a coarser measure
constexpr double rounded_states = 300;
constexpr double fine_states = 300; // up to so many, a pack is counted in parts where things spoil
constexpr double finest = 4;        // of a pack

// Where goods age, a pack is counted in so many parts at most. Items, chances of buying and states together may make
// no more work than stated here. The search tries much and is given less; the bound itself is computed seldom and is
// given more.
constexpr double aged_parts = 100, packs_parts = 400;
constexpr double bound_work = 2.5e5, search_work = 5e5, fine_work = 1e7, packs_work = 2e8;
constexpr double most_aged_states = 10000;
constexpr double fewest_parts = 25,
                 fewest_tried = 4; // fewer tell less than they cost: each need counts as of what comes by then

// The greatest amount that every pack is a whole number of, or nearly (Euclid).
double common_measure(double a, double b) {
    const double nearly = of_a_pack * std::max(a, b);
    while (b > nearly) {
        const double rest = std::fmod(a, b);
        a = b;
        b = rest < nearly || a - rest < nearly ? 0.0 : rest;
    }
    return a;
}

} // namespace

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
        double richest = 0.0, poorest = no_limit, recent = no_limit, taken = 1.0;
        for (const auto* list : {&supplies_, &sources_})
            for (const std::size_t s : *list) {
                if (!serves(model_.sources[s], need)) continue;
                const double each = counts(wanted_, model_.sources[s], need);
                richest = std::max(richest, each);
                if (each <= 0.0) continue;
                poorest = std::min(poorest, each);
                if (by_age_) taken = std::max(taken, gain_.at(s) * ageing(need.day) / each);
                if (list == &sources_ && model_.sources[s].from >= need.day - some_months)
                    recent = std::min(recent, each);
            }
        if (careful_ && recent < no_limit) richest = recent;
        if (by_age_ || richest <= 0.0) richest = by_age_ ? ageing(need.day) : 1.0;
        DayUse& use = by_day[need.day];
        use.amount += need.amount / richest;
        use.most += need.amount / std::min(poorest, 1.0);
        use.aged += need.amount / richest * taken;
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

// Of the parts of the smallest pack that are no smaller than `least`, the one that rounds packs up least.
double ItemLots::near_measure(double least) const {
    double smallest = no_limit, best = least, least_lost = no_limit;
    for (const std::size_t s : sources_) smallest = std::min(smallest, offer_of(s).pack);
    for (int parts = 1; smallest / parts >= least; ++parts) {
        const double unit = smallest / parts;
        double lost = 0.0;
        for (const std::size_t s : sources_) {
            const double units = offer_of(s).pack / unit;
            lost = std::max(lost, std::ceil(units - of_a_pack) / units - 1.0);
        }
        if (lost < least_lost - of_a_pack) {
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
    const double work = fine_ ? (careful_ ? packs_work : fine_work) : careful_ ? search_work : bound_work;
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
    if (by_age_) unit = std::max(smallest / (fine_ && careful_ ? packs_parts : aged_parts), most / aged_states());
    item_.unit = unit;
    held_share_ = no_limit;
    for (const std::size_t s : sources_) held_share_ = std::min(held_share_, offer_of(s).pack / (unit * units_of(s)));
    if (sources_.empty()) held_share_ = 1.0;
}

// What is kept after a day's uses, seen from what has come: that, less what was used, as of the first day. No unit of
// it is more than the freshest. Where hops age this is nearer to the truth than that the poorest were used.
void ItemLots::keep_aged(Date day, double aged, LotUse& made) const {
    double freshest = 0.0, there = 0.0, share = 1.0;
    for (const auto& [s, gain] : gain_) {
        const PurchaseSource& source = model_.sources[s];
        if (source.from > day) continue;
        freshest = std::max(freshest, gain);
        if (source.supply && keeps(source)) there += source.amount * gain;
        if (!source.supply) share = std::min(share, offer_of(s).pack * gain / (item_.unit * units_of(s)));
    }
    if (freshest <= 0.0) return;
    const double spoilt = made.may_spoil ? item_.unit + (careful_ ? 0.0 : most_safety_) : 0.0;
    const double base = (there - aged) / freshest - spoilt, held = share / freshest;
    if (base + item_.unit * held * made.least <= made.base + item_.unit * made.held * made.least) return;
    made.base = base;
    made.held = held;
}

void ItemLots::add_uses() {
    double used = 0.0, used_at_most = 0.0, aged = 0.0;
    const auto next_of = [&](std::size_t u) { return u + 1 < uses_.size() ? uses_[u + 1].day : wanted_.until + one; };
    for (std::size_t u = 0; u < uses_.size(); ++u) {
        const DayUse& use = uses_[u];
        used += use.amount;
        used_at_most += use.most;
        aged += use.aged;
        LotUse made;
        const double asked = used + use.safety - there_by(use.day);
        made.least = std::max(0, static_cast<int>(std::ceil(asked / item_.unit - of_a_unit)));
        made.rate = keeping(wanted_, name_, use.day, next_of(u));
        made.may_spoil = std::ranges::any_of(sources_, [&](std::size_t s) {
            const PurchaseSource& source = model_.sources[s];
            return !keeps(source) && *source.spoilt <= next_of(u);
        });
        made.base = there_for_good(use.day) - used_at_most;
        // a part of a unit may have spoilt, and states count whole ones; and of the safety stock all, before the next
        // use
        if (made.may_spoil) made.base -= item_.unit + (careful_ ? 0.0 : use.safety);
        made.held = held_share_;
        if (by_age_) keep_aged(use.day, aged, made);
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
    double most_gain = 1.0;
    for (const auto& [s, gain] : gain_) most_gain = std::max(most_gain, gain);
    const auto most = wanted_.most_left.find(name_);
    item_.left_most = most == wanted_.most_left.end() ? no_limit : most->second * (careful_ ? 1.0 : most_gain);
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
    limit_useful(source, made);
    const int most = most_packs(wanted_, source);
    const double cheapest = cheapest_from(s);
    for (std::size_t k = 0; k < offer.steps.size(); ++k) {
        const PurchaseStep& step = offer.steps[k];
        const int up_to = k + 1 < offer.steps.size() ? std::min(most, offer.steps[k + 1].packs - 1) : most;
        const double held = offer.pack * gain_.at(s), worth = source.value_share * step.price / held;
        made.bands.push_back({step.packs, std::max(up_to, step.packs), step.price,
                              careful_ || counted_ > 0.0 ? 0.0 : std::max(0.0, worth - cheapest) * held});
    }
    add_left(s, made);
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
    for (const std::size_t s : sources_) most_worth_ = std::max(most_worth_, best_left(s));
    for (const std::size_t s : sources_) add_chance(s);
    return std::move(item_);
}

MadeItem make_item(const PurchaseCase& wanted, const PurchaseModel& model, const std::string& name, LotsFor what,
                   LotsCounted counted) {
    ItemLots lots(wanted, model, name, what, counted);
    LotItem item = lots.build();
    return {std::move(item), lots.sources(), lots.ages()};
}

} // namespace lotwort::plan
