// The kit: what a brewhouse loses, boils off and can read. Every figure but the volume may be missing;
// kit.hpp fills what is missing with typical values and says so.
#pragma once

#include <array>
#include <lotwort/core/date.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>
#include <lotwort/core/unit_system.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace lotwort {

enum class InstrumentKind { hydrometer, refractometer, density_meter, thermometer, volume_marks, balance };

template <>
struct WordsOf<InstrumentKind> {
    static constexpr std::array<std::string_view, 6> list{"hydrometer",  "refractometer", "density-meter",
                                                          "thermometer", "volume-marks",  "balance"};
};

// What an instrument showed of something known: a sugar solution, weighed water, melting ice. In its unit.
struct InstrumentCheck {
    std::optional<Date> on;
    double known = 0.0;             // what it should have shown
    std::optional<double> known_sd; // of that; none: exact
    double read = 0.0;              // as read, its correction not in it
    friend bool operator==(const InstrumentCheck&, const InstrumentCheck&) = default;
};

template <>
struct FieldsOf<InstrumentCheck> {
    static constexpr auto list = Fields{
        field("on", &InstrumentCheck::on),
        field("known", &InstrumentCheck::known, {-1e5, 1e5}),
        field("known_sd", &InstrumentCheck::known_sd, {0.0, 1e4}),
        field("read", &InstrumentCheck::read, {-1e5, 1e5}),
    };
};

// repeatability and bias_sd are one standard deviation in `unit` (sg, plato, brix, c, l, cm, kg, g); the _pct
// forms are of the value read. A bias is one draw per instrument, shared by its readings in a brew.
struct Instrument {
    std::string name;
    InstrumentKind kind = InstrumentKind::hydrometer;
    std::optional<Celsius> calibration; // the temperature a hydrometer or a mark is right at
    std::optional<std::string> unit;
    std::optional<double> repeatability;
    std::optional<double> repeatability_pct;
    std::optional<double> bias_sd;
    std::optional<double> bias_sd_pct;
    std::optional<double> resolution;    // the scale's step; adds its rectangular share
    std::optional<double> brix_to_plato; // plato = brix * this (the user's wort correction)
    std::optional<double> correction;    // in `unit`, added to every reading: true = read + correction
    std::vector<InstrumentCheck> checks;
    friend bool operator==(const Instrument&, const Instrument&) = default;
};

template <>
struct FieldsOf<Instrument> {
    static constexpr auto list = Fields{
        field("name", &Instrument::name),
        field("kind", &Instrument::kind),
        field("calibration_c", &Instrument::calibration, {0.0, 60.0}),
        field("unit", &Instrument::unit),
        field("repeatability", &Instrument::repeatability, {0.0, 1e4}),
        field("repeatability_pct", &Instrument::repeatability_pct, {0.0, 50.0}),
        field("bias_sd", &Instrument::bias_sd, {0.0, 1e4}),
        field("bias_sd_pct", &Instrument::bias_sd_pct, {0.0, 50.0}),
        field("resolution", &Instrument::resolution, {0.0, 1e4}),
        field("brix_to_plato", &Instrument::brix_to_plato, {0.8, 1.2}),
        field("correction", &Instrument::correction, {-1e4, 1e4}),
        field("checks", &Instrument::checks),
    };
};

enum class Sparge { none, batch, continuous };

template <>
struct WordsOf<Sparge> {
    static constexpr std::array<std::string_view, 3> list{"none", "batch", "continuous"};
};

// Where in the brew a reading is taken.
enum class ReadingPoint {
    mash,
    strike_liquor,
    sparge_liquor,
    first_wort,
    last_runnings,
    kettle_full,
    cast_out,
    fermenter,
    top_up,
    kettle_liquor,
    fermenting,
    final_beer,
};

template <>
struct WordsOf<ReadingPoint> {
    static constexpr std::array<std::string_view, 12> list{
        "mash",     "strike-liquor", "sparge-liquor", "first-wort",    "last-runnings", "kettle-full",
        "cast-out", "fermenter",     "top-up",        "kettle-liquor", "fermenting",    "final"};
};

// Read day by day after the brew, of beer that alcohol is in.
[[nodiscard]] constexpr bool is_fermented_point(ReadingPoint point) {
    return point == ReadingPoint::fermenting || point == ReadingPoint::final_beer;
}

// One depth of a dip table and the litres below it.
struct DipMark {
    Centimetres depth;
    Litres volume;
    friend bool operator==(const DipMark&, const DipMark&) = default;
};

struct Vessel {
    ReadingPoint point = ReadingPoint::kettle_full;
    std::optional<std::string> volume_instrument;
    std::optional<std::string> gravity_instrument;
    std::vector<DipMark> dip_table;             // rising in depth; written [[depth_cm, litres], ...]
    std::optional<double> wall_expansion_per_c; // of volume; 0 unless stated
    friend bool operator==(const Vessel&, const Vessel&) = default;
};

template <>
struct FieldsOf<Vessel> {
    static constexpr auto list = Fields{
        field("point", &Vessel::point),
        field("volume_instrument", &Vessel::volume_instrument),
        field("gravity_instrument", &Vessel::gravity_instrument),
        field("dip_table", &Vessel::dip_table),
        field("wall_expansion_per_c", &Vessel::wall_expansion_per_c, {0.0, 1e-3}),
    };
};

struct Brewhouse {
    std::string name;
    Litres volume; // what it is meant to put in the fermenter
    std::optional<Sparge> sparge;
    std::optional<int> batch_sparges;
    std::optional<double> wash_stages;           // n of the continuous sparge, first wort included
    std::optional<LitresPerKilogram> mash_ratio; // strike liquor per kg of grist
    std::optional<LitresPerKilogram> absorption;
    std::optional<LitresPerKilogram> absorption_sd;
    std::optional<LitresPerKilogram> absorption_level_sd;
    std::optional<LitresPerKilogram> hop_absorption;
    std::optional<Metres> altitude;
    std::optional<Litres> tun_loss;
    std::optional<LitresPerHour> boil_off;
    std::optional<LitresPerHour> boil_off_sd;
    std::optional<LitresPerHour> boil_off_level_sd;
    std::optional<Litres> kettle_loss;
    std::optional<Litres> kettle_loss_sd;
    std::optional<Litres> kettle_loss_level_sd;
    std::optional<Percent> conversion;
    std::optional<Percent> conversion_sd;
    std::optional<Percent> conversion_level_sd;
    std::optional<Percent> lauter_of_expected;
    std::optional<Percent> lauter_sd;
    std::optional<Percent> lauter_level_sd;
    std::optional<Percent> efficiency_fermenter; // what its brews came to, of the grist's extract (kit.hpp)
    std::optional<Percent> efficiency_kettle;    // the same, as the kettle was full
    std::optional<Percent> efficiency_sd;        // of either, in points
    std::optional<int> brews_per_day;            // that its kettle does
    std::optional<UnitSystem> works_in;          // what people are answered in, unless they say otherwise
    std::optional<Kilograms> weigh_step;
    std::optional<Kilograms> hop_step;
    std::optional<Kilograms> crumb;
    std::optional<Kilograms> hop_crumb;
    std::vector<Vessel> vessels;
    friend bool operator==(const Brewhouse&, const Brewhouse&) = default;
};

template <>
struct FieldsOf<Brewhouse> {
    static constexpr auto list = Fields{
        field("name", &Brewhouse::name),
        field("volume_l", &Brewhouse::volume, {0.1, 1e6}),
        field("sparge", &Brewhouse::sparge),
        field("batch_sparges", &Brewhouse::batch_sparges, {1.0, 10.0}),
        field("wash_stages", &Brewhouse::wash_stages, {1.0, 20.0}),
        field("mash_ratio_l_per_kg", &Brewhouse::mash_ratio, {1.0, 20.0}),
        field("absorption_l_per_kg", &Brewhouse::absorption, {0.0, 5.0}),
        field("absorption_sd_l_per_kg", &Brewhouse::absorption_sd, {0.0, 2.0}),
        field("absorption_level_sd_l_per_kg", &Brewhouse::absorption_level_sd, {0.0, 2.0}),
        field("hop_absorption_l_per_kg", &Brewhouse::hop_absorption, {0.0, 30.0}),
        field("altitude_m", &Brewhouse::altitude, {-500.0, 6000.0}),
        field("tun_loss_l", &Brewhouse::tun_loss, {0.0, 1e5}),
        field("boil_off_l_per_h", &Brewhouse::boil_off, {0.0, 1e5}),
        field("boil_off_sd_l_per_h", &Brewhouse::boil_off_sd, {0.0, 1e5}),
        field("boil_off_level_sd_l_per_h", &Brewhouse::boil_off_level_sd, {0.0, 1e5}),
        field("kettle_loss_l", &Brewhouse::kettle_loss, {0.0, 1e5}),
        field("kettle_loss_sd_l", &Brewhouse::kettle_loss_sd, {0.0, 1e5}),
        field("kettle_loss_level_sd_l", &Brewhouse::kettle_loss_level_sd, {0.0, 1e5}),
        field("conversion_pct", &Brewhouse::conversion, {1.0, 110.0}),
        field("conversion_sd_pct", &Brewhouse::conversion_sd, {0.0, 50.0}),
        field("conversion_level_sd_pct", &Brewhouse::conversion_level_sd, {0.0, 50.0}),
        field("lauter_pct_of_expected", &Brewhouse::lauter_of_expected, {1.0, 150.0}),
        field("lauter_sd_pct", &Brewhouse::lauter_sd, {0.0, 50.0}),
        field("lauter_level_sd_pct", &Brewhouse::lauter_level_sd, {0.0, 50.0}),
        field("efficiency_fermenter_pct", &Brewhouse::efficiency_fermenter, {20.0, 100.0}),
        field("efficiency_kettle_pct", &Brewhouse::efficiency_kettle, {20.0, 100.0}),
        field("efficiency_sd_pct", &Brewhouse::efficiency_sd, {0.1, 30.0}),
        field("brews_per_day", &Brewhouse::brews_per_day, {1.0, 24.0}),
        field("works_in", &Brewhouse::works_in),
        field("weigh_step_kg", &Brewhouse::weigh_step, {1e-6, 1e4}),
        field("hop_step_kg", &Brewhouse::hop_step, {1e-6, 1e4}),
        field("crumb_kg", &Brewhouse::crumb, {0.0, 1e4}),
        field("hop_crumb_kg", &Brewhouse::hop_crumb, {0.0, 1e4}),
        field("vessels", &Brewhouse::vessels),
    };
};

} // namespace lotwort
