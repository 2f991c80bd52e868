#include "booking_order.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>
#include <tuple>

namespace lotwort::store {

namespace {

constexpr unsigned place_bits = 45;
constexpr Date first_day = Date(std::chrono::days(-36'525)); // before any that the ledger takes

// From 1; 0 is before all days.
std::uint64_t number_of(Date on) {
    const auto days = (on - first_day).count();
    LOTWORT_CHECK(days > 0 && days < 1 << 17);
    return static_cast<std::uint64_t>(days);
}

} // namespace

BookingOrder::Key BookingOrder::key_of(Place place, std::uint64_t day, bool takes) {
    LOTWORT_CHECK(place.at >> place_bits == 0);
    const std::uint64_t turn = day << 1U | static_cast<std::uint64_t>(takes);
    return (turn << 1U | static_cast<std::uint64_t>(place.of)) << place_bits | place.at;
}

BookingOrder::Place BookingOrder::place_of(Key key) {
    return {static_cast<Of>(key >> place_bits & 1U), key & ((Key{1} << place_bits) - 1)};
}

void BookingOrder::add(Place place, Date on, const LotRow& lot, std::int64_t change, bool has_pairs) {
    const bool adds = change >= 0;
    if (adds && has_pairs) return added_first_.push_back(key_of(place, number_of(on), false));
    const bool first = adds && lot.newest_on && on <= *lot.newest_on;
    rest_.push_back(key_of(place, first ? 0 : number_of(on), !adds));
}

void BookingOrder::sort() {
    std::sort(added_first_.begin(), added_first_.end());
    std::sort(rest_.begin(), rest_.end());
    std::sort(pairs_.begin(), pairs_.end(), [](const OfPair& a, const OfPair& b) {
        return std::tuple(a.original, a.at != a.original, a.at) < std::tuple(b.original, b.at != b.original, b.at);
    });
}

void BookingOrder::for_each(const std::function<void(Place)>& take) const {
    for (const Key key : added_first_) take(place_of(key));
    for (const OfPair& pair : pairs_) take({Of::movements, pair.at});
    for (const Key key : rest_) take(place_of(key));
}

} // namespace lotwort::store
