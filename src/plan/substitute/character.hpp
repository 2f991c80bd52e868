// How near one item is to another, as a brewer tells them apart.
#pragma once

#include <lotwort/plan/substitute.hpp>

namespace lotwort::plan {

// What is told apart: a lot by its own paper, an item by what is known of it.
struct Character {
    const Item* item = nullptr;
    std::string of_class, family; // malts and sugars; empty where nobody knows
    double colour_ebc = 0.0, extract_pct = 0.0, power_wk = 0.0;
    double alpha_pct = 0.0; // hops, on the day
};

[[nodiscard]] Character character_of(const Item& item);
[[nodiscard]] Character character_of(const Item& item, const Lot& lot, Date day);

// What a line lets stand in for its item: by extract, by colour where that is what the malt is there for, and by
// bitterness, or by mass where the nose is meant.
enum class HoleKind { extract, colour, bitterness, mass };

[[nodiscard]] double lovibond_of(double ebc); // of a malt

// Is the malt there for its colour first?
[[nodiscard]] bool is_for_colour(const Character& malt);

// The distance d of docs/methods/substitution.md: 0 for the item itself, none where the other may not stand in.
// The user's own word comes first: what is named is nearer than anything that is not.
[[nodiscard]] std::optional<double> distance(const Character& asked, const Character& other, HoleKind kind,
                                             const Tolerances& t);

// The greatest share of a grist, as a fraction: the item's own, else what its kind is used at.
[[nodiscard]] double greatest_share(const Character& malt);

} // namespace lotwort::plan
