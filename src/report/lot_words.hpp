// Words for a lot; shared by its text and its page.
#pragma once

#include <lotwort/stock/lot.hpp>
#include <string>

namespace lotwort::report {

// One analysis in a line: what it states, in the order of a certificate.
[[nodiscard]] std::string analysis_text(const Certificate& c);

} // namespace lotwort::report
