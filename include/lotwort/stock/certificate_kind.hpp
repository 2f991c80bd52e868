// Whose paper a certificate is: a figure that no certificate of the kind states was read from another.
#pragma once

#include <lotwort/stock/lot.hpp>

namespace lotwort {

// States alpha acids, oil or a storage index.
[[nodiscard]] inline bool speaks_of_hop(const Certificate& found) {
    return found.alpha || found.alpha_sd || found.hop_storage_index || found.oil_ml_per_100g;
}

// States extract, moisture, colour, diastatic power or protein.
[[nodiscard]] inline bool speaks_of_malt(const Certificate& found) {
    return found.extract || found.moisture || found.colour || found.diastatic_power || found.protein;
}

// Extract and alpha acids are shares of a mass: what has them is received by mass.
[[nodiscard]] inline bool is_kept_by_mass(ItemKind kind) {
    return kind == ItemKind::malt || kind == ItemKind::sugar || kind == ItemKind::hop;
}

} // namespace lotwort
