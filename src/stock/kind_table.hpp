// The table of kinds, as kinds.hpp shows it.
#pragma once

#include <lotwort/stock/kinds.hpp>

namespace lotwort {

[[nodiscard]] std::span<const KindOfItem> kind_table();

} // namespace lotwort
