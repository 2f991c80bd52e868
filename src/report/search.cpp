#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/report/search.hpp>

namespace lotwort::report {

std::string search_said(const plan::MipProgress& now) {
    if (now.best >= plan::no_limit || now.bound <= -1e30) return "no answer yet";
    return fmt::format("an answer within {:.2g} % of what is possible",
                       100.0 * (now.best - now.bound) / std::max(1.0, std::abs(now.best)));
}

} // namespace lotwort::report
