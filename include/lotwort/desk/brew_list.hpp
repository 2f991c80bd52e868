// All brews with what their readings say and what they cost, by the thousand: no brew is balanced for it.
#pragma once

#include <lotwort/report/brew_list.hpp>
#include <lotwort/store/ledger.hpp>
#include <vector>

namespace lotwort {

[[nodiscard]] std::vector<report::ListedBrew> listed_brews(Ledger& ledger);

} // namespace lotwort
