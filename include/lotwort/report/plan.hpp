// The answers of `lotwort plan`.
#pragma once

#include <lotwort/brew/board.hpp>
#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/report/booked.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

// Where a plan stands on the board, and what stands in its way there.
struct Placed {
    std::string plan;
    std::optional<TankUse> use; // of the tank that it names
    std::optional<std::string> tank;
    std::optional<Crop> crop;
    std::vector<std::string> clashes;
    std::optional<Date> next_day;          // on which nothing would
    std::optional<std::string> other_tank; // in which nothing would on its own day
};

// A plan drawn up: forecast, what of which lot, what lacks, liquor. `booked` is null where it is only shown.
struct DrawnPlan {
    PlannedBrew planned;
    const Booked* booked = nullptr;
    Placed placed{};
    std::vector<Placed> others{}; // plans that it now stands in the way of
};
// What lacks, the beer in a sentence, what of which lot, liquor; full: the forecast with its intervals too.
[[nodiscard]] std::string plan_text(const DrawnPlan& plan, bool full);
[[nodiscard]] std::string plan_json(const DrawnPlan& plan); // lotwort/plan/1

// What an open plan lacks of one item, and what of it is free in stock and not reserved.
struct PlanLack {
    std::string plan;
    Date date;
    std::string item;
    Amount missing;
    Amount free;
    std::string again; // the command that reserves anew
};
// "P1 on 2026-03-14 lacks 8 kg of pale ale malt", a line a lack, and what to type next; before them what is there and
// not reserved, plan by plan. Empty where nothing lacks.
[[nodiscard]] std::string lacks_text(const std::vector<PlanLack>& lacks);
// "shortages" and "not_reserved", in the object that is open.
void lacks_json(JsonWriter& w, const std::vector<PlanLack>& lacks);

// The open plans, by date, where they stand on the board, and what they lack.
struct PlanList {
    std::vector<Plan> plans;
    std::vector<Placed> placed; // of each
    std::vector<PlanLack> lacks;
};
[[nodiscard]] std::string plan_list_text(const PlanList& list);
[[nodiscard]] std::string plan_list_csv(const PlanList& list);
[[nodiscard]] std::string plan_list_json(const PlanList& list); // "plans", "board", "shortages"

// Pieces that the brew's sheet shares.
// Of a line, beside what is reserved and what lacks: due on order by the day, or there and not reserved.
[[nodiscard]] Amount not_yet(const PlannedLine& line);
[[nodiscard]] std::string forecast_text(const Forecast& forecast);
[[nodiscard]] std::string liquor_text(const PlannedBrew& planned, std::optional<Celsius> strike, Celsius grain);

} // namespace lotwort::report
