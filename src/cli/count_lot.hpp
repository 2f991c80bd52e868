// One lot counted: what is asked of the count, and of its difference from what is booked.
#pragma once

#include "shared.hpp"
#include <lotwort/core/date.hpp>
#include <lotwort/stock/lot.hpp>

namespace lotwort::cli {

// A lot's count against the ledger at the end of its day.
struct LotCount {
    LotState state;
    Amount booked;
    Amount counted;
    std::string reason{}; // why it differs; empty where it does not, or nobody said
    [[nodiscard]] Amount difference() const { return counted - booked; }
};

// Error(refused) where the lot had not come by the day, the amount is none of its measure, or is ten times all that
// ever came: a slip of the unit or of the lot.
[[nodiscard]] LotCount read_count(Ledger& ledger, const std::string& code, const std::string& amount, Date on);

// "24.2 kg of PAM-1 counted where 25 kg is booked"
[[nodiscard]] std::string difference_text(const LotCount& count);

// The reason that --tolerance gives: within what the scale and the sack may do, a difference needs no other. Empty
// where it is not within.
[[nodiscard]] std::string tolerated(const Call& call, const LotCount& count);

// What the difference is worth at the lot's cost, with its sign; none where no price is known.
[[nodiscard]] std::optional<Money> worth_of(const LotCount& count);

} // namespace lotwort::cli
