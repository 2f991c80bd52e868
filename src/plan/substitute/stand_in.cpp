#include "character.hpp"
#include <algorithm>
#include <lotwort/brew/meant_figures.hpp>
#include <lotwort/plan/stand_in.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort::plan {

std::optional<double> counts_as(const PlannedLine& line, const Item& asked, const Item& other, const Lot& lot,
                                Date day) {
    const HoleKind kind = asked.kind != ItemKind::hop              ? HoleKind::extract
                          : is_bittering(line.stage, line.minutes) ? HoleKind::bitterness
                                                                   : HoleKind::mass;
    const Character meant = character_of(asked), there = character_of(other, lot, day);
    if (!distance(meant, there, kind, {})) return std::nullopt;
    double ratio = 1.0;
    if (kind == HoleKind::bitterness) ratio = there.alpha_pct / meant.alpha_pct;
    if (kind == HoleKind::extract)
        ratio = malt_figures(other, lot, day).extract_as_is.value / malt_figures(asked).extract_as_is.value;
    if (is_for_colour(meant) && other.name != asked.name) // its colour is enough, and so is its extract
        ratio = std::max(ratio, lovibond_of(there.colour_ebc) / lovibond_of(meant.colour_ebc));
    return ratio > 0.0 ? std::optional(ratio) : std::nullopt;
}

} // namespace lotwort::plan
