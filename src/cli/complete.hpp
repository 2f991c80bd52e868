// What may stand where a shell asks: verbs, options, and the names that the ledger knows.
#pragma once

#include <lotwort/cli/program.hpp>
#include <string>
#include <vector>

namespace lotwort::cli {

// What may take the place of the last of `words` (the words behind `lotwort`, the last one begun or empty): the words
// that begin as it does, each on a line. Empty where there are none, or where a file is wanted: the shell then offers
// files. Never throws for a ledger that cannot be read. Described: behind verbs and options two blanks, and what it
// is.
enum class Described { no, yes };
[[nodiscard]] std::string completions(const std::vector<std::string>& words, const Surroundings& surroundings,
                                      Described described = Described::no);

} // namespace lotwort::cli
