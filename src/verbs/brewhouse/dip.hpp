// A dip table as one types it.
#pragma once

#include <lotwort/brew/brewhouse.hpp>
#include <string>
#include <vector>

namespace lotwort::verbs {

// 10cm=5.2L, or 10cm:5.2L
[[nodiscard]] DipMark parse_dip(const std::string& text);

// Marks in order of depth. Error(refused) where one is given twice, a deeper one holds less, or there is but one.
void demand_rising(const std::vector<DipMark>& table);

} // namespace lotwort::verbs
