// The program: words in, an answer out.
#pragma once

#include <lotwort/verbs/call.hpp>

namespace lotwort::cli {

using namespace verbs;

// Error(usage) for unknown options (the nearest is offered), missing, surplus or empty words, and a value that is
// itself an option (--reason --dry-run; it may be written --reason=--dry-run).
[[nodiscard]] Arguments parse_arguments(const Command& command, const std::vector<std::string>& words);

// Runs the program: the words after its name. Throws Error, Bug; main alone catches.
[[nodiscard]] Answer dispatch(const std::vector<std::string>& words, const Surroundings& surroundings);

// lotwort/refusal/1, for standard output, where the words ask for JSON; else empty.
[[nodiscard]] std::string refusal_for_programs(const std::vector<std::string>& words, const Error& fault);

// The page of docs/commands as a terminal shows it (fences and heading marks taken off). Empty: no such page.
[[nodiscard]] std::string help_text(std::string_view page);

} // namespace lotwort::cli
