// The answers of `lotwort substitute`.
#pragma once

#include <lotwort/plan/substitute.hpp>
#include <lotwort/report/booked.hpp>
#include <string>

namespace lotwort::report {

struct ShownSubstitution {
    const plan::SubstituteRequest* request = nullptr;
    const plan::Substitution* found = nullptr;
    std::string currency{};
    std::string next{};                 // the next command; empty: none
    std::string named{};                // the plans that were named, as typed: " P1 P2"
    const Booked* booked = nullptr;     // where an answer was adopted
    std::vector<std::string> remarks{}; // sentences about all of it
    std::vector<std::string> due{};     // sentences: what lacks only until its order comes
    bool whole = false;                 // the one answer there is, line by line, and its effect beside the plan's
    bool every_none = false;            // say of each kind without an answer why: somebody asked for it
};

// Every kind has a number of its own, so that --take means the same today and tomorrow: nearest 1, cheapest 2, ...
[[nodiscard]] int number_of(plan::AnswerKind kind);

// What lacks, then a sentence for each answer, the recommended first, and what is to be said of them once. One answer
// whole: lines by lot, effect beside the plan's with nothing missing, what the drinker might notice, cost.
[[nodiscard]] std::string substitute_text(const ShownSubstitution& shown);

// The answers' lines as rows.
[[nodiscard]] std::string substitute_csv(const ShownSubstitution& shown);

// lotwort/substitute/1: shortages[], crumbs[], recipe{}, answers[], none[], remarks[].
[[nodiscard]] std::string substitute_json(const ShownSubstitution& shown);

} // namespace lotwort::report
