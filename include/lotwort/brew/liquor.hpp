// How much liquor a brew needs for a volume in the fermenter.
#pragma once

#include <lotwort/brew/balance.hpp>
#include <lotwort/brew/kit.hpp>
#include <lotwort/brew/mash_grist.hpp>

namespace lotwort {

// Litres of liquor (20 C, strike and sparge together) that bring target_l to the fermenter, lautering as expected.
// The water balance is solved for its one unknown (Newton, to 1e-9 L). Where it has no root above zero: the sum of
// the volumes.
[[nodiscard]] double liquor_for_volume(const Kit& kit, double target_l, const MashGrist& grist, const BrewFacts& facts,
                                       double boil_off_l, double kettle_loss_l, double retained_l);

// How a total of liquor is split by the brewhouse's habit: strike at the mash ratio, the rest to sparge; all
// of it in the mash where there is no sparge or too little to sparge with.
struct LiquorSplit {
    double strike_l = 0.0;
    double sparge_l = 0.0;
};
[[nodiscard]] LiquorSplit split_liquor(const Kit& kit, double grist_kg, double total_l);

// The state of a brew that runs as expected with this liquor: K solves K = lauter_ratio * expected(K) * D.
template <class Real>
BrewState<Real> expected_state(const Real& extract_grist_kg, const Real& conversion, const Real& lauter_ratio,
                               const Real& strike_l, const Real& sparge_l, const Real& retained_l,
                               const Real& boil_off_l, const Real& kettle_loss_l, const BrewFacts& facts) {
    BrewState<Real> s;
    s.strike_l = strike_l;
    s.sparge_l = sparge_l;
    s.extract_grist_kg = extract_grist_kg;
    s.extract_mash_kg = conversion * extract_grist_kg;
    s.retained_l = retained_l;
    s.boil_off_l = boil_off_l;
    s.kettle_loss_l = kettle_loss_l;
    s.extract_kettle_kg = s.extract_mash_kg * 0.85;
    // K moves the run-off's volume by little, so the iteration contracts about a hundredfold a step,
    // slopes included
    for (int i = 0; i < 14; ++i)
        s.extract_kettle_kg = s.extract_mash_kg * lauter_ratio * balance(s, facts).lauter_expected;
    return s;
}

} // namespace lotwort
