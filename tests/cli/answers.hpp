// What programs are answered, held against the schemas that are published (docs/schemas, one a verb).
#pragma once

#include <string>

namespace lotwort::test {

// Empty where the schema that the answer names takes it; else where it does not, and why. With LOTWORT_ANSWERS=FOLDER
// each answer is kept there, to look at.
[[nodiscard]] std::string against_its_schema(const std::string& answer);

} // namespace lotwort::test
