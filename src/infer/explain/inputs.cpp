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
    in.meant = made(weights).meant;
    in.sugar_kg = made(weights).sugar_kg;
    in.sugar_water_kg = made(weights).sugar_water_kg;
    in.malt_factor = made(malt_lots).malt_factor;
    in.stand_in = made(stand_ins).stand_in;
    in.stand_in_factor = made(stand_ins).stand_in_factor;
    in.conversion = made(conversion).conversion;
    in.lauter = made(lautering).lauter;
    in.strike_l = made(volume).strike_l;
    in.sparge_l = made(volume).sparge_l;
    in.kettle_liquor_l = made(volume).kettle_liquor_l;
    in.boil_off_l = made(volume).boil_off_l;
    in.absorption_l_per_kg = made(losses).absorption_l_per_kg;
    in.kettle_loss_l = made(losses).kettle_loss_l;
    in.top_up_l = made(losses).top_up_l;
    in.attenuation = made(yeast).attenuation;
    in.rest = made(mash_rest).rest;
    in.late = made(late_sugar).late;
    return in;
}

} // namespace

Results forecast_of(const Inputs& in, const Constants& c) {
    const double mass_kg = in.meant.mass_kg + in.stand_in.mass_kg;
    const double moisture_kg = in.meant.moisture_kg + in.stand_in.moisture_kg;
    const BrewFacts facts{moisture_kg, mass_kg - moisture_kg, in.sugar_kg, in.sugar_water_kg, c.wash_stages};
    BrewState<double> s;
    s.strike_l = in.strike_l;
    s.sparge_l = in.sparge_l;
    s.extract_grist_kg = in.meant.certified_kg * in.malt_factor + in.stand_in.certified_kg * in.stand_in_factor;
    s.extract_mash_kg = in.conversion * s.extract_grist_kg;
    s.retained_l = in.absorption_l_per_kg * mass_kg + c.tun_loss_l;
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

std::array<std::vector<double>, outcomes> parts_of(const Inputs& planned, const Inputs& really, const Constants& c,
                                                   const std::vector<Cause>& asked) {
    std::vector<Results> worth(1U << asked.size());
    for (unsigned set = 0; set < worth.size(); ++set) {
        unsigned made = 0;
        for (std::size_t i = 0; i < asked.size(); ++i)
            if ((set >> i) & 1U) made |= 1U << asked[i];
        worth[set] = forecast_of(mixed(planned, really, made), c);
    }
    std::array<std::vector<double>, outcomes> parts;
    for (std::size_t o = 0; o < outcomes; ++o) {
        const auto of_asked =
            stats::shapley(static_cast<int>(asked.size()), [&](unsigned set) { return worth[set][o]; });
        parts[o].assign(causes, 0.0);
        for (std::size_t i = 0; i < asked.size(); ++i) parts[o][static_cast<std::size_t>(asked[i])] = of_asked[i];
    }
    return parts;
}

} // namespace lotwort::infer_detail
