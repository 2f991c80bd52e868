#include "final_beer.hpp"
#include "reading_equation.hpp"
#include "reading_figure.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort::infer_detail {

namespace {

// A figure that cannot be below nothing.
Estimate at_least_nothing(double value, double sd) {
    Estimate e = normal_estimate(value, sd);
    e.low = std::max(e.low, 0.0);
    return e;
}

// The last one that was read, of this brew or of one in its fermenter.
const Reading* final_reading(const ReconcileInput& input) {
    const Reading* found = nullptr;
    const auto look = [&](const ReconcileInput& in) {
        for (const Reading& r : in.brew.readings)
            if (r.point == ReadingPoint::final_beer && !r.set_aside && (r.gravity_sg || r.gravity_plato)) found = &r;
    };
    for (const auto& tied : input.earlier_in_fermenter) look(tied);
    for (const auto& tied : input.later_in_fermenter) look(tied);
    const Reading* of_others = found;
    found = nullptr;
    look(input);
    return found != nullptr ? found : of_others;
}
const Reading* final_reading(const ReconcileInput&&) = delete;

void add_beer(const Reading& reading, const Estimate& plato, const Estimated& original, Reconciliation& out) {
    const auto gravity = wort::specific_gravity_of(Dual<1>::parameter(plato.value / 100.0, 0));
    const Estimate final_sg = normal_estimate(gravity.value, gravity.slope[0] * plato.sd / 100.0);
    out.quantities.emplace_back("final_gravity_sg", Estimated{final_sg, {}});
    Estimated attenuation{std::nullopt, original.reason}, alcohol = attenuation;
    if (original.estimate && final_sg.value >= original.estimate->value) {
        attenuation.reason = alcohol.reason = "the final gravity is not below the original";
        out.beyond_original = fmt::format("The final gravity ({}, {}) is not below the original ({}): one of the two "
                                          "is misread, or stands at the wrong point.",
                                          reading.id, fixed(final_sg.value, 4), fixed(original.estimate->value, 4));
    } else if (original.estimate) {
        const auto wort = wort::mass_fraction_of_gravity(Dual<1>::parameter(original.estimate->value, 0));
        const double original_sd = 100.0 * wort.slope[0] * original.estimate->sd;
        const auto o = Dual<2>::parameter(100.0 * wort.value, 0), a = Dual<2>::parameter(plato.value, 1);
        const auto by_volume = wort::alcohol_by_volume_pct(o, a), gone = wort::attenuation_pct(o, a);
        const auto sd = [&](const Dual<2>& x, double more) {
            return std::hypot(x.slope[0] * original_sd, x.slope[1] * plato.sd, more);
        };
        attenuation.estimate = at_least_nothing(gone.value, sd(gone, 0.0));
        alcohol.estimate =
            at_least_nothing(by_volume.value, sd(by_volume, wort::alcohol_rule_spread * by_volume.value));
    }
    out.quantities.emplace_back("apparent_attenuation_pct", attenuation);
    out.quantities.emplace_back("alcohol_abv_pct", alcohol);
}

} // namespace

std::optional<ImpossibleReading> add_final_beer(const ReconcileInput& input, Reconciliation& out) {
    const Reading* reading = final_reading(input);
    const auto balanced = std::ranges::find(out.quantities, "original_gravity_sg",
                                            [](const auto& quantity) -> const std::string& { return quantity.first; });
    if (reading == nullptr || balanced == out.quantities.end()) return std::nullopt;
    const Estimated original = balanced->second; // the list grows
    try {
        const auto equation = gravity_equation(input, *reading, Quantity::fermenter);
        add_beer(*reading, plato_behind(*equation), original, out);
        return std::nullopt;
    } catch (const Error& e) {
        return ImpossibleReading{reading->id, std::string(word(reading->point)), "gravity", e.what()};
    }
}

} // namespace lotwort::infer_detail
