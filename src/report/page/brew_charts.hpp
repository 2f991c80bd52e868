// The charts of a brew's page.
#pragma once

#include "chart.hpp"
#include <lotwort/infer/explain.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <string>

namespace lotwort::report {

// Each empty where it has nothing to show.
[[nodiscard]] std::string efficiencies_chart(const Reconciliation& result);
[[nodiscard]] std::string flow_of_extract(const Reconciliation& result);
// How far each reading is from the balance. What `suspects` ranks is marked, what is expected of the brewhouse too, and
// nothing else: two readings that err together are each close to a balance that both have bent.
[[nodiscard]] std::string residuals_chart(const Reconciliation& result);
// A difference from the forecast, split over its causes.
[[nodiscard]] std::string parts_chart(const ExplainedOutcome& outcome);

} // namespace lotwort::report
