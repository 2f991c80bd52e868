// All that is wrong with a line is told at once.
#pragma once

#include <functional>
#include <lotwort/core/error.hpp>
#include <string>
#include <vector>

namespace lotwort::cli {

// The first fault of a line with those behind it. Each is mended as its hint says, and the line is tried again with
// `rehearse`, which books nothing and throws the next one. Where every fault has a correction, the hint is the one
// line to type; else each is told with its own. The first as it is, where it is the only one.
[[nodiscard]] Error all_faults(const std::vector<std::string>& words, const Error& first,
                               const std::function<void(const std::vector<std::string>&)>& rehearse);

} // namespace lotwort::cli
