// Why a brew came out otherwise than forecast, from the ledger.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/infer/explain.hpp>

namespace lotwort {

// By what the brews before it had taught. Error(refused) where no malt has been deducted for it.
[[nodiscard]] Explanation explained(const Desk& desk, const Book& book, const Brew& brew);

} // namespace lotwort
