// An efficiency as it is typed: 72%@fermenter, 75%±2@kettle.
#pragma once

#include "shared.hpp"

namespace lotwort::verbs {

struct TypedEfficiency {
    Percent value;
    std::optional<Percent> sd;
    bool in_kettle = false; // else in the fermenter
};

// Its figure; what stands behind @ is not looked at.
[[nodiscard]] TypedEfficiency parse_efficiency_figure(const std::string& text);
// What stands behind @: whether it is the kettle; none where nothing does.
[[nodiscard]] std::optional<bool> efficiency_in_kettle(const std::string& text);

// Of --efficiency. Where nothing says into what, it is asked at a terminal; elsewhere Error(refused) shows both
// commands.
[[nodiscard]] std::optional<TypedEfficiency> parse_efficiency(const Call& call);

} // namespace lotwort::verbs
