// One lot with all that is said of it.
#pragma once

#include "shared.hpp"
#include <lotwort/report/lot.hpp>

namespace lotwort::cli {

[[nodiscard]] report::LotAnswer lot_answer(Call& call, const LotState& state, Date day);

} // namespace lotwort::cli
