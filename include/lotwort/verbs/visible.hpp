// What comes in at the door and what goes out: text that can be seen.
#pragma once

#include <functional>
#include <lotwort/verbs/call.hpp>
#include <string>
#include <string_view>

namespace lotwort::verbs {

// Names go into tables and files. Error(usage) for what is no text, would break a line, or shows nothing; `whose` says
// whose it is: "an argument".
void demand_text(std::string_view text, std::string_view whose);

// Runs a verb so that nothing hidden reaches a terminal from a ledger or a file that somebody else made: what it asks,
// tells of its progress, answers and complains of.
[[nodiscard]] Answer answered_visibly(const Surroundings& surroundings,
                                      const std::function<Answer(const Surroundings&)>& run);

} // namespace lotwort::verbs
