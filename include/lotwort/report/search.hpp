// How far a search is, in half a line.
#pragma once

#include <lotwort/plan/mip.hpp>
#include <string>

namespace lotwort::report {

// "an answer within 3.2 % of what is possible"; "no answer yet".
[[nodiscard]] std::string search_said(const plan::MipProgress& now);

} // namespace lotwort::report
