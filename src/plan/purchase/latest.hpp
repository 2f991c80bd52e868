// Of plans that cost the same, the one that orders late: a brewer's plans change, and money in the bank spoils slowly.
#pragma once

#include "model.hpp"

namespace lotwort::plan {

// Each order as late as the same packs cost no more, among the days of the model. An answer as good as the one given.
[[nodiscard]] MipAnswer ordered_late(const PurchaseModel& model, MipAnswer answer, const MipOptions& limits);

} // namespace lotwort::plan
