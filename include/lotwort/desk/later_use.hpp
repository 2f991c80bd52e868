// What brews used before, for what they will use beyond the plans.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/plan/purchase_demand.hpp>

namespace lotwort {

// Sets PurchaseWish::later, from the day after the wish's last brew to its horizon (ninety days where it has none).
// It is the use of the same days a year before where the ledger goes back so far, else the mean of a day, of a year
// at most. None where the brews are fewer than three, or the first is less than four weeks ago.
void foresee_use(const Desk& desk, plan::PurchaseWish& wish);

} // namespace lotwort
