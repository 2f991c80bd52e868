// The equations of one brew: every reading and every expectation, with its uncertainty.
#pragma once

#include <lotwort/brew/balance.hpp>
#include <lotwort/brew/kit.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/wort/hydrometer.hpp>
#include <string>
#include <vector>

namespace lotwort::infer_detail {

// The unknowns, in the order of BrewState; all of them positive but the top-up, which may be found negative
// (a loss nobody wrote down).
inline constexpr std::size_t unknowns = 10;
using Slopes = Dual<unknowns>;

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

struct BrewEquation {
    std::string id;
    std::string point;
    std::string kind;
    std::string unit;
    Quantity quantity = Quantity::kettle_full;
    Scale scale = Scale::litres;
    double at_c = 20.0;           // of a volume or a gravity
    double calibration_c = 20.0;  // of a hydrometer
    double brix_to_plato = 1.0;   // of a refractometer
    double expansion_per_c = 0.0; // of a vessel's walls
    double observed = 0.0;
    double own_sd = 0.0;    // this reading's own error
    std::string instrument; // shares a bias with the same name; empty: none
    double bias_sd = 0.0;
    double level_sd = 0.0; // of an expectation: the part of own_sd that all brews of the house share
    bool is_expectation = false;
    [[nodiscard]] double sd() const;
};

struct BrewModel {
    BrewFacts facts;
    double grist_kg = 0.0;
    std::vector<BrewEquation> equations;
    std::vector<std::string> remarks;
    BrewState<double> start;
    int readings = 0;
};

// All equations of the brew. Error(refused) where a reading cannot be used at all (an unknown instrument).
[[nodiscard]] BrewModel brew_model(const ReconcileInput& input);

// An equation for a reading that was not taken: what its instrument would show, with its uncertainty.
// Empty where that reading was taken already.
[[nodiscard]] std::vector<BrewEquation> possible_readings(const ReconcileInput& input, const BrewModel& model);

// What the equation's left side would read, in its own scale, for a state of the brew.
template <class Real>
Real predicted(const BrewEquation& e, const BrewState<Real>& s, const BrewBalance<Real>& b) {
    struct Wort {
        Real litres, fraction;
    };
    const auto read = [&](const Wort& wort) -> Real {
        const double at = e.at_c;
        switch (e.scale) {
        case Scale::litres:
            return wort.litres * wort::sucrose_density_kg_m3(wort.fraction, 20.0) /
                   wort::sucrose_density_kg_m3(wort.fraction, at) / (1.0 + e.expansion_per_c * (at - 20.0));
        case Scale::kilograms:
            return wort.litres * wort::sucrose_density_kg_m3(wort.fraction, 20.0) / 1000.0;
        case Scale::sg:
            return wort::hydrometer_mark_of(wort.fraction, at, e.calibration_c);
        case Scale::plato:
            return wort::hydrometer_plato_mark_of(wort.fraction, at, e.calibration_c);
        case Scale::brix:
            return wort.fraction * (100.0 / e.brix_to_plato);
        case Scale::sg_at_20:
            return wort::specific_gravity_of(wort.fraction);
        case Scale::plato_at_20:
            return wort.fraction * 100.0;
        }
        return Real(0.0);
    };
    switch (e.quantity) {
    case Quantity::strike_liquor:
        return read({s.strike_l, Real(0.0)});
    case Quantity::sparge_liquor:
        return read({s.sparge_l, Real(0.0)});
    case Quantity::liquor_total:
        return s.strike_l + s.sparge_l;
    case Quantity::grist_extract:
        return s.extract_grist_kg;
    case Quantity::first_wort:
        return read({b.first_wort_l, b.first_wort_fraction});
    case Quantity::mash:
        return read({b.mash_l, b.first_wort_fraction});
    case Quantity::washings:
        return read({b.washings_l, b.retained_fraction});
    case Quantity::kettle_liquor:
        return read({s.kettle_liquor_l, Real(0.0)});
    case Quantity::last_runnings:
        return read({s.retained_l, b.retained_fraction});
    case Quantity::kettle_full:
        return read({b.kettle_full_l, b.kettle_full_fraction});
    case Quantity::cast_out:
        return read({b.cast_out_l, b.cast_out_fraction});
    case Quantity::fermenter:
        return read({b.fermenter_l, b.fermenter_fraction});
    case Quantity::conversion:
        return s.extract_mash_kg / s.extract_grist_kg;
    case Quantity::lauter:
        return s.extract_kettle_kg / (s.extract_mash_kg * b.lauter_expected);
    case Quantity::retained:
        return s.retained_l;
    case Quantity::boil_off:
        return s.boil_off_l;
    case Quantity::kettle_loss:
        return s.kettle_loss_l;
    case Quantity::top_up:
        return read({s.top_up_l, Real(0.0)});
    }
    return Real(0.0);
}

} // namespace lotwort::infer_detail
