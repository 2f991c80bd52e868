// What is wrong or short stands out at a terminal. Colour is never alone: the words say it too.
#pragma once

#include <string>
#include <string_view>

namespace lotwort::cli {

// The answer with the words that say so in bold red, by the escape sequences of ECMA-48.
[[nodiscard]] std::string coloured(std::string_view answer);

} // namespace lotwort::cli
