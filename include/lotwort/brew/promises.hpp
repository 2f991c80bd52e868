// What lots have promised to open plans, and what of it a booking takes away.
//
// A plan reserves 10 kg of a sack, and the sack is spilt, put on hold or put together with another: the promise cannot
// be kept, and whoever booked that should hear of it now, not on the brew day.
#pragma once

#include <lotwort/brew/book.hpp>
#include <lotwort/stock/reserve.hpp>
#include <string>
#include <vector>

namespace lotwort {

// The plans by day, each with what of its reservations is there to take: a lot on hold gives nothing, and of what is
// promised beyond what is there the earlier plans have theirs. Plans that were called off have nothing.
[[nodiscard]] std::vector<Plan> kept_promises(const std::vector<Plan>& plans, const std::vector<LotState>& lots);

// The lots as they are once the part is booked: what is on hand of them, and whether they are on hold.
[[nodiscard]] std::vector<LotState> once_booked(std::vector<LotState> lots, const Book& part);

// The definitions as they are once the part is booked, as far as plans ask: items, recipes and brewhouses, orders, and
// the plans that are open then.
[[nodiscard]] Book once_booked(Book definitions, const Book& part);

// What a plan had and has no more.
struct LostPromise {
    Plan plan; // as it reserves
    std::vector<TakenLot> lost;
};

// By day of the plans. Plans that the part brews, or states anew, lose nothing: they are done with, or know.
[[nodiscard]] std::vector<LostPromise> lost_promises(const std::vector<Plan>& open, const std::vector<LotState>& lots,
                                                     const Book& part);

} // namespace lotwort
