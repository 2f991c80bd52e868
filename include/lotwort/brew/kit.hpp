// A brewhouse with nothing missing: what the brewer stated, and typical values, wide, for the rest.
#pragma once

#include <array>
#include <lotwort/brew/brewhouse.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// Plain numbers in the units their names end in; each *_sd is one standard deviation for one brew.
struct Kit {
    double volume_l = 0.0;
    Sparge sparge = Sparge::batch;
    double wash_stages = 2.0; // n: first wort and the washes after it
    double mash_ratio_l_per_kg = 0.0;
    double mash_ratio_sd_l_per_kg = 0.0;
    double absorption_l_per_kg = 0.0;
    double absorption_sd_l_per_kg = 0.0;
    double hop_absorption_l_per_kg = 0.0;
    double tun_loss_l = 0.0;
    double boil_off_l_per_h = 0.0;
    double boil_off_sd_l_per_h = 0.0;
    double kettle_loss_l = 0.0;
    double kettle_loss_sd_l = 0.0;
    double conversion = 0.0; // fractions
    double conversion_sd = 0.0;
    double lauter_of_expected = 1.0;
    double lauter_sd = 0.0;
    // the part of each sd that all brews of the house share; half of the variance where nobody states it
    double absorption_level_sd_l_per_kg = 0.0;
    double boil_off_level_sd_l_per_h = 0.0;
    double kettle_loss_level_sd_l = 0.0;
    double conversion_level_sd = 0.0;
    double lauter_level_sd = 0.0;
    double boiling_c = 99.974;        // by the altitude; that of the sea where none is stated
    std::vector<std::string> assumed; // names of the fields that are typical, not stated
    // Where an efficiency is told: the covariance of the levels, which it ties together, in the order conversion,
    // lauter, boil-off, absorption, kettle loss and the units above; the level sds are the roots of its diagonal.
    using Levels = std::array<std::array<double, 5>, 5>;
    std::optional<Levels> level_covariance;
};

// An efficiency that the brewhouse states is taken as what many of its brews came to, of a wort of 12 °P in its
// volume. It is one observation of ln efficiency, with its sd (3 points unless stated), of all five levels at once.
// By least squares it moves each level that nobody stated, as far as that one is uncertain (told_efficiency.cpp,
// docs/methods/brewhouse.md). It makes none less sure. Conversion is 1 at most.
[[nodiscard]] Kit kit_of(const Brewhouse& brewhouse);

// The brewhouse without the efficiency it states: what is learned of it brew by brew has that once, from the kit.
[[nodiscard]] Brewhouse without_told_efficiency(Brewhouse brewhouse);

// How well what it states of its efficiency is known, in points.
[[nodiscard]] Percent told_efficiency_sd(const Brewhouse& brewhouse);

// What a brew of the kit's volume and 12 °P is expected to come to, a fraction of the grist's extract.
struct EfficiencyExpected {
    double kettle = 0.0;
    double fermenter = 0.0;
};
[[nodiscard]] EfficiencyExpected efficiency_expected(const Kit& kit);

// The instrument that took a reading: the one the reading names, else the vessel's, else the only one of the
// kind, else a typical one. Throws Error(refused) for a name nobody knows.
[[nodiscard]] Instrument instrument_for(const std::optional<std::string>& named, InstrumentKind kind,
                                        const Brewhouse& brewhouse, ReadingPoint point,
                                        const std::vector<Instrument>& instruments);

// A typical instrument of a kind (docs/methods/instruments.md), for a brewhouse of that volume.
[[nodiscard]] Instrument typical_instrument(InstrumentKind kind, Litres brewhouse_volume);

} // namespace lotwort
