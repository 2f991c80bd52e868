// Words for a plan that is drawn up; shared by its text and its page.
#pragma once

#include <lotwort/brew/sheet_guide.hpp>
#include <lotwort/report/plan.hpp>
#include <lotwort/report/table.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

// "Lacking: 5 kg of 8 kg of pale malt." or "Everything is there."
[[nodiscard]] std::string lacking_sentence(const PlannedBrew& planned);
// "Expected: 1.0480 ± 0.0024, 4.84 ± 0.36 % alcohol, ...": the beer.
[[nodiscard]] std::string beer_sentence(const Forecast& f);
// Of the object that is open.
void forecast_fields(JsonWriter& w, const Forecast& f);
// "That is 4.1 points less than the recipe's 1.0520: lotwort plan P6 --aim weighs for it."; empty where it is near, and
// of a plan that follows a substitution. Without the plan's code where it is not booked.
[[nodiscard]] std::string aim_sentence(const PlannedBrew& planned, bool is_booked);
[[nodiscard]] std::string liquor_sentence(const PlannedBrew& planned);
// What stands in its way, and where it fits; a line each.
[[nodiscard]] std::string clash_text(const Placed& at);
// "FV1 till 2026-03-28*"; the yeast it pitches.
[[nodiscard]] std::string tank_of_plan(const Placed& at);
[[nodiscard]] std::string crop_text(const Placed& at);
// Whose days the star marks, where there is one.
[[nodiscard]] std::string usual_text(bool any);
void placed_fields(JsonWriter& w, const Placed& at);
// What each line needs, and of which lot.
[[nodiscard]] Table plan_lines(const PlannedBrew& planned);
[[nodiscard]] Table forecast_table(const Forecast& f);

// A point of the brew day: what is expected there, and what to do where something else is read.
struct PointExpected {
    std::string what; // "kettle full"
    ReadingPoint point = ReadingPoint::kettle_full;
    std::optional<double> litres; // at 20 °C
    std::string gravity;          // "1.0396", "1.0480 ± 0.0024"; empty where none is read
    std::string stick;            // "32.1 cm at 75 °C"; empty without a dip table
    std::string when_off;         // "1.0356: boil off 1.9 L more, 37 min longer; ..."
};
// In the order of work.
[[nodiscard]] std::vector<PointExpected> expected_points(const PlannedBrew& planned, const SheetGuide& guide);

} // namespace lotwort::report
