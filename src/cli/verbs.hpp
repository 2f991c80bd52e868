// Every verb, each defined in verb_NAME.cpp; commands.cpp puts them in order.
#pragma once

#include <lotwort/cli/command.hpp>

namespace lotwort::cli {

extern const Command init_command;

} // namespace lotwort::cli
