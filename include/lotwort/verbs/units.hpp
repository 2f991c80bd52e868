// In which units a run answers.
#pragma once

#include <lotwort/report/units.hpp>
#include <lotwort/verbs/call.hpp>

namespace lotwort::verbs {

// --units, else LOTWORT_UNITS, else what the ledger's houses work in, else metric; JSON and CSV are metric whatever is
// wished. What the ledger knows by a name stays as it is called.
[[nodiscard]] report::AnswersIn answers_in(const Call& call);
// The same, where what the houses work in is known, or is being said.
[[nodiscard]] report::AnswersIn answers_in(const Call& call, std::optional<report::Units> house);

// What houses that say it agree on; none where they differ.
[[nodiscard]] std::optional<report::Units> work_in(const std::vector<Brewhouse>& houses);

} // namespace lotwort::verbs
