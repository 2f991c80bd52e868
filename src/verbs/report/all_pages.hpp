// All pages at once, linked.
#pragma once

#include "../shared.hpp"
#include <vector>

namespace lotwort::verbs {

// An index, the whole brewery, and a page for each brew, lot, plan, brewhouse, month and sheet. Why a brew came
// otherwise than forecast is told of the last brews alone.
[[nodiscard]] std::vector<NamedText> all_pages(Call& call);

} // namespace lotwort::verbs
