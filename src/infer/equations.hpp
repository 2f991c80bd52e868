// The equations of one brew: every reading and every expectation, with its uncertainty.
#pragma once

#include <cstddef>
#include <lotwort/brew/balance.hpp>
#include <lotwort/brew/kit.hpp>
#include <lotwort/infer/reconcile.hpp>
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

// A part of an equation's error that other equations have too: a lot weighed into two mashes, a level of the house.
// It is inside the equation's own_sd, and ties it to others of the same source.
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
    double own_sd = 0.0;          // this reading's own error
    std::string instrument;       // shares a bias with the same name; empty: none
    double bias_sd = 0.0;
    double level_sd = 0.0; // of an expectation: the part of own_sd that all brews of the house share
    bool is_expectation = false;
    std::vector<SharedError> shared;
    [[nodiscard]] double sd() const;
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

// The brew asked about, and those run into the same fermenter, in the order of running in.
struct BrewModel {
    std::vector<ModelBrew> brews;
    std::size_t asked = 0;
    std::vector<BrewEquation> equations; // empty where the brew asked about has no malt
    std::vector<std::string> remarks;
    int readings = 0;
};

// All equations of the brew. Error(refused) where a reading cannot be used at all (an unknown instrument) or where
// more brews and mashes are tied together than most_unknowns has room for.
[[nodiscard]] BrewModel brew_model(const ReconcileInput& input);

// An equation for a reading that was not taken: what its instrument would show, with its uncertainty.
// Empty where that reading was taken already.
[[nodiscard]] std::vector<BrewEquation> possible_readings(const ReconcileInput& input, const BrewModel& model);

} // namespace lotwort::infer_detail
