// What a brewer at the kettle asks of the day's sheet: centimetres on the stick, the gravity to be read, and what to do
// where it is another.
#pragma once

#include <lotwort/brew/planned_brew.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// Of a volume that is expected, what the stick shows: by the vessel's dip table, of the volume as hot as it is read.
struct StickDepth {
    ReadingPoint point = ReadingPoint::kettle_full;
    Celsius at;
    Centimetres depth;
};

// A gravity read in the kettle, and what brings the recipe's gravity all the same: water, or a longer boil.
struct KettleMend {
    SpecificGravity read;
    double water_l = 0.0; // to add; below nothing: to boil off beyond the plan
    double minutes = 0.0; // longer; 0 where water is to be added
};

// A dry hop's day, so that it lies as long as its recipe says when the beer is packaged.
struct DryHopDay {
    std::string item;
    Date in;
    int days = 0;
};

// From the brew day to the packaging, where nobody says otherwise. Judgement.
inline constexpr int usual_days_to_packaging = 14;

struct SheetGuide {
    std::vector<StickDepth> depths; // of the vessels that have a dip table which reaches so far
    SpecificGravity kettle_gravity; // at kettle full, at 20 °C
    std::vector<KettleMend> mends;  // of gravities 0.004 and 0.002 below and above it, at the volume that is expected
    // The others, at 20 °C too. Last runnings are what the grain holds at the end of a batch sparge; none of others.
    std::optional<SpecificGravity> first_wort_gravity, last_runnings_gravity, cast_out_gravity;
    double first_wort_l = 0.0;
    std::vector<KettleMend> cast_out_mends; // of 0.002 below and above the cast-out's gravity, at its volume
    double fermenter_water_l = 0.0;         // to add there for each 0.001 above the gravity expected
    Celsius grain;                          // its temperature, as stated or as usual in that season
    std::optional<Celsius> strike;          // the liquor's, where the recipe states a rest
    Date packaged;                          // usual_days_to_packaging after the brew
    std::vector<DryHopDay> dry_hops;
};

// Liquor is dipped at the strike's temperature, the full kettle at 75 °C, cast-out at 95 °C, the fermenter at 20 °C.
// The boil-off is the forecast's own.
[[nodiscard]] SheetGuide sheet_guide(const PlannedBrew& planned, const Brewhouse& brewhouse,
                                     std::optional<Celsius> grain);

// What brings the plan's gravity at cast-out when the full kettle holds so much of this gravity, both at 20 °C. Mass
// balance: extract stays, water is added or boiled off at the forecast's rate. None for a plan without malt or boil.
[[nodiscard]] std::optional<KettleMend> kettle_mend(const PlannedBrew& planned, SpecificGravity read, Litres at_20);

// The litres are these at the vessel's marks; none outside its dip table.
[[nodiscard]] std::optional<Centimetres> depth_of(const Vessel& vessel, Litres volume);

} // namespace lotwort
