// An efficiency as it is typed: 72%@fermenter, 75%±2@kettle.
#pragma once

#include "shared.hpp"

namespace lotwort::verbs {

struct TypedEfficiency {
    Percent value;
    std::optional<Percent> sd;
    bool in_kettle = false; // else in the fermenter
};

// Of --efficiency. Where nothing says into what, it is asked at a terminal; elsewhere Error(refused) shows both
// commands.
[[nodiscard]] std::optional<TypedEfficiency> parse_efficiency(const Call& call);

} // namespace lotwort::verbs
