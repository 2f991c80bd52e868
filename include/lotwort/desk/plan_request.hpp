// What planning and the brew day share: the ledger's contents as a plan needs them.
#pragma once

#include <lotwort/brew/plan_lacks.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/report/plan.hpp>

namespace lotwort {

struct PlanWish {
    std::string code;
    Date date;
    std::string recipe;
    std::optional<std::string> brewhouse; // the only one unless named
    std::optional<Litres> volume;         // the recipe's unless said
    std::vector<Pin> pins{};              // lots to be taken before others
};

// Error(refused) where the recipe or brewhouse is not known.
[[nodiscard]] PlanRequest plan_request(const PlanWish& wish, const Book& book, std::vector<LotState> lots);

// Where a plan is to be brewed: on the brewhouse it names, else on the only one. Error(refused) where it names none of
// several, as one from a file may.
[[nodiscard]] const Brewhouse& brewhouse_of(const Plan& plan, const Book& book);
const Brewhouse& brewhouse_of(const Plan&, const Book&&) = delete;

// An open plan with its forecast: what it reserves, as far as it is still there, and what it lacks beside. One that
// reserves nothing (from a file that names only date and recipe) is drawn up from what is free now.
[[nodiscard]] PlannedBrew open_plan(const Plan& plan, const Book& book, std::vector<LotState> lots,
                                    std::optional<Learned> learned = {});

// What it reserves and nothing else, there or not: what is to be weighed.
[[nodiscard]] PlannedBrew reserved_plan(const Plan& plan, const Book& book, std::vector<LotState> lots,
                                        std::optional<Learned> learned);

// As it was made: what it reserves, used since or not, and what it lacked beside. For what it foretold.
[[nodiscard]] PlannedBrew plan_as_made(const Plan& plan, const Book& book, std::vector<LotState> lots,
                                       std::optional<Learned> learned);

// How an open plan stands: what of its reservations is still there to take, and line by line what it is short of
// beside.
struct PlanStanding {
    Plan kept;
    std::vector<LineShort> lacks;
};
// One that has reserved nothing is short of all it needs. Error as draw_up_plan, where it names what is no longer
// there.
[[nodiscard]] PlanStanding standing_of(const Plan& plan, const Book& book, const std::vector<LotState>& lots);

// What the book's open plans lack (brew/plan_lacks.hpp), or have not reserved.
[[nodiscard]] std::vector<report::PlanLack> lacks_of(const Book& book, const std::vector<LotState>& lots, Date today);

// The same, with nothing told as reserved that is not: what a plan without reservations would take is not yet its own.
[[nodiscard]] PlannedBrew as_it_stands(const Plan& plan, const Book& book, std::vector<LotState> lots,
                                       std::optional<Learned> learned);

// What is free, or due on order by the day, is no shortage of the plan: it becomes a remark. The book's plans hold it.
void settle_shortages(PlannedBrew& planned, const Book& book, const std::vector<LotState>& lots);

} // namespace lotwort
