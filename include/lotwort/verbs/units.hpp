// In which units a run answers.
#pragma once

#include <lotwort/report/units.hpp>
#include <lotwort/verbs/call.hpp>

namespace lotwort::verbs {

// --units, else LOTWORT_UNITS, else metric; JSON and CSV are metric whatever is wished. What the ledger knows by a name
// stays as it is called.
[[nodiscard]] report::AnswersIn answers_in(const Call& call);

} // namespace lotwort::verbs
