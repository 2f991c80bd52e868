// Words for what many brews say; shared by the text and the page of a trend.
#pragma once

#include <lotwort/infer/learn.hpp>
#include <string>

namespace lotwort::report {

[[nodiscard]] std::string signed_pct(double share);      // "+1.2 %", never "-0.0 %"
[[nodiscard]] std::string difference(const Estimate& e); // "-3.0 to +2.3 %"

// A figure "also learned" and its interval. Attenuation, conversion's slopes and what is packaged are kept as
// fractions, and said as all else is: in per cent.
struct LearnedWords {
    std::string value;    // "2.94 ± 0.08", "-1.04 ± 0.61 %"
    std::string interval; // "-2.0 to 0.0 %"
};
[[nodiscard]] LearnedWords learned_words(const std::string& name, const Estimate& e);

// What a brewer would act on: drift, odd lots; else that nothing asks for it. A sentence a paragraph.
[[nodiscard]] std::string headline(const Learning& learned);

} // namespace lotwort::report
