// One lot counted: what is asked of the count, and of its difference from what is booked.
#pragma once

#include "shared.hpp"
#include <lotwort/core/date.hpp>
#include <lotwort/stock/lot.hpp>

namespace lotwort::verbs {

// A lot's count against the ledger at the end of its day.
struct LotCount {
    LotState state;
    Amount booked;
    Amount counted;
    std::string reason{}; // why it differs; empty where it does not, or nobody said
    [[nodiscard]] Amount difference() const { return counted - booked; }
};

// On the day of the call. Error(refused) where the lot had not come by then, or the amount is none of its measure. Half
// as much again as ever came is asked about: a slip of the unit or of the lot.
[[nodiscard]] LotCount read_count(Call& call, const std::string& code, const std::string& amount);

// "24.2 kg of PAM-1 counted where 25 kg is booked"
[[nodiscard]] std::string difference_text(const LotCount& count);

// The reason that --tolerance gives: within what the scale and the sack may do, a difference needs no other. Empty
// where it is not within.
[[nodiscard]] std::string tolerated(const Call& call, const LotCount& count);

// What the difference, not booked yet, changes of the lot's worth; none where no price is known, or nothing differs.
[[nodiscard]] std::optional<Money> worth_of(Ledger& ledger, const LotCount& count);

} // namespace lotwort::verbs
