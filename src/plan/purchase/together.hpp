// Orders to one supplier a few days apart, where nobody knows what a delivery costs: who rings up twice in a week pays
// for it somewhere.
#pragma once

#include "model.hpp"

namespace lotwort::plan {

struct PutTogether {
    PurchaseModel model; // with the days of its orders
    MipAnswer answer;    // its bound is that of the plan before
    double dearer = 0.0; // than the plan before
};

// Orders within a week of each other become one, on the day on which all of it comes in time, where what ages by that
// costs little beside the goods. None: there are none, or each is better by itself.
[[nodiscard]] std::optional<PutTogether> put_together(const PurchaseCase& wanted, const PurchaseModel& model,
                                                      const MipAnswer& answer, const MipOptions& limits);

} // namespace lotwort::plan
