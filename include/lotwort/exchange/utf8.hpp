// Text that comes from a file or a terminal is UTF-8, or it is refused: half a letter booked today is a
// ledger that cannot be exported tomorrow.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

namespace lotwort {

// Where the first byte stands that is not UTF-8 (Unicode 15, table 3-7: no overlong forms, no surrogates,
// nothing above U+10FFFF); empty where all of it is.
[[nodiscard]] std::optional<std::size_t> find_invalid_utf8(std::string_view text);

} // namespace lotwort
