// What one brew's balance says of the figures that are learned over many, and nothing that was put in.
//
// Reconciled without the expectations of conversion, lautering, boil-off, absorption and kettle loss, and with the
// grist's extract at the certificates' value (only the weighing errs): else each prior would be counted once a brew.
// What is left is information: rows R q = r + N(0, 1), fewer than five where the readings tell only combinations (mash
// end not seen: one row for conversion and lautering together).
//
// What an instrument errs by in every brew is a figure of its own in these rows, beside those of the house; only the
// part that is new each brew is an error here.
#pragma once

#include "checks.hpp"
#include <array>
#include <lotwort/brew/learned.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <string>
#include <vector>

namespace lotwort::infer_detail {

struct LotShare {
    std::string lot;
    double share = 0.0; // of the grist's laboratory extract; they sum to 1
};

// Of an instrument's stated bias (as a variance) what lasts over brews; the rest is drawn anew in each.
inline constexpr double lasting_share = 0.7;

// An instrument that the brew was read with. Its lasting error is counted in stated bias_sd.
struct BrewInstrument {
    std::string key;  // the same for the same instrument in another brew: a typical one belongs to its brewhouse
    std::string name; // as stated
    std::string unit;
    double bias_sd = 0.0; // at the brew's last reading, in the unit
    int readings = 0;
    std::optional<double> correction; // stated and in use; none where its bias goes with the value
    bool is_stated = false;
    std::vector<CheckedError> checks;
};

// The key of an instrument by its name.
[[nodiscard]] std::string instrument_key(const ReconcileInput& input, const std::string& name);

struct BrewEvidence {
    std::string brew;
    Date date;
    std::string brewhouse;
    std::vector<LotShare> shares;
    struct Row {
        std::array<double, house_figures> of{}; // in the order of HouseFigure
        std::vector<double> lasting;            // as `instruments`
        double value = 0.0;
    };
    std::vector<Row> rows;
    std::vector<BrewInstrument> instruments;
    std::array<double, house_figures> at{};             // the figures where the balance was made linear
    double lauter_expected = 0.0, transfer = 0.0;       // of this brew, there
    double fermenter_l = 0.0;                           // likewise
    double retested = 0.0; // ln of its certificates' extract as known now, over what was known on the day
    bool is_alone = false; // one mash, in a fermenter of its own
    std::optional<double> mash_c, mash_ph, mill_gap_mm; // where they were read
    std::string fault;                                  // why the brew teaches nothing; empty where it does
    bool can_be_mended = false;                         // the fault: of what was booked, and not that nothing has been
};

using HouseValues = std::array<double, house_figures>; // in the order and units of HouseFigure

// latest: certificates and retests as known on that day are what conversion is measured against, so that a lot has one
// reference over all its brews. near: the balance is made linear where
// the brew's figures are these; else where its own readings have them.
[[nodiscard]] BrewEvidence evidence_of(const ReconcileInput& input, Date latest, const HouseValues* near = nullptr);

} // namespace lotwort::infer_detail
