// A fermentation as a curve of text, for the answers of `lotwort brew` and `lotwort package`.
#pragma once

#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/infer/fermentation.hpp>
#include <string>

namespace lotwort::report {

// A line a day, the last ten, with a bar as long as the attenuation, and below what is said of it; empty of none.
[[nodiscard]] std::string fermentation_text(const Fermentation& fermentation);
void fermentation_json(JsonWriter& w, const Fermentation& fermentation); // an object: state, says, days[]

} // namespace lotwort::report
