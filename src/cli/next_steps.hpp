// What the ledger needs next, most pressing first.
#pragma once

#include <lotwort/cli/command.hpp>
#include <lotwort/report/next.hpp>
#include <vector>

namespace lotwort::cli {

// Plans due or short of something, brews that were not measured or cannot be balanced yet, orders overdue, items that
// run out within two weeks, lots past their best before, a count that was never taken or is 30 days old. At most three
// of a kind.
[[nodiscard]] std::vector<report::NextStep> next_steps(Call& call);

// What `lotwort` alone adds to its list of verbs: the steps where there is a ledger, why it cannot be read where that
// is so, how to make one where there is none.
[[nodiscard]] std::string next_of_ledger(const Surroundings& surroundings);

} // namespace lotwort::cli
