// A delivery note: all of its rows, or none of them and all that is wrong with them.
#pragma once

#include <lotwort/verbs/call.hpp>
#include <string>

namespace lotwort::verbs {

// Error(refused) too where rows were received before, unless --again says that they came once more. Such a row has a
// lot of the same item, supplier and amount, and of the same supplier's lot or, where none is named, of the same day.
[[nodiscard]] Answer receive_note(Call& call, const std::string& file);

} // namespace lotwort::verbs
