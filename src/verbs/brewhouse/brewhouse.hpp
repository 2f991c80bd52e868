// What `lotwort brewhouse` is made of: a brewhouse's figures, a vessel and an instrument as options say them.
#pragma once

#include "shared.hpp"
#include <lotwort/report/brewhouse.hpp>

namespace lotwort::verbs {

inline constexpr std::array<Option, 28> figure_options{{
    {"efficiency", "PERCENT@WHERE",
     "what its brews come to: 72%@fermenter or 80%@kettle; 72%±2@fermenter known better"},
    {"sparge", "HOW", "none, batch or continuous"},
    {"batch-sparges", "N", "washes of a batch sparge, after the first wort"},
    {"wash-stages", "N", "how many equal washings a continuous sparge is worth, first wort included"},
    {"mash-ratio", "RATIO", "liquor of the mash: 3L/kg"},
    {"absorption", "RATIO", "wort that the drained grain holds: 1.0L/kg"},
    {"absorption-sd", "RATIO", "its standard deviation from brew to brew"},
    {"hop-absorption", "RATIO", "wort that hops hold back in the kettle: 8L/kg"},
    {"tun-loss", "VOLUME", "wort that cannot leave the tun: 0.8L"},
    {"boil-off", "RATE", "water boiled off: 3.2L/h"},
    {"boil-off-sd", "RATE", "its standard deviation from brew to brew"},
    {"kettle-loss", "VOLUME", "wort left in the kettle: 1.5L"},
    {"kettle-loss-sd", "VOLUME", "its standard deviation from brew to brew"},
    {"conversion", "PERCENT", "extract dissolved in the mash, of the laboratory's: 92%"},
    {"conversion-sd", "PERCENT", "its standard deviation from brew to brew"},
    {"lauter", "PERCENT", "lautering against what washing predicts: 100%"},
    {"lauter-sd", "PERCENT", "its standard deviation from brew to brew"},
    {"absorption-level-sd", "RATIO", "the part of --absorption-sd that all brews share"},
    {"boil-off-level-sd", "RATE", "the part of --boil-off-sd that all brews share"},
    {"kettle-loss-level-sd", "VOLUME", "the part of --kettle-loss-sd that all brews share"},
    {"conversion-level-sd", "PERCENT", "the part of --conversion-sd that all brews share"},
    {"lauter-level-sd", "PERCENT", "the part of --lauter-sd that all brews share"},
    {"altitude", "LENGTH", "of the brewery: 400m"},
    {"brews-per-day", "N", "how many brews its kettle does in a day"},
    {"works-in", "SYSTEM", "us or metric: what the ledger answers in, unless --units says otherwise"},
    {"weigh-step", "MASS", "malt is weighed in steps of: 10g"},
    {"hop-step", "MASS", "hops are weighed in steps of: 1g"},
    {"crumb", "MASS", "the least of a malt lot worth keeping: 250g"},
}};

inline constexpr std::array<Option, 5> vessel_options{{
    {"point", "POINT", "of the vessel: kettle-full, fermenter, ..."},
    {"volume-by", "INSTRUMENT", "what its volume is read with"},
    {"gravity-by", "INSTRUMENT", "what its gravity is read with"},
    {"dip", "DEPTH=VOLUME", "a mark of its dip table: 10cm=5.2L", true},
    {"wall-expansion", "NUMBER", "how its volume grows by the degree: 0.00005"},
}};

inline constexpr std::array<Option, 8> instrument_options{{
    {"kind", "KIND", "hydrometer, refractometer, density-meter, thermometer, volume-marks or balance"},
    {"unit", "UNIT", "of its scale: sg, plato, brix, c, l, cm, kg or g"},
    {"calibration", "TEMPERATURE", "it is right at: 20C"},
    {"repeatability", "FIGURE", "standard deviation of one reading: 0.0005, 0.2L, or 1% of what is read"},
    {"bias-sd", "FIGURE", "how far the instrument itself may be off, standard deviation"},
    {"correction", "FIGURE", "added to all it reads: --correction=-0.6 for marks that read 0.6 L high; 0 for none"},
    {"resolution", "FIGURE", "the step of its scale, where it is not in the repeatability"},
    {"wort-factor", "NUMBER", "of a refractometer: Brix over plato, your wort correction"},
}};

inline constexpr std::array<Option, 4> check_options{{
    {"known", "WHAT", "what the instrument was held against: water, 10% of sugar, ice, boil, 20kg of water"},
    {"read", "FIGURE", "what it showed: 1.001@20C, 0.4C, 20.3L@15C"},
    {"on", "DATE", "when that was; today unless given"},
    {"sure", "", "the figures are right, though far from what is stated"},
}};

// Lays over the brewhouse what the options say; says whether there was any.
bool lay_over(const Call& call, Brewhouse& brewhouse);

// The brewhouse with the vessel of --point added or changed.
[[nodiscard]] Brewhouse with_vessel(const Call& call, const Book& book, const Brewhouse& brewhouse);

// The instrument as it is to be, and what of it was taken as typical, in one sentence (may be empty).
struct StatedInstrument {
    Instrument instrument;
    std::string remark;
};
[[nodiscard]] StatedInstrument stated_instrument(const Call& call, const Book& book, const std::string& name);

// The instrument with one check more, of --known and --read, and what that says in one sentence.
struct CheckedInstrument {
    Instrument instrument;
    std::string said;
};
[[nodiscard]] CheckedInstrument checked_instrument(const Call& call, const Book& book, const std::string& name);

// All instruments, and a typical one for each kind that has none.
[[nodiscard]] std::vector<report::ShownInstrument> shown_instruments(const Book& book, Litres brewhouse_volume);

} // namespace lotwort::verbs
