// A refusal for programs: what a person is told, in parts.
#pragma once

#include <lotwort/core/error.hpp>
#include <string>

namespace lotwort::report {

struct Refusal {
    std::string verb; // empty: none was understood
    ErrorKind kind = ErrorKind::refused;
    std::string message, hint;
    std::string field; // the option or word it is about: price, ITEM; empty where it is about none alone
};

// lotwort/refusal/1: verb, and error {kind, status, message, hint, field}; what is empty is left out. `status` is the
// program's exit status.
[[nodiscard]] std::string refusal_json(const Refusal& refusal);

} // namespace lotwort::report
