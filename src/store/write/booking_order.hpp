// In what turn movements are booked.
//
// By day, what is added first. A lot may have movements later than the first of these. Then what is added to it up to
// that day goes before everything else. So no balance falls below nothing on the way to one that does not.
//
// A reversal comes after what it takes back. For a lot from which something was taken that later came back, days do not
// serve: at the end of it all there may be too little to take it once more. There, all that was ever added comes first;
// then each that was taken back, with its reversal at once behind it; then, with everything else, the rest, which only
// takes away. Movements of one turn keep the order they are in.
#pragma once

#include <compare>
#include <cstdint>
#include <lotwort/core/date.hpp>
#include <optional>

namespace lotwort::store {

struct Turn {
    enum class Group : std::uint8_t { added_first, pairs, rest };
    Group group = Group::rest;
    std::int64_t at = 0; // a day, or which pair
    bool is_second = false;
    friend auto operator<=>(const Turn&, const Turn&) = default;
};

// newest_on: the day of the lot's last movement in the ledger. has_pairs: something was taken from the lot that came
// back.
[[nodiscard]] Turn turn_of(Date on, std::int64_t change, std::optional<Date> newest_on, bool has_pairs);
// Of what was taken and came back, and how; original: the place of the former in the book.
[[nodiscard]] Turn turn_of_pair(std::size_t original, bool is_reversal);

} // namespace lotwort::store
