// The lots that went into a brew, by what they are called.
#pragma once

#include "shared.hpp"

namespace lotwort::verbs {

// The lot of that code, or the one of the item of that name, among those that went into the brew, empty or not.
// Error(refused) where several of the item did, and where none of that name did, with what did and `else_do`.
[[nodiscard]] const Lot& lot_in_brew(const Brew& brew, const std::vector<LotState>& lots, const std::string& name,
                                     const std::string& else_do = {});
const Lot& lot_in_brew(const Brew&, const std::vector<LotState>&&, const std::string&, const std::string&) = delete;
const Lot& lot_in_brew(const Brew&, const std::vector<LotState>&&, const std::string&) = delete;

} // namespace lotwort::verbs
