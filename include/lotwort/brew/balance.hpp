// The balance of one brew: extract and water followed from the mash tun to the fermenter.
//
// The same balance is read forwards by the forecast (what should come out) and backwards by the
// reconciliation (what must have happened). It is written once, over a scalar that may be a plain double or
// a Dual, which brings its derivatives along.
//
//     grist extract X --conversion--> D in the mash --lautering--> K in the kettle --boil--> cast-out --> fermenter
//
// Masses in kg, volumes in litres at 20 C, extract fractions as mass of extract per mass of wort. Wort is a
// sucrose solution of its extract (ICUMSA). Extract is conserved from the full kettle to cast-out; only water
// boils off; what is left in the grain and in the kettle is wort. Two mashes may run into one kettle, and several
// brews into one fermenter: masses and extract add up, volumes do not quite.
#pragma once

#include <algorithm>
#include <lotwort/core/dual.hpp>
#include <lotwort/wort/density.hpp>

namespace lotwort {

// What is unknown of one mash.
template <class Real>
struct MashState {
    Real strike_l{};          // liquor, litres at 20 C
    Real sparge_l{};          //
    Real extract_grist_kg{};  // X, laboratory extract of the grist
    Real extract_mash_kg{};   // D, dissolved at the end of the mash
    Real retained_l{};        // R, wort held by the grain and the tun
    Real extract_kettle_kg{}; // K, run off into the kettle
};

// What is known of it.
struct MashFacts {
    double grist_moisture_kg = 0.0; // water that the grain brings
    double grist_dry_kg = 0.0;      // the grain without it
    double wash_stages = 2.0;       // n, the first wort included
};

template <class Real>
struct MashBalance {
    Real first_wort_fraction{};
    Real mash_wort_l{};  // all wort in the mash before run-off
    Real first_wort_l{}; // V_1 = mash wort less R
    Real mash_l{};       // the whole mash, grain included
    Real retained_fraction{};
    Real run_off_kg{};      // all wort that runs off, extract and water
    Real washings_l{};      // what runs off after the first wort
    Real lauter_expected{}; // K/D that washing with equal stages would give
};

// What is unknown of a kettle, from the run-off on.
template <class Real>
struct KettleState {
    Real boil_off_l{};      // water
    Real kettle_loss_l{};   // wort left behind at cast-out
    Real top_up_l{};        // liquor added in the fermenter
    Real kettle_liquor_l{}; // liquor run straight into the kettle before it was full
};

struct KettleFacts {
    double sugar_kg = 0.0; // extract added after the kettle was full
    double sugar_water_kg = 0.0;
};

template <class Real>
struct KettleBalance {
    Real kettle_full_kg{};
    Real kettle_full_fraction{};
    Real kettle_full_l{};
    Real extract_cast_out_kg{};
    Real cast_out_kg{};
    Real cast_out_fraction{};
    Real cast_out_l{};
    Real extract_collected_kg{}; // in the fermenter, sugars included
    Real extract_fermenter_kg{}; // F: less the sugars' share, F = collected * (1 - S/C)
    Real fermenter_kg{};
    Real fermenter_fraction{};
    Real fermenter_l{};
};

// A brew of one mash: both in one.
template <class Real>
struct BrewState {
    Real strike_l{};
    Real sparge_l{};
    Real extract_grist_kg{};
    Real extract_mash_kg{};
    Real retained_l{};
    Real extract_kettle_kg{}; // in the full kettle, before kettle sugars
    Real boil_off_l{};
    Real kettle_loss_l{};
    Real top_up_l{};
    Real kettle_liquor_l{};
};

struct BrewFacts {
    double grist_moisture_kg = 0.0;
    double grist_dry_kg = 0.0;
    double kettle_sugar_kg = 0.0;
    double kettle_sugar_water_kg = 0.0;
    double wash_stages = 2.0;
};

template <class Real>
struct BrewBalance : MashBalance<Real>, KettleBalance<Real> {};

// Density of what does not dissolve (husk, protein, starch left): common practice, some 0.65 L of displacement per kg
// of malt comes out of it.
inline constexpr double husk_kg_per_l = 1.5;

namespace balance_detail {

inline double water_20_kg_per_l() {
    return wort::sucrose_density_kg_m3(0.0, 20.0) / 1000.0;
}

template <class Real>
Real litres_20(const Real& mass_kg, const Real& fraction) {
    return mass_kg * 1000.0 / wort::sucrose_density_kg_m3(fraction, 20.0);
}

// Extract fraction of wort that holds extract_kg in volume_l: w rho(w) V = E. Newton in doubles to the root,
// then one step in Real, which carries the exact first derivatives (implicit function theorem).
template <class Real>
Real fraction_of_volume(const Real& extract_kg, const Real& volume_l) {
    const double e = value_of(extract_kg), v = value_of(volume_l);
    double w = e / v;
    double slope = 1.0;
    for (int i = 0; i < 30; ++i) {
        const auto wd = Dual<1>::parameter(w, 0);
        const auto f = wd * wort::sucrose_density_kg_m3(wd, 20.0) / 1000.0;
        slope = f.slope[0];
        const double step = (f.value - e / v) / slope;
        w -= step;
        if (std::abs(step) < 1e-15) break;
    }
    const double density = wort::sucrose_density_kg_m3(w, 20.0) / 1000.0;
    return Real(w) - (Real(w * density) - extract_kg / volume_l) / slope;
}

} // namespace balance_detail

// Extract left behind after washing with equal stages (design of the lautering expectation):
// 1 - R/V_mash * (R/(R + V_rest/(n-1)))^(n-1), V_rest = run-off after the first wort, R the wort held back.
// No sparge is n = 1, one batch sparge n = 2; a continuous sparge has a non-integer n of its own.
template <class Real>
Real washing_efficiency(const Real& retained_l, const Real& mash_wort_l, const Real& rest_l, double wash_stages) {
    const Real drained = retained_l / mash_wort_l;
    if (wash_stages <= 1.0 || value_of(rest_l) <= 0.0) return Real(1.0) - drained;
    using std::pow;
    const double washes = wash_stages - 1.0;
    return Real(1.0) - drained * pow(retained_l / (retained_l + rest_l / washes), washes);
}

template <class Real>
MashBalance<Real> mash_balance(const MashState<Real>& s, const MashFacts& facts) {
    using namespace balance_detail;
    const double water = water_20_kg_per_l();
    MashBalance<Real> b;
    const Real mash_kg = s.strike_l * water + facts.grist_moisture_kg + s.extract_mash_kg;
    b.first_wort_fraction = s.extract_mash_kg / mash_kg;
    b.mash_wort_l = litres_20(mash_kg, b.first_wort_fraction);
    b.first_wort_l = b.mash_wort_l - s.retained_l;
    b.mash_l = b.mash_wort_l + (facts.grist_dry_kg - s.extract_mash_kg) / husk_kg_per_l;

    b.retained_fraction = fraction_of_volume(s.extract_mash_kg - s.extract_kettle_kg, s.retained_l);
    const Real retained_kg = s.retained_l * wort::sucrose_density_kg_m3(b.retained_fraction, 20.0) / 1000.0;
    b.run_off_kg = mash_kg + s.sparge_l * water - retained_kg;
    b.washings_l = litres_20(b.run_off_kg, s.extract_kettle_kg / b.run_off_kg) - b.first_wort_l;
    b.lauter_expected = washing_efficiency(s.retained_l, b.mash_wort_l, b.washings_l, facts.wash_stages);
    return b;
}

// run_off_kg and extract_kg: what ran off from the mash, or from all mashes of the brew.
template <class Real>
KettleBalance<Real> kettle_balance(const Real& run_off_kg, const Real& extract_kg, const KettleState<Real>& s,
                                   const KettleFacts& facts) {
    using namespace balance_detail;
    const double water = water_20_kg_per_l();
    KettleBalance<Real> b;
    b.kettle_full_kg = run_off_kg + s.kettle_liquor_l * water;
    b.kettle_full_fraction = extract_kg / b.kettle_full_kg;
    b.kettle_full_l = litres_20(b.kettle_full_kg, b.kettle_full_fraction);

    b.extract_cast_out_kg = extract_kg + facts.sugar_kg;
    b.cast_out_kg = b.kettle_full_kg + facts.sugar_kg + facts.sugar_water_kg - s.boil_off_l * water;
    b.cast_out_fraction = b.extract_cast_out_kg / b.cast_out_kg;
    b.cast_out_l = litres_20(b.cast_out_kg, b.cast_out_fraction);

    const Real kept = Real(1.0) - s.kettle_loss_l / b.cast_out_l;
    b.extract_collected_kg = b.extract_cast_out_kg * kept;
    b.extract_fermenter_kg = extract_kg * kept;
    b.fermenter_kg = b.cast_out_kg * kept + s.top_up_l * water;
    b.fermenter_fraction = b.extract_collected_kg / b.fermenter_kg;
    b.fermenter_l = litres_20(b.fermenter_kg, b.fermenter_fraction);
    return b;
}

template <class Real>
BrewBalance<Real> balance(const BrewState<Real>& s, const BrewFacts& facts) {
    const MashState<Real> mash{s.strike_l,        s.sparge_l,   s.extract_grist_kg,
                               s.extract_mash_kg, s.retained_l, s.extract_kettle_kg};
    const auto tun = mash_balance(mash, MashFacts{facts.grist_moisture_kg, facts.grist_dry_kg, facts.wash_stages});
    const KettleState<Real> kettle{s.boil_off_l, s.kettle_loss_l, s.top_up_l, s.kettle_liquor_l};
    return {tun, kettle_balance(tun.run_off_kg, s.extract_kettle_kg, kettle,
                                KettleFacts{facts.kettle_sugar_kg, facts.kettle_sugar_water_kg})};
}

} // namespace lotwort
