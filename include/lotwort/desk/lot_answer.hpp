// One lot with all that is said of it.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/report/lot.hpp>

namespace lotwort {

[[nodiscard]] report::LotAnswer lot_answer(const Desk& desk, const LotState& state, Date day);

} // namespace lotwort
