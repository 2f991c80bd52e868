// A refusal, and which of the words it is about.
#pragma once

#include <lotwort/report/refusal.hpp>
#include <lotwort/verbs/arguments.hpp>

namespace lotwort::verbs {

// The field is that which the message begins with (--price, ITEM), else the one whose value it quotes; of several that
// have the same value, none.
[[nodiscard]] report::Refusal refusal_of(const Command& command, const NamedWords& words, const Error& fault);

} // namespace lotwort::verbs
