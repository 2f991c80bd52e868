// What was typed, for a hint that says where it belongs.
#pragma once

#include <lotwort/verbs/call.hpp>
#include <string>

namespace lotwort::verbs {

// The verb's own options as they were given, each with a blank before it: ` --colour 6EBC --group "pale malts"`.
[[nodiscard]] std::string options_given(const Call& call);

} // namespace lotwort::verbs
