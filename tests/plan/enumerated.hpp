// Small substitutions drawn by chance, and their optimum by trying every yes/no pattern with a linear programme on
// each. The rows are written here anew from the rules, for one brew without hops; nothing of the model's code is used.
#pragma once

#include <lotwort/plan/substitute.hpp>

namespace lotwort::test {

[[nodiscard]] plan::SubstituteRequest drawn_request(unsigned seed, plan::AnswerKind kind);

// The optimum, continuous or in weigh steps of 10 g; no_limit where no pattern keeps the rules.
[[nodiscard]] double enumerated_optimum(const plan::SubstituteRequest& request, plan::AnswerKind kind,
                                        bool steps = false);

} // namespace lotwort::test
