// The texts of docs/commands/*.md, in the order of their names.
#pragma once

#include <lotwort/core/embedded.hpp>

namespace lotwort {

[[nodiscard]] const std::vector<EmbeddedText> &embedded_pages();
// The scripts of src/completion, named by their shells.
[[nodiscard]] const std::vector<EmbeddedText> &embedded_completions();

} // namespace lotwort
