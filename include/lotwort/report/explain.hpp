// The answers of `lotwort explain`.
#pragma once

#include <lotwort/infer/explain.hpp>
#include <string>

namespace lotwort::report {

// First a sentence a brewer can act on, then a table for each outcome; within 80 columns.
// A sentence for each outcome and all parts side by side; `full`: each part with its interval.
[[nodiscard]] std::string explain_text(const Explanation& explanation, bool full = false);
[[nodiscard]] std::string explain_csv(const Explanation& explanation);  // a row a part
[[nodiscard]] std::string explain_json(const Explanation& explanation); // lotwort/explain/1

} // namespace lotwort::report
