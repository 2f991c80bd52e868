// What one lot more costs a brewer: another sack to open and to weigh.
#pragma once

#include "case.hpp"

namespace lotwort::plan {

// What one take more must bring: a quarter of the distance of the nearest lot that fills the hole alone, else of what
// the nearest come to together.
void set_price_of_takes(SubstitutionCase& c, const Tolerances& t);

} // namespace lotwort::plan
