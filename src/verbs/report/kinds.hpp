// Each page that report makes, from the ledger.
#pragma once

#include <lotwort/verbs/call.hpp>
#include <string>
#include <vector>

namespace lotwort::verbs {

using Names = std::vector<std::string>;

// The page of a kind ("brew", "stock", ...), of what is named; of no kind: the whole brewery. Error(usage, refused) for
// a kind nobody knows, with a name too many or too few.
[[nodiscard]] std::string page_of(Call& call, const std::string& what, const Names& names);

} // namespace lotwort::verbs
