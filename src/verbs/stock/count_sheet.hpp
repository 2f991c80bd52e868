// A count sheet that has been filled in, booked as one entry.
#pragma once

#include "shared.hpp"

namespace lotwort::verbs {

// The sheet of `lotwort count --sheet --csv` with its column `counted` filled in (and `reason` where it differs):
// columns lot and counted, and if they are there unit and reason; others are passed over. A row that nobody filled in
// is not booked, and said. Error(refused) with every row's fault.
[[nodiscard]] Answer count_from_sheet(Call& call, const std::string& file);

} // namespace lotwort::verbs
