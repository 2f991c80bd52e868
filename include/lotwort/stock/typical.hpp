// Typical values by kind and class of item, for what nobody has stated. They are wide on purpose.
#pragma once

#include <lotwort/stock/item.hpp>
#include <string_view>
#include <vector>

namespace lotwort {

// Values and standard uncertainties of a class: see docs/methods/malt.md for sources.
struct Typical {
    double extract_fine_dry_pct = 0.0;
    double extract_sd_pct = 0.0;
    double moisture_pct = 0.0;
    double moisture_sd_pct = 0.0;
    double colour_ebc = 0.0;
    double colour_sd_ebc = 0.0;
    double diastatic_power_wk = 0.0;
    double diastatic_power_sd_wk = 0.0;
    double alpha_pct = 0.0;
    double alpha_sd_pct = 0.0;
};

// Classes known by name: base, high-kilned, caramel, roasted, wheat, rye, oats, smoked, acid, adjunct.
[[nodiscard]] const std::vector<std::string_view>& known_malt_classes();

// A kind and class nobody knows gets the widest values of its kind.
[[nodiscard]] Typical typical_of(ItemKind kind, std::string_view malt_class);

// Of the kind that the item's name is the name of (kinds.hpp), else of its class.
[[nodiscard]] Typical typical_of(const Item& item);

// The kind and class that an item's name speaks of: those of the kind that has the whole name, else what its words say
// ("smoked wheat malt" is a smoked malt). A name that says nothing is a hop where it has alpha acids, else a base malt.
// Used when a delivery names an item that does not exist yet, and said to the user.
struct GuessedKind {
    ItemKind kind;
    std::string_view malt_class; // empty unless a malt
};
[[nodiscard]] GuessedKind guess_kind(std::string_view name, bool has_alpha = false);

} // namespace lotwort
