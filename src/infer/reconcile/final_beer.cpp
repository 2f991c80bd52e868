#include "final_beer.hpp"
#include "believed.hpp"
#include "reading_equation.hpp"
#include "reading_figure.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/late_extract.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/refractometer.hpp>

namespace lotwort::infer_detail {

namespace {

// A figure that cannot be below nothing.
Estimate at_least_nothing(double value, double sd) {
    Estimate e = normal_estimate(value, sd);
    e.low = std::max(e.low, 0.0);
    return e;
}

// The last one of a kind that was read, of this brew or of one in its fermenter.
using IsOne = bool (*)(const Reading&);
const Reading* last_reading(const ReconcileInput& input, IsOne is_one) {
    const Reading* found = nullptr;
    const auto look = [&](const ReconcileInput& in) {
        for (const Reading& r : in.brew.readings)
            if (r.point == ReadingPoint::final_beer && !r.set_aside && is_one(r)) found = &r;
    };
    for (const auto& tied : input.earlier_in_fermenter) look(tied);
    for (const auto& tied : input.later_in_fermenter) look(tied);
    const Reading* of_others = found;
    found = nullptr;
    look(input);
    return found != nullptr ? found : of_others;
}
const Reading* last_reading(const ReconcileInput&&, IsOne) = delete;

FinalGravity by_hydrometer(const Reading& reading, const ReconcileInput& input) {
    const Estimate plato = plato_behind(believed(input, *gravity_equation(input, reading, Quantity::fermenter)));
    const auto gravity = wort::specific_gravity_of(Dual<1>::parameter(plato.value / 100.0, 0));
    return {reading.id, normal_estimate(gravity.value, gravity.slope[0] * plato.sd / 100.0)};
}

// Alcohol bends light too: with the original gravity the correlation of wort/refractometer.hpp undoes it.
FinalGravity by_refractometer(const Reading& reading, const ReconcileInput& input, const Estimate& original) {
    const Estimate beer =
        plato_behind(believed(input, *gravity_equation(input, reading, Quantity::fermenter))); // as if it were wort
    const auto wort = wort::mass_fraction_of_gravity(Dual<1>::parameter(original.value, 0));
    if (beer.value >= 100.0 * wort.value)
        throw Error(ErrorKind::refused,
                    fmt::format("{} °Bx is no less than the wort itself would show, {:.1f} °Bx",
                                shortest(reading.brix->value()),
                                reading.brix->value() * 100.0 * wort.value / beer.value),
                    "look at the reading and its point");
    const auto rule = wort::final_gravity_from_refractometer(Brix(100.0 * wort.value), Brix(beer.value), 1.0);
    const auto i = Dual<2>::parameter(100.0 * wort.value, 0), f = Dual<2>::parameter(beer.value, 1);
    const auto by_rule = wort::terrill_cubic(i, f);
    const double sd =
        std::hypot(by_rule.slope[0] * 100.0 * wort.slope[0] * original.sd, by_rule.slope[1] * beer.sd, rule.sd.value());
    return {reading.id, normal_estimate(rule.gravity.value(), sd)};
}

// Two instruments for one beer: what both say, and a word where they contradict each other.
FinalGravity together(const FinalGravity& glass, const FinalGravity& prism) {
    constexpr double contradict_sd = 3.0;
    const double apart = glass.sg.value - prism.sg.value, sd = std::hypot(glass.sg.sd, prism.sg.sd);
    if (std::abs(apart) > contradict_sd * sd)
        return {glass.reading, glass.sg,
                fmt::format("The final gravity is {} by the hydrometer ({}) and {} by the refractometer ({}), {:.0f} "
                            "times what both may be out: one of the two is misread; the hydrometer's is taken.",
                            fixed(glass.sg.value, 4), glass.reading, fixed(prism.sg.value, 4), prism.reading,
                            std::abs(apart) / sd)};
    const double share = prism.sg.sd * prism.sg.sd / (sd * sd);
    return {glass.reading,
            normal_estimate(share * glass.sg.value + (1.0 - share) * prism.sg.value, glass.sg.sd * prism.sg.sd / sd)};
}

const Reading* final_by_glass(const ReconcileInput& input) {
    return last_reading(input, [](const Reading& r) { return r.gravity_sg || r.gravity_plato; });
}
const Reading* final_by_prism(const ReconcileInput& input) {
    return last_reading(input, [](const Reading& r) { return r.brix.has_value(); });
}
const Reading* final_by_glass(const ReconcileInput&&) = delete;
const Reading* final_by_prism(const ReconcileInput&&) = delete;

// Alcohol and attenuation of a final gravity read as `id`.
void add_beer(const std::string& id, const Estimate& final_sg, const Estimated& original, Reconciliation& out) {
    const auto extract = wort::mass_fraction_of_gravity(Dual<1>::parameter(final_sg.value, 0));
    const Estimate plato = normal_estimate(100.0 * extract.value, 100.0 * extract.slope[0] * final_sg.sd);
    out.quantities.emplace_back("final_gravity_sg", Estimated{final_sg, {}});
    Estimated attenuation{std::nullopt, original.reason}, alcohol = attenuation;
    if (original.estimate && final_sg.value >= original.estimate->value) {
        attenuation.reason = alcohol.reason = "the final gravity is not below the original";
        out.beyond_original = fmt::format("The final gravity ({}, {}) is not below the original ({}): one of the two "
                                          "is misread, or stands at the wrong point.",
                                          id, fixed(final_sg.value, 4), fixed(original.estimate->value, 4));
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

// Fruit by the kilogram has sugar in it; whose is not stated counts for none, and its brewer should know.
void remark_uncounted(const ReconcileInput& input, double litres, Reconciliation& out) {
    constexpr double worth_asking_kg_per_l = 0.01; // below it, spices and finings
    for (const Addition& addition : input.brew.additions) {
        const bool is_late = addition.stage == Stage::fermenter || addition.stage == Stage::dry;
        const auto used = input.lots.find(addition.lot);
        if (!is_late || addition.amount.measure != Measure::mass || used == input.lots.end()) continue;
        const auto& [item, lot] = used->second;
        if (item.kind != ItemKind::other || counts_late(item, &lot)) continue;
        if (addition.amount.kilograms().value() < worth_asking_kg_per_l * litres) continue;
        out.remarks.push_back(fmt::format("{} of {} in the fermenter count for no extract, for none is stated: lotwort "
                                          "item change {} --extract PERCENT --basis fine-as-is",
                                          to_text(addition.amount), item.name, shell_word(item.name)));
    }
}

// Of the wort and of what was given in the fermenter; the wort's alone where nothing was.
Estimated original_of_all(const ReconcileInput& input, const Estimated& wort, Reconciliation& out) {
    const wort::LateExtract late = late_extract(input);
    const auto litres = std::ranges::find(out.quantities, "fermenter_l",
                                          [](const auto& quantity) -> const std::string& { return quantity.first; });
    if (!wort.estimate || litres == out.quantities.end() || !litres->second.estimate) return wort;
    remark_uncounted(input, litres->second.estimate->value, out);
    for (const Addition* given : given_since_read(input))
        out.remarks.push_back(
            fmt::format("{} of {} went in on {}, after the final gravity was read: it counts once the "
                        "beer is read again",
                        to_text(given->amount), input.lots.at(given->lot).item.name, to_iso(*given->on)));
    if (!late.is_any()) return wort;
    const Estimate all = original_with(*wort.estimate, *litres->second.estimate, late);
    out.quantities.emplace_back("whole_original_gravity_sg", Estimated{all, {}});
    out.remarks.push_back(
        fmt::format("{} kg of extract were given in the fermenter: with it the beer is of {} in all, and "
                    "attenuation and alcohol are of that",
                    fixed(late.extract_kg, 2), fixed(all.value, 4)));
    return {all, {}};
}

// The last reading of the final gravity, where liquor came after it.
void remark_filled_up(const ReconcileInput& input, const FinalGravity& beer, Reconciliation& out) {
    const auto read = std::ranges::find(input.brew.readings, beer.reading, &Reading::id);
    const double litres = read == input.brew.readings.end() ? 0.0 : liquor_after(input, *read);
    if (litres > 0.0)
        out.remarks.push_back(fmt::format("{} L of liquor came after the final gravity was read: with it the beer is "
                                          "of {}, and alcohol is of that",
                                          fixed(litres, 1), fixed(beer.sg.value, 4)));
}

// What was typed, where others' brews say that its instrument reads so far off that it shows.
void remark_shifted(const ReconcileInput& input, const std::optional<Estimate>& original, double believed_sg,
                    Reconciliation& out) {
    if (!input.elsewhere) return;
    constexpr double shows_sg = 0.0005;
    ReconcileInput as_stated = input;
    as_stated.elsewhere.reset();
    const auto stated = final_beer(as_stated, original).gravity;
    if (!stated || std::abs(stated->sg.value - believed_sg) < shows_sg) return;
    const double high_by = stated->sg.value - believed_sg;
    out.remarks.push_back(
        fmt::format("The final gravity by its reading alone is {}; by the other brews what it was read "
                    "with reads {} {}",
                    fixed(stated->sg.value, 4), fixed(std::abs(high_by), 4), high_by > 0.0 ? "high" : "low"));
}

} // namespace

Estimate original_with(const Estimate& wort_sg, const Estimate& litres, const wort::LateExtract& late) {
    const auto sg = Dual<2>::parameter(wort_sg.value, 0), l = Dual<2>::parameter(litres.value, 1);
    const auto fraction = wort::mass_fraction_of_gravity(sg);
    const auto kg = l * wort::sucrose_density_kg_m3(fraction, 20.0) / 1000.0;
    const auto all = wort::specific_gravity_of(wort::original_in_all(fraction * 100.0, kg, late) / 100.0);
    return normal_estimate(all.value, std::hypot(all.slope[0] * wort_sg.sd, all.slope[1] * litres.sd));
}

FinalBeer final_beer(const ReconcileInput& input, const std::optional<Estimate>& original_sg) {
    FinalBeer out;
    const auto seen = [&](const Reading* reading, auto&& how) -> std::optional<FinalGravity> {
        if (reading == nullptr) return std::nullopt;
        try {
            return how(*reading);
        } catch (const Error& e) {
            out.impossible = ImpossibleReading{reading->id, std::string(word(reading->point)), "gravity", e.what()};
            return std::nullopt;
        }
    };
    std::optional<FinalGravity> prism;
    // liquor that came after the beer was read thins what was read of it
    const auto left = [&](const Reading& r) { return original_sg ? strength_left(input, r, original_sg->value) : 1.0; };
    const auto filled_up = [&](FinalGravity read, double by) {
        read.sg = thinned(read.sg, by);
        return read;
    };
    if (original_sg) // else nothing undoes the alcohol
        prism = seen(final_by_prism(input), [&](const Reading& r) {
            const double by = left(r);
            return filled_up(by_refractometer(r, input, thinned(*original_sg, 1.0 / by)), by);
        });
    const auto glass =
        seen(final_by_glass(input), [&](const Reading& r) { return filled_up(by_hydrometer(r, input), left(r)); });
    out.gravity = glass && prism ? together(*glass, *prism) : glass ? glass : prism;
    return out;
}

std::optional<ImpossibleReading> add_final_beer(const ReconcileInput& input, Reconciliation& out) {
    const auto balanced = std::ranges::find(out.quantities, "original_gravity_sg",
                                            [](const auto& quantity) -> const std::string& { return quantity.first; });
    if (balanced == out.quantities.end()) return std::nullopt;
    const Estimated original = original_of_all(input, balanced->second, out); // the list grows
    const FinalBeer beer = final_beer(input, original.estimate);
    if (beer.gravity) {
        out.beyond_original = beer.gravity->doubt;
        add_beer(beer.gravity->reading, beer.gravity->sg, original, out);
        remark_filled_up(input, *beer.gravity, out);
        remark_shifted(input, original.estimate, beer.gravity->sg.value, out);
    }
    return beer.impossible;
}

} // namespace lotwort::infer_detail
