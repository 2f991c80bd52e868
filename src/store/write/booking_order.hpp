// In what turn movements are booked, in 8 bytes each: an import brings a million of them.
#pragma once

#include "movement_row.hpp"
#include <compare>
#include <cstdint>
#include <functional>
#include <lotwort/core/date.hpp>
#include <vector>

namespace lotwort::store {

// By day, what is added first. Where a lot has movements later than the first of these, what is added to it up to then
// goes before everything else, so that no balance falls below nothing on the way to one that does not.
//
// A reversal comes after what it takes back. For a lot from which something was taken that later came back, days do not
// serve: at the end of it all there may be too little to take it once more. There, all that was ever added comes first;
// then each that was taken back, with its reversal at once behind it; then, with everything else, the rest, which only
// takes away. Movements of one turn keep the order they are added in, the rows' before the list's.
class BookingOrder {
public:
    enum class Of : std::uint8_t { rows, movements };
    struct Place {
        Of of = Of::rows;
        std::uint64_t at = 0; // below 2^45
    };

    explicit BookingOrder(std::size_t count) { rest_.reserve(count); }
    // has_pairs: something was taken from the lot that came back.
    void add(Place place, Date on, const LotRow& lot, std::int64_t change, bool has_pairs);
    // Of the list: what was taken and came back, and how.
    void add_taken_back(Place place) { pairs_.push_back({place.at, place.at}); }
    void add_reversal(Place place, std::uint64_t original) { pairs_.push_back({original, place.at}); }
    void sort();

    void for_each(const std::function<void(Place)>& take) const;

private:
    struct OfPair {
        std::uint64_t original = 0;
        std::uint64_t at = 0;
    };
    // The turn, then the place.
    using Key = std::uint64_t;
    [[nodiscard]] static Key key_of(Place place, std::uint64_t day, bool takes);
    [[nodiscard]] static Place place_of(Key key);

    std::vector<Key> added_first_;
    std::vector<OfPair> pairs_;
    std::vector<Key> rest_;
};

} // namespace lotwort::store
