// Readings that were wrong, or wrong in one value: set aside, and booked anew as they should have been.
#pragma once

#include "readings.hpp"

namespace lotwort::verbs {

struct Corrected {
    std::vector<Reading> readings; // the one set aside, and behind it the one that stands for it, if any does
    std::string what;              // the entry's line
};

// Of --set-aside ID or ID.VALUE, with --reason. Of a value of the reading alone (gravity, volume, ...) the others stand
// in a new reading. Error(refused) for a reading or value that is not there.
[[nodiscard]] Corrected set_aside(Call& call, const ReadingPlace& place);

// Of --correct ID with the values as they should be, their names before them or not: gravity=1.045@20C, 28L@95C. Those
// not named stand as they were. Error(refused) for what is no value of that reading.
[[nodiscard]] Corrected corrected(Call& call, const ReadingPlace& place);

} // namespace lotwort::verbs
