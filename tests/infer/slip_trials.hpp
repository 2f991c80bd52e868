// Brews with one slip of the pen in them: some figure of some reading, by some instrument, in some unit, is written
// down as people get it wrong. The same number is the same brew on every machine.
#pragma once

#include <cstdint>
#include <lotwort/infer/reconcile.hpp>
#include <optional>
#include <string>

namespace lotwort::test {

struct SlipTrial {
    ReconcileInput input; // the slip in it
    std::string reading;  // id of what slipped; the malt's weight is expect:grist
    std::string slip;     // in words
    // By how many standard deviations it lies off what all else says, this program's arithmetic without the reading
    // being the judge; none where nothing else speaks of it.
    std::optional<double> stands_out;
};

// None where the slip would be refused at the keyboard: it lies outside what may be booked.
[[nodiscard]] std::optional<SlipTrial> slip_trial(std::uint64_t number);

// What is wrong with an answer: the first figure that is not finite, or an interval that does not hold its value.
[[nodiscard]] std::optional<std::string> flaw_of(const Reconciliation& answer);

// Whether the reading is among the suspects, by itself or as one that cannot be told from one of them.
[[nodiscard]] bool suspects(const Reconciliation& answer, const std::string& reading);

} // namespace lotwort::test
