// The code a lot gets where nobody gives it one.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lotwort::cli {

// The initials of the item's name and the next number that no lot has: "pale ale malt" gives PAM-1, PAM-2, ...
// A name of one word gives its first three letters.
[[nodiscard]] std::string next_lot_code(std::string_view item, const std::vector<std::string>& taken);

} // namespace lotwort::cli
