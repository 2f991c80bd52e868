// An item: a kind of thing kept (pale ale malt, a hop, a yeast). Its figures are what a typical lot holds;
// a lot's own certificate comes before them.
#pragma once

#include <array>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

enum class ItemKind { malt, sugar, hop, yeast, salt, other };

template <>
struct WordsOf<ItemKind> {
    static constexpr std::array<std::string_view, 6> list{"malt", "sugar", "hop", "yeast", "salt", "other"};
};

// The basis a laboratory states extract on. Per cent, or litre-degrees per kilogram, or points per pound and
// US gallon; of fine or coarse grind; of dry matter or of the malt as it is.
enum class ExtractBasis {
    fine_dry,
    fine_as_is,
    coarse_dry,
    coarse_as_is,
    l_per_kg_fine_dry,
    l_per_kg_fine_as_is,
    l_per_kg_coarse_dry,
    l_per_kg_coarse_as_is,
    ppg_fine_dry,
    ppg_fine_as_is,
    ppg_coarse_dry,
    ppg_coarse_as_is,
};

template <>
struct WordsOf<ExtractBasis> {
    static constexpr std::array<std::string_view, 12> list{
        "fine-dry",          "fine-as-is",          "coarse-dry",          "coarse-as-is",
        "l-per-kg-fine-dry", "l-per-kg-fine-as-is", "l-per-kg-coarse-dry", "l-per-kg-coarse-as-is",
        "ppg-fine-dry",      "ppg-fine-as-is",      "ppg-coarse-dry",      "ppg-coarse-as-is"};
};

enum class Allowed { yes, never };

template <>
struct WordsOf<Allowed> {
    static constexpr std::array<std::string_view, 2> list{"yes", "never"};
};

// What the cells of a yeast are stated of.
enum class CellsPer { pack, g, ml };

template <>
struct WordsOf<CellsPer> {
    static constexpr std::array<std::string_view, 3> list{"pack", "g", "ml"};
};

// An item that may stand in for another; preference multiplies its distance in a substitution (1 is neutral). Or one
// that never may, whatever its class and colour.
struct StandIn {
    std::string item;
    std::optional<double> preference;
    std::optional<Allowed> allowed = std::nullopt; // yes unless stated
    friend bool operator==(const StandIn&, const StandIn&) = default;
};

template <>
struct FieldsOf<StandIn> {
    static constexpr auto list =
        Fields{field("item", &StandIn::item), field("preference", &StandIn::preference, {0.0, 1000.0}),
               field("allowed", &StandIn::allowed)};
};

struct Item {
    std::string name;
    ItemKind kind = ItemKind::malt;
    std::optional<std::string> malt_class; // base, high-kilned, caramel, roasted, wheat, ... (typical.hpp knows some)
    std::optional<Percent> extract;        // on extract_basis; L deg/kg or ppg where the basis says so
    std::optional<ExtractBasis> extract_basis;
    std::optional<Percent> extract_sd; // percentage points on the stated basis: the scatter of items of this name
    std::optional<Percent> moisture;
    std::optional<Ebc> colour;
    std::optional<WindischKolbach> diastatic_power;
    std::optional<Percent> max_share;
    std::optional<Percent> alpha;
    std::optional<std::string> group; // aroma group, the user's own word
    std::vector<StandIn> stands_for;
    std::optional<int> shelf_life_days;
    // of a yeast (yeast.hpp)
    std::optional<double> cells_billion; // fresh, a pack, a gram or a millilitre of it
    std::optional<CellsPer> cells_per;   // a pack unless stated
    std::optional<Percent> cells_loss;   // that die in a month
    std::optional<double> pitch_rate;    // million cells per mL and °P
    friend bool operator==(const Item&, const Item&) = default;
};

template <>
struct FieldsOf<Item> {
    static constexpr auto list = Fields{
        field("name", &Item::name),
        field("kind", &Item::kind),
        field("class", &Item::malt_class),
        field("extract_pct", &Item::extract, {0.0, 500.0}),
        field("extract_basis", &Item::extract_basis),
        field("extract_sd_pct", &Item::extract_sd, {0.0, 50.0}),
        field("moisture_pct", &Item::moisture, {0.0, 30.0}),
        field("colour_ebc", &Item::colour, {0.0, 3000.0}),
        field("diastatic_power_wk", &Item::diastatic_power, {0.0, 1000.0}),
        field("max_share_pct", &Item::max_share, {0.0, 100.0}),
        field("alpha_pct", &Item::alpha, {0.0, 30.0}),
        field("group", &Item::group),
        field("stands_for", &Item::stands_for),
        field("shelf_life_days", &Item::shelf_life_days, {1.0, 36500.0}),
        field("cells_billion", &Item::cells_billion, {0.001, 1e6}),
        field("cells_per", &Item::cells_per),
        field("cells_loss_pct_per_month", &Item::cells_loss, {0.0, 99.0}),
        field("pitch_million_per_ml_plato", &Item::pitch_rate, {0.01, 20.0}),
    };
};

} // namespace lotwort
