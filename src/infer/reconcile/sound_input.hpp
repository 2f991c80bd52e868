// What a brew to be reconciled must hold before anything is made of it.
#pragma once

#include <lotwort/infer/reconciliation.hpp>

namespace lotwort::infer_detail {

// Error(refused) for a figure outside its field's range or that is no number, and for a record that breaks a rule of
// its kind (brew/rules.hpp). Also for a negative mass weighed in, and for a lot that is not handed over.
void demand_sound(const ReconcileInput& input);

} // namespace lotwort::infer_detail
