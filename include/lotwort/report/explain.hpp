// The answers of `lotwort explain`.
#pragma once

#include <lotwort/infer/explain.hpp>
#include <string>

namespace lotwort::report {

// First a sentence a brewer can act on, then a table for each outcome; within 80 columns.
[[nodiscard]] std::string explain_text(const Explanation& explanation);
[[nodiscard]] std::string explain_csv(const Explanation& explanation);  // a row a part
[[nodiscard]] std::string explain_json(const Explanation& explanation); // lotwort/explain/1

} // namespace lotwort::report
