// An answer looked at again, from the request alone: is every rule kept?
//
// Written anew, without the model's code: it reads lots, cards and recipe as a second brewer would with a pencil.
#pragma once

#include <lotwort/plan/substitute.hpp>

namespace lotwort::plan {

// Every breach in a sentence that begins with the rule's number in docs/methods/substitution.md; empty where all is
// kept. Masses are compared to 1 mg, sums to 1e-6 kg. Answers of `buy` take nothing and keep everything.
[[nodiscard]] std::vector<std::string> breaches(const SubstituteRequest& request, const SubstituteAnswer& answer);

} // namespace lotwort::plan
