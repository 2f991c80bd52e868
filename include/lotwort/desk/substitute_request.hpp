// Open plans as what substitutions are sought for.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/plan/substitute.hpp>

namespace lotwort {

// The plans as the library wants them, with the lots as they would be without what these plans reserve: what other
// plans were promised stays promised. Masses are learned of each plan's brewhouse.
[[nodiscard]] plan::SubstituteRequest substitute_request(const Desk& desk, const Book& book,
                                                         const std::vector<Plan>& plans);

// What these of the book's open plans lack; and sentences, of what they lack only until an order comes that is due by
// their day.
struct WhatLacks {
    std::vector<plan::Shortage> missing;
    std::vector<std::string> due;
};
[[nodiscard]] WhatLacks what_lacks(const Book& book, const std::vector<LotState>& lots,
                                   const std::vector<Plan>& plans);

} // namespace lotwort
