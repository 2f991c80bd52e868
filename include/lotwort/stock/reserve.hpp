// Which lots a brew is to use.
//
// A brewer takes what spoils first: of an item's lots, the one with the earliest best-before date, then the one
// that came first. Not taken are lots on hold, lots past their date on the day of the brew, lots that have not
// come by then, and whatever other plans have been promised.
#pragma once

#include <lotwort/core/amount.hpp>
#include <lotwort/core/date.hpp>
#include <lotwort/stock/lot.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

struct TakenLot {
    std::string lot;
    Amount amount;
    friend bool operator==(const TakenLot&, const TakenLot&) = default;
};

// A lot of the item that holds something which could not be taken, how much, and why not.
struct PassedOver {
    std::string lot;
    Amount amount;
    std::string why; // "held: damp", "best before 2026-02-01", "promised to other brews"
};

// taken and missing sum to what was asked for, to the milligram.
struct Allotment {
    std::vector<TakenLot> taken; // in the order they are to be used
    Amount missing;
    std::vector<PassedOver> passed_over;
};

// A lot that the brewer names: it goes before all others, though its date be past. With an amount it gives so much and
// no more (nothing, where that is 0); without one as much as is asked for.
struct Pin {
    std::string lot;
    std::optional<Amount> amount;
    friend bool operator==(const Pin&, const Pin&) = default;
};

// What the lots give of `amount` of the item on that day: pinned lots in the pins' order, then the others. Lots that
// count in another measure are passed over. A lot without a best-before date comes after all that have one.
[[nodiscard]] Allotment reserve(const std::vector<LotState>& lots, std::string_view item, Amount amount, Date day,
                                const std::vector<Pin>& pins = {});

// Writes what was taken down as promised, so that the next line of the recipe does not take it again.
void promise(std::vector<LotState>& lots, const std::vector<TakenLot>& taken);

// The same for pins: what a line has taken of a pinned amount is no longer to be given to the next.
void use_up(std::vector<Pin>& pins, const std::vector<TakenLot>& taken);

} // namespace lotwort
