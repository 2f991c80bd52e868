// What spoils or loses its bitterness first, and what that costs.
#pragma once

#include <lotwort/brew/book.hpp>
#include <lotwort/report/ageing.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// The lots with something on hand that have a best before, whose alpha is known to age, or that were opened. The
// first to go bad comes first: by the earlier of the best before and the day on which a hop will have lost a tenth of
// the alpha it has today. The others are counted. Alpha by stock/hop_age.hpp.
//
// At stake within report::ageing_days is the whole of a lot's value at cost where its best before comes by then. Else
// it is, of a hop, the share of its value that its alpha loses by then.
[[nodiscard]] report::AgeingList ageing_list(const std::vector<Item>& items, const std::vector<LotState>& lots,
                                             const std::optional<std::string>& item, Date today, std::string currency);

} // namespace lotwort
