// Bitterness as measured against what the alpha on the day and the utilisation curve foretell.
#pragma once

#include <lotwort/infer/learning.hpp>

namespace lotwort::infer_detail {

// IBU that Tinseth's curve gives for the hops as weighed, at their alpha on the brew's day, in the reconciled volume;
// with the uncertainty that the hops' alpha leaves. None where no hop was boiled or the balance tells no volume.
[[nodiscard]] std::optional<Estimate> foretold_bitterness(const ReconcileInput& brew);

// Fills bitterness_ratio of the forecast from every brew whose bitterness was measured.
void learn_bitterness(const std::vector<const ReconcileInput*>& brews, Learning& out);

} // namespace lotwort::infer_detail
