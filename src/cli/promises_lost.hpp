// Which open plans lose what by a booking, and how each is planned again.
#pragma once

#include <lotwort/cli/command.hpp>
#include <lotwort/report/booked.hpp>
#include <vector>

namespace lotwort::cli {

// Of a part that is not booked yet.
[[nodiscard]] std::vector<report::LostPlan> promises_lost(Call& call, const Book& part);

} // namespace lotwort::cli
