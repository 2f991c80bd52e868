// What of an item's packs is of use before it spoils, and what counts of them at the end.
#include "item_counting.hpp"
#include <algorithm>

namespace lotwort::plan {

// What is left counts as the best of what has come by then. It counts no more than the least price from then on, or
// there would be money in buying to keep. What a dear offer's would count beyond that is taken off its price. Where
// only so much of it counts, that counts at the share counted_ of the best of all. What has come late and is worth
// more counts that beside.
double ItemLots::best_left(std::size_t s) const {
    double worth = 0.0;
    for (const std::size_t other : sources_) {
        if (careful_ ? other != s : model_.sources[other].from > model_.sources[s].from) continue;
        const auto& steps = offer_of(other).steps;
        const double price = (careful_ ? steps.back() : steps.front()).price / (offer_of(other).pack * gain_.at(other));
        worth = std::max(worth, model_.sources[other].value_share * price);
    }
    return careful_ ? std::min(1.0, held_share_ * gain_.at(s)) * worth : worth;
}

// What an amount of one costs at the least, then or later; where only so much of what is left counts, at any time.
double ItemLots::cheapest_from(std::size_t s) const {
    double least = no_limit;
    for (const std::size_t later : sources_)
        if (item_.left_most < no_limit || model_.sources[later].from >= model_.sources[s].from)
            least = std::min(least, offer_of(later).steps.back().price / (item_.unit * units_of(later)));
    return least;
}

void ItemLots::add_left(std::size_t s, LotChance& made) const {
    const double worth = best_left(s);
    if (careful_) {
        made.left_worth = worth;
    } else if (counted_ > 0.0) {
        made.left_worth = counted_ * most_worth_;
        made.left_more = std::max(0.0, worth - made.left_worth);
    } else {
        made.left_worth = std::min(item_.left_most < no_limit ? most_worth_ : worth, cheapest_from(s));
    }
}

// What spoils serves what is used until then, and the safety stock. Of all that has come, whatever it was bought of,
// nothing serves beyond the day on which the last of it spoils. (Careful: first what came first, and in stock first.)
void ItemLots::limit_useful(const PurchaseSource& source, LotChance& made) const {
    const auto units = [&](double amount) { return static_cast<int>(std::ceil(amount / item_.unit - of_a_unit)); };
    std::optional<Date> last = source.spoilt; // of what may have come; none: never
    for (const std::size_t other : sources_) {
        const PurchaseSource& earlier = model_.sources[other];
        if (!last || earlier.from > source.from) continue;
        last = earlier.spoilt ? std::max(*last, *earlier.spoilt) : earlier.spoilt;
    }
    if (careful_ && !keeps(source)) {
        const double useful = used_before(source.spoilt) - there_by(*source.spoilt - std::chrono::days(1));
        const int most = strict_ ? static_cast<int>(std::floor(std::max(0.0, useful) / item_.unit + of_a_unit))
                                 : units(std::max(0.0, useful + most_safety_));
        made.most_state = std::min(made.most_state, most);
    } else if (!keeps(source)) {
        const double useful = used_before(source.spoilt) - used_before(source.from) + most_safety_;
        made.most_gain = units(useful);
        if (last && *last <= wanted_.until)
            made.most_state = std::min(made.most_state, units(used_before(last) + most_safety_));
    }
}

} // namespace lotwort::plan
