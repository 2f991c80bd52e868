// What was typed, for a hint that says where it belongs.
#pragma once

#include <lotwort/cli/command.hpp>
#include <string>

namespace lotwort::cli {

// The verb's own options as they were given, each with a blank before it: ` --colour 6EBC --group "pale malts"`.
[[nodiscard]] std::string options_given(const Call& call);

} // namespace lotwort::cli
