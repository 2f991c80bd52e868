// A recipe as the brewer writes it: grist by shares or masses, hops by mass or bitterness, for a volume.
#pragma once

#include <array>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>
#include <lotwort/stock/movement.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// One malt of the grist: its share of the grist's mass, or its mass for the recipe's volume. With figures of its own,
// the mass is that of a malt which has them (meant_figures.hpp).
struct GristLine {
    std::string item;
    std::optional<Percent> share;
    std::optional<Kilograms> mass;
    std::optional<Percent> extract = std::nullopt; // of dry matter, fine grind
    std::optional<Ebc> colour = std::nullopt;
    friend bool operator==(const GristLine&, const GristLine&) = default;
};

template <>
struct FieldsOf<GristLine> {
    static constexpr auto list = Fields{
        field("item", &GristLine::item),
        field("share_pct", &GristLine::share, {0.0, 100.0}),
        field("mass_kg", &GristLine::mass, {0.0, 1e6}),
        field("extract_pct", &GristLine::extract, {1.0, 105.0}),
        field("colour_ebc", &GristLine::colour, {0.1, 3000.0}),
    };
};

// One hop: a mass, of a hop of that alpha where one is stated, or the bitterness it is to give.
struct HopLine {
    std::string item;
    Stage stage = Stage::boil; // boil, stand or dry
    std::optional<Minutes> minutes;
    std::optional<Celsius> temperature; // of a stand
    std::optional<int> days;            // of a dry addition
    std::optional<Grams> mass;
    std::optional<BitternessUnits> bitterness;
    std::optional<Percent> alpha = std::nullopt;
    friend bool operator==(const HopLine&, const HopLine&) = default;
};

template <>
struct FieldsOf<HopLine> {
    static constexpr auto list = Fields{
        field("item", &HopLine::item),
        field("stage", &HopLine::stage),
        field("minutes", &HopLine::minutes, {0.0, 1440.0}),
        field("temperature_c", &HopLine::temperature, {0.0, 105.0}),
        field("days", &HopLine::days, {0.0, 365.0}),
        field("mass_g", &HopLine::mass, {0.0, 1e7}),
        field("bitterness_ibu", &HopLine::bitterness, {0.0, 200.0}),
        field("alpha_pct", &HopLine::alpha, {0.1, 30.0}),
    };
};

// Anything else that goes in: sugar, yeast, salt, finings. A yeast that states no amount is counted by its cells
// (stock/yeast.hpp).
struct OtherLine {
    std::string item;
    Stage stage = Stage::kettle;
    std::optional<Minutes> minutes;
    std::optional<Kilograms> mass;
    std::optional<Litres> volume;
    std::optional<int> count;
    friend bool operator==(const OtherLine&, const OtherLine&) = default;
};

template <>
struct FieldsOf<OtherLine> {
    static constexpr auto list = Fields{
        field("item", &OtherLine::item),
        field("stage", &OtherLine::stage),
        field("minutes", &OtherLine::minutes, {0.0, 100000.0}),
        field("mass_kg", &OtherLine::mass, {0.0, 1e6}),
        field("volume_l", &OtherLine::volume, {0.0, 1e6}),
        field("count", &OtherLine::count, {0.0, 1e6}),
    };
};

struct Recipe {
    std::string name;
    Litres volume;                                   // in the fermenter
    std::optional<SpecificGravity> original_gravity; // needed where the grist is by shares
    std::optional<Minutes> boil;
    std::optional<Percent> attenuation; // apparent
    std::optional<Celsius> mash_rest;
    std::optional<Minutes> mash_rest_time;
    std::optional<WindischKolbach> diastatic_floor;
    // of the house that the masses of the grist were written for, into the fermenter or the kettle (recipe_gravity.hpp)
    std::optional<Percent> efficiency_fermenter;
    std::optional<Percent> efficiency_kettle;
    std::optional<double> pitch_rate; // million yeast cells per mL and °P, of lines that state no amount
    std::optional<int> tank_days;     // from the brew day until its tank is free again
    std::optional<int> harvest_days;  // from the brew day until its yeast can be cropped
    std::vector<GristLine> grist;
    std::vector<HopLine> hops;
    std::vector<OtherLine> others;
    friend bool operator==(const Recipe&, const Recipe&) = default;
};

template <>
struct FieldsOf<Recipe> {
    static constexpr auto list = Fields{
        field("name", &Recipe::name),
        field("volume_l", &Recipe::volume, {0.1, 1e6}),
        field("original_gravity_sg", &Recipe::original_gravity, {1.0, 1.2}),
        field("boil_minutes", &Recipe::boil, {0.0, 1440.0}),
        field("attenuation_pct", &Recipe::attenuation, {0.0, 110.0}),
        field("mash_rest_c", &Recipe::mash_rest, {20.0, 100.0}),
        field("mash_rest_minutes", &Recipe::mash_rest_time, {0.0, 1440.0}),
        field("diastatic_floor_wk", &Recipe::diastatic_floor, {0.0, 1000.0}),
        field("efficiency_fermenter_pct", &Recipe::efficiency_fermenter, {20.0, 100.0}),
        field("efficiency_kettle_pct", &Recipe::efficiency_kettle, {20.0, 100.0}),
        field("pitch_million_per_ml_plato", &Recipe::pitch_rate, {0.01, 20.0}),
        field("tank_days", &Recipe::tank_days, {1.0, 1000.0}),
        field("harvest_days", &Recipe::harvest_days, {1.0, 365.0}),
        field("grist", &Recipe::grist),
        field("hops", &Recipe::hops),
        field("others", &Recipe::others),
    };
};

} // namespace lotwort
