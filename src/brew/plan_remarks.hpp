// What is worth a brewer's look in a plan, in sentences.
#pragma once

#include <lotwort/brew/kit.hpp>
#include <lotwort/brew/planned.hpp>

namespace lotwort {

// Remarks on pins kept against the date, hops that have aged, and a volume the kit is not meant for. Also on a
// forecast that may come to nothing, figures assumed, and enzymes below the recipe's floor. Reads the plan's lines
// and forecast.
void add_remarks(const PlanRequest& request, const Kit& kit, PlannedBrew& plan);

} // namespace lotwort
