#include "booking_order.hpp"
#include <limits>

namespace lotwort::store {

Turn turn_of(Date on, std::int64_t change, std::optional<Date> newest_on, bool has_pairs) {
    const bool adds = change >= 0;
    const std::int64_t day = on.time_since_epoch().count();
    if (adds && has_pairs) return {Turn::Group::added_first, day, false};
    const bool before_all_days = adds && newest_on && on <= *newest_on;
    return {Turn::Group::rest, before_all_days ? std::numeric_limits<std::int64_t>::min() : day, !adds};
}

Turn turn_of_pair(std::size_t original, bool is_reversal) {
    return {Turn::Group::pairs, static_cast<std::int64_t>(original), is_reversal};
}

} // namespace lotwort::store
