// The answers of `lotwort plan`.
#pragma once

#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/report/booked.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

// A plan drawn up: forecast, what of which lot, what lacks, liquor. `booked` is null where it is only shown.
struct DrawnPlan {
    PlannedBrew planned;
    const Booked* booked = nullptr;
};
[[nodiscard]] std::string plan_text(const DrawnPlan& plan);
[[nodiscard]] std::string plan_json(const DrawnPlan& plan); // lotwort/plan/1

// The open plans, by date.
[[nodiscard]] std::string plan_list_text(const std::vector<Plan>& plans);
[[nodiscard]] std::string plan_list_csv(const std::vector<Plan>& plans);
[[nodiscard]] std::string plan_list_json(const std::vector<Plan>& plans); // "plans"

// Pieces that the brew's sheet shares.
[[nodiscard]] std::string forecast_text(const Forecast& forecast);
[[nodiscard]] std::string liquor_text(const PlannedBrew& planned);

} // namespace lotwort::report
