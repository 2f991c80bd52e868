// A page of docs/commands as a manual page, for man.
#pragma once

#include <string>
#include <string_view>

namespace lotwort::cli {

// In the macros of man(7); empty: no such page. `lotwort --manual VERB` prints it; the build installs them all.
[[nodiscard]] std::string manual_page(std::string_view name);

} // namespace lotwort::cli
