// What the ledger needs next, most pressing first.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/report/next.hpp>
#include <string>
#include <vector>

namespace lotwort {

// A first recipe as one command: of the first malt there is, in the first brewhouse's volume.
[[nodiscard]] std::string first_recipe_command(const Book& book);

// Plans due or short of something; brews that were not measured or cannot be balanced yet; orders overdue. Items that
// run out within two weeks; lots past their best before; a count that was never taken or is 30 days old. At most
// three of a kind.
[[nodiscard]] std::vector<report::NextStep> next_steps(const Desk& desk);

} // namespace lotwort
