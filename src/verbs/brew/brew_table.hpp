// A spreadsheet of brews gone by: what went into each, a row a weighing.
#pragma once

#include "shared.hpp"
#include <string>
#include <vector>

namespace lotwort::verbs {

struct MovedIn {
    Book part;
    std::vector<std::string> says; // what was made for them, and what was there already
};

// The brews that the ledger does not have, by day, with their items, recipes and lots as far as nobody knows them. What
// a row takes of an item without naming a lot of the ledger comes out of an opening lot, of which all rows take what it
// held: it leaves nothing in stock. A recipe that nobody knows is kept as its first brew. Error(refused) with a line
// for each kind of fault.
[[nodiscard]] MovedIn brews_from_table(Call& call, const std::string& text, const std::string& source);

} // namespace lotwort::verbs
