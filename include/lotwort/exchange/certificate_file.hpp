// A certificate of analysis as a file of its own: the record `certificate` of an exchange file, alone.
#pragma once

#include <lotwort/stock/lot.hpp>
#include <string_view>

namespace lotwort {

// JSON, or TOML where the source's name ends in .toml. Error(refused) lists every fault with line and column.
[[nodiscard]] Certificate read_certificate(std::string_view text, std::string_view source);

} // namespace lotwort
