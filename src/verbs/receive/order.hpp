// A delivery that an order was placed for.
#pragma once

#include "shared.hpp"

namespace lotwort::verbs {

// `receive --order`: one delivery of it, all that is awaited of it, or that no more of it will come.
[[nodiscard]] Answer receive_order(Call& call, const std::string& code);

} // namespace lotwort::verbs
