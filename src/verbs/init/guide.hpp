// The guided start: a new brewery asked for what its first brew needs, each answer booked by the verb that it is for.
#pragma once

#include <lotwort/verbs/call.hpp>
#include <string>
#include <vector>

namespace lotwort::verbs {

// Asks at the terminal whether to go through the questions, and asks them. Every question says why, and what an empty
// line stands for; the end of the input ends the questions, and so do answers that are refused again and again.
struct GuidedStart {
    std::vector<std::string> commands; // that booked the answers, in order
    std::string refused;               // why the questions ended, where not all that was answered is booked
};
[[nodiscard]] GuidedStart guided_start(const Call& call);

} // namespace lotwort::verbs
