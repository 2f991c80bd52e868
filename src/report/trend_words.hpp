// Words for what many brews say; shared by the text and the page of a trend.
#pragma once

#include <lotwort/infer/learn.hpp>
#include <string>

namespace lotwort::report {

[[nodiscard]] std::string signed_pct(double share);      // "+1.2 %", never "-0.0 %"
[[nodiscard]] std::string difference(const Estimate& e); // "-3.0 to +2.3 %"

// What a brewer would act on: drift, odd lots; else that nothing asks for it. A sentence a paragraph.
[[nodiscard]] std::string headline(const Learning& learned);

} // namespace lotwort::report
