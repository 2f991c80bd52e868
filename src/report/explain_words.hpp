// Words for an explanation; shared by its text and the brew's page.
#pragma once

#include <lotwort/infer/explain.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

// How an outcome is spoken of: "original gravity", "gravity is higher".
struct OutcomeWords {
    const char *name, *more, *less, *unit;
    int decimals;
    const char* heading;
};
[[nodiscard]] OutcomeWords words_of_outcome(const std::string& quantity);

// "+0.12", "-0.12", "0.00"
[[nodiscard]] std::string with_sign(double value, int decimals);

// What a brewer can act on, a sentence for each outcome; those of which nothing can be told in one.
[[nodiscard]] std::vector<std::string> explained_sentences(const Explanation& explanation);

// "against the forecast of its plan P1 with what 12 brews before it taught"
[[nodiscard]] std::string forecast_words(const Explanation& explanation);

} // namespace lotwort::report
