// The table of a logger or a spreadsheet, as readings of brews.
#pragma once

#include "shared.hpp"
#include <string>

namespace lotwort::verbs {

// What the file holds that the ledger does not have yet, as a part to book: for each brew its new readings. A reading
// that a brew has already, its id aside, is passed over as often as it has it, so a log may be imported twice.
// --map says what a column is (gravity=HEADING, temperature:F=HEADING), --set what all rows have in common
// (brew=B1, point=kettle-full). Error(refused) lists every fault of the file with line and column.
[[nodiscard]] Book readings_from_log(Call& call, const std::string& text, const std::string& source);

} // namespace lotwort::verbs
