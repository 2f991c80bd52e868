#include "joint_balance.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/hydrometer.hpp>

namespace lotwort::infer_detail {

using Eigen::Index;

namespace {

using MashDual = JointBalance::MashDual;
using KettleDual = JointBalance::KettleDual;

constexpr double thickest = 0.6, thinnest = -0.1; // extract fractions that the balances are worked out for

// What is left of an extract and a mass, plain doubles, near enough to judge by.
bool is_a_mash(const MashState<double>& s, const MashFacts& facts) {
    const double water = balance_detail::water_20_kg_per_l();
    if (!(s.strike_l > 0.0) || !(s.retained_l > 0.0) || !(s.extract_grist_kg > 0.0) || !(s.extract_mash_kg > 0.0) ||
        !(s.extract_kettle_kg > 0.0))
        return false;
    const double mash_kg = s.strike_l * water + facts.grist_moisture_kg + s.extract_mash_kg;
    if (s.extract_mash_kg > thickest * mash_kg) return false;
    const double held_share = (s.extract_mash_kg - s.extract_kettle_kg) / s.retained_l; // kg/L, near the fraction
    if (!(held_share < thickest) || !(held_share > thinnest)) return false;
    const double run_off_kg = mash_kg + s.sparge_l * water - s.retained_l * (water + 0.4 * held_share);
    return s.extract_kettle_kg < thickest * run_off_kg;
}

bool is_a_kettle(double run_off_kg, double extract_kg, const KettleState<double>& s, const KettleFacts& facts) {
    const double water = balance_detail::water_20_kg_per_l();
    const double full_kg = run_off_kg + s.kettle_liquor_l * water;
    if (!(full_kg > 0.0) || !(extract_kg < thickest * full_kg)) return false;
    const double cast_out_kg = full_kg + facts.sugar_kg + facts.sugar_water_kg - s.boil_off_l * water;
    const double extract = extract_kg + facts.sugar_kg;
    if (!(extract < thickest * cast_out_kg)) return false;
    const double kept = 1.0 - s.kettle_loss_l / cast_out_kg;
    const double fermenter_kg = cast_out_kg * kept + s.top_up_l * water;
    return kept > 0.0 && fermenter_kg > 0.0 && extract * kept < thickest * fermenter_kg;
}

MashState<double> mash_at(const double* x) {
    return {x[0], x[1], x[2], x[3], x[4], x[5]};
}

MashState<MashDual> with_slopes(const MashState<double>& s) {
    return {MashDual::parameter(s.strike_l, 0),         MashDual::parameter(s.sparge_l, 1),
            MashDual::parameter(s.extract_grist_kg, 2), MashDual::parameter(s.extract_mash_kg, 3),
            MashDual::parameter(s.retained_l, 4),       MashDual::parameter(s.extract_kettle_kg, 5)};
}

// What a stem in degrees Plato shows, carried on in a straight line beyond the worts there are. A search for the brew
// passes through what no brew is, and thin wort near the boil floats a stem below its scale.
template <class Real>
Real plato_mark(const Real& fraction, double at_c, double calibration_c) {
    const Real density = wort::hydrometer_mark_density(fraction, at_c, calibration_c);
    for (const double end : {thinnest, thickest}) {
        const auto edge = wort::sucrose_density_kg_m3(Dual<1>::parameter(end, 0), calibration_c);
        const bool beyond = end < 0.0 ? value_of(density) < edge.value : value_of(density) > edge.value;
        if (beyond) return (density - edge.value) * (100.0 / edge.slope[0]) + 100.0 * end;
    }
    return 100.0 * wort::mass_fraction_of_density(density, calibration_c);
}

// Litres at 20 C and a strength, as the equation's instrument shows them.
template <class Real>
Real read_as(const BrewEquation& e, const Real& litres, const Real& fraction) {
    const double at = e.at_c;
    switch (e.scale) {
    case Scale::litres:
        return litres * wort::sucrose_density_kg_m3(fraction, 20.0) / wort::sucrose_density_kg_m3(fraction, at) /
               (1.0 + e.expansion_per_c * (at - 20.0));
    case Scale::kilograms:
        return litres * wort::sucrose_density_kg_m3(fraction, 20.0) / 1000.0;
    case Scale::sg:
        return wort::hydrometer_mark_of(fraction, at, e.calibration_c);
    case Scale::plato:
        return plato_mark(fraction, at, e.calibration_c);
    case Scale::brix:
        return fraction * (100.0 / e.brix_to_plato);
    case Scale::sg_at_20:
        return wort::specific_gravity_of(fraction);
    case Scale::plato_at_20:
        return fraction * 100.0;
    }
    report_bug("an equation has a scale", std::source_location::current());
}

// kg of liquor that came after the reading, of all that was added there.
template <class Real>
Real liquor_to_come(const BrewEquation& e, const Real& litres) {
    return litres * (e.liquor_to_come * balance_detail::water_20_kg_per_l());
}

template <class Real>
Real liquor_as(const BrewEquation& e, const Real& litres) {
    return read_as(e, litres, Real(0.0));
}

} // namespace

UnknownsOf::UnknownsOf(const BrewModel& model) {
    for (const auto& brew : model.brews) {
        first_.push_back(count_);
        count_ += static_cast<Index>(mash_unknowns * brew.mashes.size() + kettle_unknowns);
    }
    first_.push_back(count_);
}

Traced operator+(Traced a, const Traced& b) {
    a.value += b.value;
    a.slope += b.slope;
    return a;
}

Traced operator/(const Traced& a, const Traced& b) {
    const double ratio = a.value / b.value;
    return {ratio, (a.slope - ratio * b.slope) / b.value};
}

JointBalance::JointBalance(const BrewModel& model, const UnknownsOf& unknowns, const Eigen::VectorXd& theta)
    : unknowns_(unknowns) {
    for (std::size_t k = 0; k < model.brews.size(); ++k) {
        const auto& brew = model.brews[k];
        auto& mashes = mashes_.emplace_back();
        double run_off_kg = 0.0, extract_kg = 0.0;
        for (std::size_t m = 0; m < brew.mashes.size(); ++m) {
            const auto at = mash_at(theta.data() + unknowns.mash(k, m));
            is_a_brew_ = is_a_brew_ && is_a_mash(at, brew.mashes[m]);
            if (!is_a_brew_) return;
            const auto state = with_slopes(at);
            mashes.push_back({state, mash_balance(state, brew.mashes[m])});
            is_a_brew_ = mashes.back().balance.lauter_expected.value > 0.0; // else more is held back than there is
            if (!is_a_brew_) return;
            run_off_kg += mashes.back().balance.run_off_kg.value;
            extract_kg += at.extract_kettle_kg;
        }
        const double* x = theta.data() + unknowns.kettle(k);
        is_a_brew_ = is_a_kettle(run_off_kg, extract_kg, {x[0], x[1], x[2], x[3]}, brew.kettle);
        if (!is_a_brew_) return;
        const KettleState<KettleDual> state{KettleDual::parameter(x[0], 2), KettleDual::parameter(x[1], 3),
                                            KettleDual::parameter(x[2], 4), KettleDual::parameter(x[3], 5)};
        kettles_.push_back({state, kettle_balance(KettleDual::parameter(run_off_kg, 0),
                                                  KettleDual::parameter(extract_kg, 1), state, brew.kettle)});
    }
}

Traced JointBalance::of_mash(std::size_t brew, std::size_t mash, const MashDual& x) const {
    Traced out{x.value, Gradient::Zero(unknowns_.count())};
    for (std::size_t i = 0; i < mash_unknowns; ++i)
        out.slope[unknowns_.mash(brew, mash) + static_cast<Index>(i)] = x.slope[i];
    return out;
}

Traced JointBalance::of_kettle(std::size_t brew, const KettleDual& x) const {
    Traced out{x.value, Gradient::Zero(unknowns_.count())};
    for (std::size_t m = 0; m < mashes_[brew].size(); ++m) {
        const auto& mash = mashes_[brew][m];
        for (std::size_t i = 0; i < mash_unknowns; ++i)
            out.slope[unknowns_.mash(brew, m) + static_cast<Index>(i)] =
                x.slope[0] * mash.balance.run_off_kg.slope[i] + x.slope[1] * mash.state.extract_kettle_kg.slope[i];
    }
    for (std::size_t i = 0; i < kettle_unknowns; ++i)
        out.slope[unknowns_.kettle(brew) + static_cast<Index>(i)] = x.slope[2 + i];
    return out;
}

Dual<2> JointBalance::fermenter_mass(std::size_t last) const {
    double sum = 0.0;
    for (std::size_t k = 0; k <= last; ++k) sum += kettles_[k].balance.fermenter_kg.value;
    return Dual<2>::parameter(sum, 0);
}

Dual<2> JointBalance::fermenter_extract(std::size_t last) const {
    double sum = 0.0;
    for (std::size_t k = 0; k <= last; ++k) sum += kettles_[k].balance.extract_collected_kg.value;
    return Dual<2>::parameter(sum, 1);
}

Traced JointBalance::of_fermenter(std::size_t last, const Dual<2>& x) const {
    Traced out{x.value, Gradient::Zero(unknowns_.count())};
    for (std::size_t k = 0; k <= last; ++k) {
        const auto& b = kettles_[k].balance;
        out.slope += of_kettle(k, b.fermenter_kg * x.slope[0] + b.extract_collected_kg * x.slope[1]).slope;
    }
    return out;
}

JointBalance::Fermenter JointBalance::fermenter(std::size_t last) const {
    const Dual<2> mass = fermenter_mass(last), fraction = fermenter_extract(last) / mass;
    return {of_fermenter(last, balance_detail::litres_20(mass, fraction)), of_fermenter(last, fraction),
            of_fermenter(last, wort::specific_gravity_of(fraction))};
}

Traced JointBalance::predicted(const BrewEquation& e) const {
    const auto& mash = mashes_[e.brew][e.mash];
    const auto& kettle = kettles_[e.brew];
    const auto mash_read = [&](const MashDual& litres, const MashDual& fraction) {
        return of_mash(e.brew, e.mash, read_as(e, litres, fraction));
    };
    const auto kettle_read = [&](const KettleDual& litres, const KettleDual& fraction) {
        return of_kettle(e.brew, read_as(e, litres, fraction));
    };
    switch (e.quantity) {
    case Quantity::strike_liquor:
        return of_mash(e.brew, e.mash, liquor_as(e, mash.state.strike_l));
    case Quantity::sparge_liquor:
        return of_mash(e.brew, e.mash, liquor_as(e, mash.state.sparge_l));
    case Quantity::liquor_total:
        return sum_of_mashes(e.brew, [](const Mash& m) { return m.state.strike_l + m.state.sparge_l; });
    case Quantity::grist_extract:
        return of_mash(e.brew, e.mash, mash.state.extract_grist_kg);
    case Quantity::first_wort:
        return mash_read(mash.balance.first_wort_l, mash.balance.first_wort_fraction);
    case Quantity::mash:
        return mash_read(mash.balance.mash_l, mash.balance.first_wort_fraction);
    case Quantity::washings:
        return mash_read(mash.balance.washings_l, mash.balance.retained_fraction);
    case Quantity::last_runnings:
        return mash_read(mash.state.retained_l, mash.balance.retained_fraction);
    case Quantity::conversion:
        return of_mash(e.brew, e.mash, mash.state.extract_mash_kg / mash.state.extract_grist_kg);
    case Quantity::lauter:
        return of_mash(e.brew, e.mash,
                       mash.state.extract_kettle_kg / (mash.state.extract_mash_kg * mash.balance.lauter_expected));
    case Quantity::retained:
        return of_mash(e.brew, e.mash, mash.state.retained_l);
    case Quantity::kettle_liquor:
        return of_kettle(e.brew, liquor_as(e, kettle.state.kettle_liquor_l));
    case Quantity::kettle_full: {
        const auto& full = kettle.balance;
        if (e.liquor_to_come == 0.0) return kettle_read(full.kettle_full_l, full.kettle_full_fraction);
        const auto mass = full.kettle_full_kg - liquor_to_come(e, kettle.state.kettle_liquor_l);
        const auto fraction = full.kettle_full_fraction * full.kettle_full_kg / mass;
        return kettle_read(balance_detail::litres_20(mass, fraction), fraction);
    }
    case Quantity::cast_out:
        return kettle_read(kettle.balance.cast_out_l, kettle.balance.cast_out_fraction);
    case Quantity::boil_off:
        return of_kettle(e.brew, kettle.state.boil_off_l);
    case Quantity::kettle_loss:
        return of_kettle(e.brew, kettle.state.kettle_loss_l);
    case Quantity::top_up:
        return of_kettle(e.brew, liquor_as(e, kettle.state.top_up_l));
    case Quantity::fermenter: {
        const KettleDual to_come = liquor_to_come(e, kettle.state.top_up_l);
        const Dual<2> mass = fermenter_mass(e.brew) - to_come.value, fraction = fermenter_extract(e.brew) / mass;
        const Dual<2> read = read_as(e, balance_detail::litres_20(mass, fraction), fraction);
        Traced out = of_fermenter(e.brew, read);
        if (e.liquor_to_come > 0.0) out.slope += of_kettle(e.brew, to_come * -read.slope[0]).slope;
        return out;
    }
    }
    report_bug("an equation has a quantity", std::source_location::current());
}

} // namespace lotwort::infer_detail
