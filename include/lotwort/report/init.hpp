// The answer of `lotwort init`.
#pragma once

#include <string>
#include <vector>

namespace lotwort::report {

struct MadeLedger {
    std::string path;
    std::string currency;
    bool currency_assumed = false; // nobody stated it
    bool dry_run = false;
    std::string network = {};             // the kind of network file system it lies on; empty: none
    std::vector<std::string> booked = {}; // commands that say what was answered at the start
    std::string next = {};                // empty: the first delivery
    std::string refused = {};             // why the questions ended, a line or two; empty: they came to their end
};

[[nodiscard]] std::string init_text(const MadeLedger& made);
[[nodiscard]] std::string init_json(const MadeLedger& made); // lotwort/init/1

} // namespace lotwort::report
