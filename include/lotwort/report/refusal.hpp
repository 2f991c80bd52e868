// A refusal for programs: what a person is told, in parts.
#pragma once

#include <cstdint>
#include <lotwort/core/error.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

struct Overtaking {
    std::int64_t entry = 0;
    std::string by, what;
};

struct Refusal {
    std::string verb; // empty: none was understood
    ErrorKind kind = ErrorKind::refused;
    std::string message, hint;
    std::string field; // the option or word it is about: price, ITEM; empty where it is about none alone
    std::vector<Overtaking> changed{}; // entries since the state that was asked upon, newest first
};

// lotwort/refusal/1: verb, and error {kind, status, message, hint, field, changed [{entry, by, what}]}; what is empty
// is left out. `status` is the program's exit status.
[[nodiscard]] std::string refusal_json(const Refusal& refusal);

} // namespace lotwort::report
