#include "ended.hpp"
#include "learn/attenuation.hpp"
#include "reconcile/final_beer.hpp"
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort::infer_detail {

namespace {

double sg_per_fraction(double fraction) {
    return wort::specific_gravity_of(Dual<1>::parameter(fraction, 0)).slope[0];
}

} // namespace

Read read_of(const ReconcileInput& in) {
    Read out;
    for (const auto& r : in.brew.readings) {
        if (r.set_aside) continue;
        if (r.point == ReadingPoint::fermenter)
            if (const auto plato = gravity_in_plato(in, r)) {
                const double fraction = plato->value / 100.0;
                const Estimate sg = filled_up(in, r,
                                              normal_estimate(wort::specific_gravity_of(fraction),
                                                              plato->sd / 100.0 * sg_per_fraction(fraction)));
                out.gravity_sg = sg.value;
                out.gravity_sd = sg.sd;
            }
        if (r.point == ReadingPoint::fermenter && r.volume) {
            const double at = r.volume_at ? r.volume_at->value() : 20.0, w = out.gravity_sg ? 0.11 : 0.0;
            out.volume_l =
                r.volume->value() * wort::sucrose_density_kg_m3(w, at) / wort::sucrose_density_kg_m3(w, 20.0) +
                liquor_after(in, r);
        }
    }
    return out;
}

std::optional<Estimate> final_of(const ReconcileInput& in, const Estimate& original_sg,
                                 std::vector<std::string>& remarks) {
    const FinalBeer beer = final_beer(in, original_sg);
    if (!beer.gravity) {
        if (beer.impossible) remarks.push_back("no alcohol is worked out: " + beer.impossible->why);
        return std::nullopt;
    }
    if (!beer.gravity->doubt.empty()) remarks.push_back(beer.gravity->doubt);
    return beer.gravity->sg;
}

double Fermented::attenuation(double final_plato) const {
    const double of_all = 1.0 - final_plato / original_plato;
    return late.is_any() ? wort::attenuation_of_wort(of_all, wort_plato, wort_kg, late) : of_all;
}

Fermented fermented_of(const Happened& h, double wort_plato) {
    const auto b = h.balanced();
    Fermented beer{wort_plato, 0.0, wort_plato, h.late};
    beer.wort_kg = b.fermenter_l * wort::sucrose_density_kg_m3(wort_plato / 100.0, 20.0) / 1000.0;
    if (h.late.is_any()) beer.original_plato = wort::original_in_all(wort_plato, beer.wort_kg, h.late);
    return beer;
}

double attenuation_variance(const Estimate& final_sg, double final_plato, const Fermented& beer) {
    const double sd = 100.0 * final_sg.sd / sg_per_fraction(final_plato / 100.0);
    const double moved = beer.attenuation(final_plato) - beer.attenuation(final_plato + 0.01);
    return sd * sd * moved * moved * 1e4;
}

} // namespace lotwort::infer_detail
