// A brew, or several in one fermenter, as equations: values alone.
#pragma once

#include <cstddef>
#include <lotwort/brew/balance.hpp>
#include <lotwort/brew/kit.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <string>
#include <vector>

namespace lotwort::infer_detail {

// What an equation speaks of.
enum class Quantity {
    strike_liquor,
    sparge_liquor,
    liquor_total,
    grist_extract,
    first_wort,
    last_runnings,
    kettle_full,
    cast_out,
    fermenter,
    conversion,
    lauter,
    retained,
    boil_off,
    kettle_loss,
    top_up,
    kettle_liquor,
    mash,
    washings,
};

enum class Scale { litres, kilograms, sg, plato, brix, sg_at_20, plato_at_20 };

// A part of an equation's error that other equations have too, beside its own: a lot weighed into two mashes, a level
// of the house. It ties the equation to others of the same source; an equation names a source once.
struct SharedError {
    std::string source;
    double sd = 0.0;
};

struct BrewEquation {
    std::string id;
    std::string point;
    std::string kind;
    std::string unit;
    Quantity quantity = Quantity::kettle_full;
    std::size_t brew = 0; // place in the model
    std::size_t mash = 0; // place in that brew
    Scale scale = Scale::litres;
    double at_c = 20.0;           // of a volume or a gravity
    double calibration_c = 20.0;  // of a hydrometer
    double brix_to_plato = 1.0;   // of a refractometer
    double expansion_per_c = 0.0; // of a vessel's walls
    double observed = 0.0;        // as read, with the instrument's correction
    double correction = 0.0;      // that was added to what was read
    double own_sd = 0.0;          // this equation's own error, which no other has
    std::string instrument;       // shares a bias with the same name; empty: none
    double bias_sd = 0.0;
    double level_sd = 0.0;       // of an expectation: the one of `shared` that all brews of the house share
    double liquor_to_come = 0.0; // share of the liquor added at its point that came after it was read
    bool is_expectation = false;
    std::vector<SharedError> shared;
    [[nodiscard]] double sd() const; // of all of it: own, bias and shared
};

// One brew of a model.
struct ModelBrew {
    std::string code;
    std::vector<MashFacts> mashes; // one, or several run off into one kettle
    std::vector<MashState<double>> mash_start;
    KettleFacts kettle;
    KettleState<double> kettle_start;
    double grist_kg = 0.0;
};

// What would be expected of a liquor if it had not been read: it takes the reading's place where that is left out.
struct StandIn {
    Quantity instead_of;
    BrewEquation expectation;
};

// A reading that no brew can have given, or that nobody can place: a depth beyond the dip table, a mark that no wort
// shows, an instrument that nobody knows. It takes no part.
struct ImpossibleReading {
    std::string id, point, kind, why;
};

// The brew asked about, and those run into the same fermenter, in the order of running in.
struct BrewModel {
    std::vector<ModelBrew> brews;
    std::size_t asked = 0;
    std::vector<BrewEquation> equations; // empty where the brew asked about has no malt
    std::vector<StandIn> stand_ins;
    std::vector<ImpossibleReading> impossible;
    std::vector<std::string> remarks;
    std::size_t assumed_figures = 0; // of the asked brew's brewhouse, where no brews have taught better
    int readings = 0;
};

} // namespace lotwort::infer_detail
