// What `lotwort` alone says of the ledger: what it needs next.
#pragma once

#include <string>
#include <vector>

namespace lotwort::report {

// Why something is to be done, and the command that does it.
struct NextStep {
    std::string why;
    std::string command;
};

// A line why and a line with the command for each; a sentence where there is nothing to do.
[[nodiscard]] std::string next_text(const std::string& ledger, const std::vector<NextStep>& steps);

} // namespace lotwort::report
