#include "inputs.hpp"
#include <lotwort/stats/shapley.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort::infer_detail {

namespace {

// The inputs with the causes of the set taken from `really`, the others from `planned`.
Inputs mixed(const Inputs& planned, const Inputs& really, unsigned set) {
    const auto made = [&](Cause c) -> const Inputs& { return ((set >> c) & 1U) ? really : planned; };
    Inputs in;
    in.mass_kg = made(weights).mass_kg;
    in.moisture_kg = made(weights).moisture_kg;
    in.certified_kg = made(weights).certified_kg;
    in.sugar_kg = made(weights).sugar_kg;
    in.sugar_water_kg = made(weights).sugar_water_kg;
    in.malt_factor = made(malt_lots).malt_factor;
    in.conversion = made(conversion).conversion;
    in.lauter = made(lautering).lauter;
    in.strike_l = made(volume).strike_l;
    in.sparge_l = made(volume).sparge_l;
    in.kettle_liquor_l = made(volume).kettle_liquor_l;
    in.boil_off_l = made(volume).boil_off_l;
    in.absorption_l_per_kg = made(losses).absorption_l_per_kg;
    in.kettle_loss_l = made(losses).kettle_loss_l;
    in.top_up_l = made(losses).top_up_l;
    in.attenuation = made(attenuation).attenuation;
    in.rest = made(mash_rest).rest;
    in.late = made(late_sugar).late;
    return in;
}

} // namespace

Results forecast_of(const Inputs& in, const Constants& c) {
    const BrewFacts facts{in.moisture_kg, in.mass_kg - in.moisture_kg, in.sugar_kg, in.sugar_water_kg, c.wash_stages};
    BrewState<double> s;
    s.strike_l = in.strike_l;
    s.sparge_l = in.sparge_l;
    s.extract_grist_kg = in.certified_kg * in.malt_factor;
    s.extract_mash_kg = in.conversion * s.extract_grist_kg;
    s.retained_l = in.absorption_l_per_kg * in.mass_kg + c.tun_loss_l;
    s.boil_off_l = in.boil_off_l;
    s.kettle_loss_l = in.kettle_loss_l;
    s.top_up_l = in.top_up_l;
    s.kettle_liquor_l = in.kettle_liquor_l;
    s.extract_kettle_kg = 0.85 * s.extract_mash_kg;
    for (int i = 0; i < 20; ++i)
        s.extract_kettle_kg = s.extract_mash_kg * in.lauter * balance(s, facts).lauter_expected;
    const auto b = balance(s, facts);
    const double of_wort = 100.0 * b.fermenter_fraction;
    const double wort_kg = b.fermenter_l * wort::sucrose_density_kg_m3(b.fermenter_fraction, 20.0) / 1000.0;
    const bool is_any = in.late.is_any();
    const double plato = is_any ? wort::original_in_all(of_wort, wort_kg, in.late) : of_wort;
    const double attenuated = in.attenuation + in.rest;
    const double apparent = wort::apparent_extract_after(
        plato, is_any ? wort::attenuation_in_all(attenuated, of_wort, wort_kg, in.late) : attenuated);
    return {wort::specific_gravity_of(b.fermenter_fraction), b.fermenter_l, wort::specific_gravity_of(apparent / 100.0),
            wort::alcohol_by_volume_pct(plato, apparent)};
}

std::array<std::vector<double>, outcomes> parts_of(const Inputs& planned, const Inputs& really, const Constants& c) {
    std::vector<Results> worth(1U << causes);
    for (unsigned set = 0; set < worth.size(); ++set) worth[set] = forecast_of(mixed(planned, really, set), c);
    std::array<std::vector<double>, outcomes> parts;
    for (std::size_t o = 0; o < outcomes; ++o)
        parts[o] = stats::shapley(causes, [&](unsigned set) { return worth[set][o]; });
    return parts;
}

} // namespace lotwort::infer_detail
