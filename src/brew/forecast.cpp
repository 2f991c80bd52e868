#include "forecast_spread.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/brew/meant_figures.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/colour.hpp>
#include <lotwort/wort/gravity.hpp>
#include <map>

namespace lotwort {

using namespace forecast_detail;

namespace {

constexpr double bitterness_model_sd = 0.10; // of the value: published utilisation curves differ more than this

// Hops in the kettle hold wort back; dry hops come later.
double kettle_hops_kg(const std::vector<PlannedHop>& hops) {
    double mass = 0.0;
    for (const auto& hop : hops)
        if (hop.stage != Stage::dry && hop.stage != Stage::fermenter) mass += to_kilograms(hop.mass).value();
    return mass;
}

MashGrist planned_grist(const std::vector<PlannedMalt>& malts) {
    std::vector<WeighedMalt> weighed;
    weighed.reserve(malts.size());
    Instrument exact; // a plan is weighed out as planned
    for (const auto& malt : malts) weighed.push_back({malt.item, malt.mass, malt.figures, exact});
    return mash_grist(weighed);
}

Course course_of(const Recipe& recipe, Litres volume, const Kit& kit, const MashGrist& grist, double hops_kg,
                 double sugars_kg) {
    Course c;
    c.grist = grist;
    c.facts.grist_moisture_kg = grist.moisture_kg;
    c.facts.grist_dry_kg = grist.mass_kg - grist.moisture_kg;
    c.facts.kettle_sugar_kg = sugars_kg;
    c.facts.wash_stages = kit.wash_stages;
    c.boil_off_l = kit.boil_off_l_per_h * boil_hours(recipe);
    c.kettle_loss_l = kit.kettle_loss_l + kit.hop_absorption_l_per_kg * hops_kg;
    c.retained_l = kit.absorption_l_per_kg * grist.mass_kg + kit.tun_loss_l;
    const double total =
        liquor_for_volume(kit, volume.value(), grist, c.facts, c.boil_off_l, c.kettle_loss_l, c.retained_l);
    c.liquor = split_liquor(kit, grist.mass_kg, total);
    return c;
}

struct Outcome {
    BrewBalance<Uncertain> balance;
    Spread spread;
    Uncertain attenuation;
};

Outcome outcome_of(const Recipe& recipe, const Kit& kit, const Course& c, const std::vector<PlannedMalt>& malts,
                   const Learned* learned) {
    Outcome out;
    out.spread = learned ? learned_spread(recipe, kit, c, malts, *learned) : stated_spread(recipe, kit, c);
    const auto at = [&](Source i) { return Uncertain::parameter(out.spread.mean[i], i); };
    const auto state =
        expected_state<Uncertain>(at(extract), at(conversion), at(lauter), c.liquor.strike_l, c.liquor.sparge_l,
                                  at(retained), at(boil_off), at(kettle_loss), c.facts);
    out.balance = balance(state, c.facts);
    out.attenuation = at(attenuation);
    return out;
}

// First order (GUM 5.1.2 and 5.2.2), with what else is known of the figure's own error added in quadrature.
Estimate estimate_of(const Uncertain& x, const Spread& spread, double more_sd = 0.0) {
    double variance = more_sd * more_sd;
    for (std::size_t i = 0; i < sources; ++i)
        for (std::size_t j = 0; j < sources; ++j) variance += x.slope[i] * x.slope[j] * spread.covariance[i][j];
    return normal_estimate(x.value, std::sqrt(std::max(variance, 0.0)));
}

// A brew that would come to less than nothing comes to nothing: the kettle boils dry. Of max(x, least) the quantiles
// are those of x, none below the least, so that the interval is cut off there and still holds nine brews in ten. Value
// and sd stay those of x, which the balance is linear in.
Estimate no_less_than(double least, Estimate x) {
    x.low = std::max(x.low, least);
    x.high = std::max(x.high, least);
    return x;
}

Estimate colour_of(const std::vector<PlannedMalt>& malts, const Outcome& out) {
    Uncertain units = 0.0;
    double units_variance = 0.0;
    for (const auto& malt : malts) {
        const auto per_ebc = [&](double ebc) {
            const double lovibond = wort::malt_lovibond(Ebc(std::max(0.0, ebc))).value();
            return wort::malt_colour_units(Uncertain(malt.mass.value()), lovibond, out.balance.fermenter_l);
        };
        const auto& colour = malt.figures.colour_ebc;
        units = units + per_ebc(colour.value);
        const double slope = (per_ebc(colour.value + 1.0) - per_ebc(colour.value)).value;
        units_variance += std::pow(slope * colour.sd, 2);
    }
    const auto ebc = wort::morey_ebc(units);
    const double own = units.value > 0.0 ? 0.6859 * ebc.value / units.value * std::sqrt(units_variance) : 0.0;
    return estimate_of(ebc, out.spread, own);
}

Uncertain boil_gravity(const BrewBalance<Uncertain>& b) {
    return (wort::specific_gravity_of(b.kettle_full_fraction) + wort::specific_gravity_of(b.cast_out_fraction)) /
           Uncertain(2.0);
}

// The curve's gravity is the mean of kettle full and cast-out. What boils and what stands hot counts, in the litres
// that it boils in: what the trub and the hops keep back is as bitter as the rest. Where the brewery's beers were
// measured, by what they came to against the curve.
Estimate bitterness_of(const std::vector<PlannedHop>& hops, const Kit& kit, const Outcome& out,
                       const Learned* learned) {
    const bool known = learned && learned->bitterness_ratio;
    const double ratio = known ? *learned->bitterness_ratio : 1.0;
    const double curve_sd = known ? learned->bitterness_ratio_sd / ratio : bitterness_model_sd;
    const auto gravity = boil_gravity(out.balance);
    const std::vector<Stand> stands = stands_of(hops);
    Uncertain units = 0.0;
    std::map<std::string, double> alpha_error; // lines of one item share its alpha's error
    double minutes_error = 0.0;                // all lines share the kinetics' and the thermometer's
    for (const auto& hop : hops) {
        const auto worth = hop_minutes(hop.stage, hop.minutes, hop.temperature, Celsius(kit.boiling_c), stands);
        if (worth.minutes.value() <= 0.0) continue;
        const auto utilisation = wort::tinseth_utilisation(gravity, worth.minutes.value());
        const auto curve = wort::tinseth_utilisation(gravity.value, Dual<1>::parameter(worth.minutes.value(), 0));
        const auto line =
            Uncertain(ratio) * wort::bitterness_ibu(Uncertain(hop.mass.value()), Uncertain(hop.alpha_pct.value),
                                                    utilisation, out.balance.cast_out_l);
        units = units + line;
        minutes_error += line.value * curve.slope[0] / curve.value * worth.sd.value();
        if (hop.alpha_pct.value > 0.0) alpha_error[hop.item] += line.value * hop.alpha_pct.sd / hop.alpha_pct.value;
    }
    double own = std::pow(curve_sd * units.value, 2) + minutes_error * minutes_error;
    for (const auto& [item, error] : alpha_error) own += error * error;
    return estimate_of(units, out.spread, std::sqrt(own));
}

void check_shares(const Recipe& recipe) {
    double sum = 0.0;
    for (const auto& line : recipe.grist) {
        if (!line.share)
            throw Error(ErrorKind::refused,
                        fmt::format("recipe `{}` gives {} neither as a share nor as a mass", recipe.name, line.item),
                        "give every malt a share_pct, or every malt a mass_kg");
        sum += line.share->value();
    }
    if (std::abs(sum - 100.0) > 0.5)
        throw Error(ErrorKind::refused, fmt::format("the grist shares of `{}` sum to {:.4g} %", recipe.name, sum),
                    "make share_pct of all grist lines sum to 100");
    if (!recipe.original_gravity)
        throw Error(ErrorKind::refused,
                    fmt::format("recipe `{}` gives shares and no original gravity to aim at", recipe.name),
                    "add original_gravity_sg, or give the malts by mass_kg");
}

[[noreturn]] void refuse_no_extract(const Recipe& recipe) {
    if (recipe.grist.empty())
        throw Error(ErrorKind::refused, fmt::format("recipe `{}` has no malt to forecast from", recipe.name),
                    "add a grist to the recipe");
    throw Error(ErrorKind::refused, fmt::format("the malts of recipe `{}` hold no extract", recipe.name),
                "look at their certificates");
}

// What one lot errs by it errs by in each of its lines, so they are one.
std::vector<PlannedMalt> lot_by_lot(const std::vector<PlannedMalt>& lines) {
    std::vector<PlannedMalt> malts;
    for (const PlannedMalt& line : lines) {
        const auto same = std::ranges::find(malts, line.item, &PlannedMalt::item);
        if (same == malts.end())
            malts.push_back(line);
        else
            same->mass = same->mass + line.mass;
    }
    return malts;
}

struct MeanCourse {
    double extract_kg = 0.0; // of the grist
    BrewBalance<double> balance;
};

// The brew of these masses as it goes by the means.
MeanCourse mean_course(const Recipe& recipe, Litres volume, const Kit& kit, const std::vector<MaltFigures>& figures,
                       const std::vector<Kilograms>& masses) {
    std::vector<PlannedMalt> malts;
    for (std::size_t i = 0; i < masses.size(); ++i) malts.push_back({recipe.grist[i].item, masses[i], figures[i]});
    const auto c = course_of(recipe, volume, kit, planned_grist(malts), 0.0, 0.0);
    const auto state =
        expected_state<double>(c.grist.extract_kg, kit.conversion, kit.lauter_of_expected, c.liquor.strike_l,
                               c.liquor.sparge_l, c.retained_l, c.boil_off_l, c.kettle_loss_l, c.facts);
    return {c.grist.extract_kg, balance(state, c.facts)};
}

// Finds where `miss_of` is nothing, from a first guess; returns what is still missed there.
template <class Miss>
double secant(Miss&& miss_of, double guess) {
    double before = 0.9 * guess, miss_before = miss_of(before), miss = miss_of(guess);
    for (int i = 0; i < 60 && std::abs(miss) > 1e-13; ++i) {
        const double next = guess - miss * (guess - before) / (miss - miss_before);
        before = guess;
        miss_before = miss;
        guess = std::clamp(next, 0.3 * guess, 3.0 * guess);
        if (guess == before) break;
        miss = miss_of(guess);
    }
    return miss;
}

// Masses that were written for a house of another efficiency, as many times as bring the same extract here.
void scale_to_this_house(const Recipe& recipe, Litres volume, const Kit& kit, const std::vector<MaltFigures>& figures,
                         std::vector<Kilograms>& masses) {
    const std::vector<Kilograms> written = masses;
    const double as_written_kg = mean_course(recipe, volume, kit, figures, written).extract_kg;
    if (as_written_kg <= 0.0) refuse_no_extract(recipe);
    const Percent told = recipe.efficiency_kettle ? *recipe.efficiency_kettle : *recipe.efficiency_fermenter;
    const double wanted_kg = told.value() / 100.0 * as_written_kg;
    const auto miss_of = [&](double times) {
        for (std::size_t i = 0; i < masses.size(); ++i) masses[i] = written[i] * times;
        const auto b = mean_course(recipe, volume, kit, figures, masses).balance;
        return (recipe.efficiency_kettle ? b.extract_cast_out_kg : b.extract_fermenter_kg) / wanted_kg - 1.0;
    };
    if (std::abs(secant(miss_of, 1.0)) > 1e-6)
        throw Error(ErrorKind::refused,
                    fmt::format("recipe `{}` is written for {:.4g} %, and no grist gives as much here", recipe.name,
                                told.value()),
                    "lower the volume of the plan, or look at the brewhouse's figures");
}

} // namespace

void refuse_unreached(SpecificGravity target, Litres volume) {
    throw Error(ErrorKind::refused,
                fmt::format("no grist reaches {:.4f} with {:.6g} L on this brewhouse", target.value(), volume.value()),
                "lower the gravity or the volume of the plan");
}

std::vector<Kilograms> grist_masses(const Recipe& recipe, Litres volume, const Kit& kit,
                                    const std::vector<MaltFigures>& figures) {
    LOTWORT_CHECK(figures.size() == recipe.grist.size());
    std::vector<Kilograms> masses(recipe.grist.size());
    const bool by_mass = std::ranges::all_of(recipe.grist, [](const GristLine& l) { return l.mass.has_value(); });
    if (by_mass) {
        std::ranges::transform(recipe.grist, masses.begin(),
                               [&](const GristLine& l) { return *l.mass * (volume / recipe.volume); });
        if (recipe.efficiency_fermenter || recipe.efficiency_kettle)
            scale_to_this_house(recipe, volume, kit, figures, masses);
        return masses;
    }
    check_shares(recipe);

    const double target = wort::plato(*recipe.original_gravity).value() / 100.0;
    const auto miss_of = [&](double total) {
        for (std::size_t i = 0; i < masses.size(); ++i)
            masses[i] = Kilograms(total * recipe.grist[i].share->value() / 100.0);
        return mean_course(recipe, volume, kit, figures, masses).balance.fermenter_fraction - target;
    };
    // gravity rises with the grist, less than in proportion: secant from a brewhouse efficiency of 75 %
    double extract_share = 0.0;
    for (std::size_t i = 0; i < figures.size(); ++i)
        extract_share += recipe.grist[i].share->value() / 100.0 * figures[i].extract_as_is.value;
    if (extract_share <= 0.0) refuse_no_extract(recipe);
    if (std::abs(secant(miss_of, volume.value() * 1.05 * target / (0.75 * extract_share))) > 1e-6)
        refuse_unreached(*recipe.original_gravity, volume);
    return masses;
}

Kit as_learned(Kit kit, const Learned& learned) {
    kit.conversion = std::exp(learned.mean[0]);
    kit.lauter_of_expected = std::exp(learned.mean[1]);
    kit.boil_off_l_per_h = learned.mean[2];
    kit.absorption_l_per_kg = learned.mean[3];
    kit.kettle_loss_l = learned.mean[4];
    return kit;
}

namespace {

wort::BoilEquivalent stand_minutes(Minutes minutes, Celsius temperature, double sd_c, Celsius boiling) {
    const Celsius sea = wort::boiling_point(), stand = std::min(temperature, boiling);
    auto worth = wort::equivalent_boil(minutes, stand, sea);
    const auto warmer = wort::isomerisation_ratio(Dual<1>::parameter(stand.value(), 0), sea.value());
    const double by_temperature = worth.minutes.value() * warmer.slope[0] / warmer.value * sd_c;
    worth.sd = Minutes(std::hypot(worth.sd.value(), by_temperature));
    return worth;
}

} // namespace

wort::BoilEquivalent hop_minutes(Stage stage, Minutes minutes, std::optional<Celsius> temperature, Celsius boiling,
                                 const std::vector<Stand>& stands) {
    wort::BoilEquivalent worth;
    Celsius after = boiling; // what stands colder than this comes afterwards
    bool is_boiled = false;
    switch (stage) {
    case Stage::kettle:
    case Stage::boil:
        worth = wort::equivalent_boil(minutes, boiling, wort::boiling_point());
        is_boiled = true;
        break;
    case Stage::stand:
        after = temperature.value_or(Celsius(assumed_stand_c));
        worth = stand_minutes(minutes, after, temperature ? stated_stand_sd_c : assumed_stand_sd_c, boiling);
        break;
    case Stage::mash:
    case Stage::fermenter:
    case Stage::dry:
        return {};
    }
    for (const Stand& stand : stands) {
        if (!is_boiled && stand.temperature >= after) continue;
        const auto more = stand_minutes(stand.minutes, stand.temperature, stated_stand_sd_c, boiling);
        worth.minutes = worth.minutes + more.minutes;
        worth.sd = worth.sd + more.sd; // one thermometer, one kinetics
        worth.extrapolated = worth.extrapolated || more.extrapolated;
    }
    return worth;
}

Grams hop_mass(const Recipe& recipe, const HopLine& line, Litres volume, const Figure& alpha_pct, const Boil& boil,
               Celsius boiling) {
    if (line.mass) return *line.mass * (volume / recipe.volume) * mass_ratio(line, alpha_pct);
    const std::string where = fmt::format("recipe `{}`, hop `{}`", recipe.name, line.item);
    if (!line.bitterness)
        throw Error(ErrorKind::refused, where + " has neither mass_g nor bitterness_ibu", "give one of them");
    if (line.stage != Stage::boil || line.minutes.value_or(Minutes(0.0)).value() <= 0.0)
        throw Error(ErrorKind::refused, where + " asks for bitterness without a boil",
                    "give mass_g, or stage boil with its minutes");
    if (alpha_pct.value <= 0.0)
        throw Error(ErrorKind::refused, where + " asks for bitterness of a hop whose alpha acid is 0 %",
                    "no mass of it gives bitterness: give mass_g, or name another hop");
    const auto worth = hop_minutes(line.stage, *line.minutes, line.temperature, boiling, stands_of(recipe.hops));
    const double utilisation = wort::tinseth_utilisation(boil.gravity.value(), worth.minutes.value());
    return Grams(line.bitterness->value() * boil.volume.value() / (10.0 * utilisation * alpha_pct.value));
}

Forecast forecast(const Recipe& recipe, Litres volume, const Kit& kit, const std::vector<PlannedMalt>& lines,
                  const std::vector<PlannedHop>& hops, Kilograms kettle_sugars, const Learned* learned,
                  const wort::LateExtract& late) {
    const auto malts = lot_by_lot(lines);
    const auto grist = planned_grist(malts);
    if (grist.extract_kg <= 0.0) refuse_no_extract(recipe);
    const auto c = course_of(recipe, volume, kit, grist, kettle_hops_kg(hops), kettle_sugars.value());
    const auto out = outcome_of(recipe, kit, c, malts, learned);
    const auto& b = out.balance;

    const Uncertain of_wort = b.fermenter_fraction * 100.0;
    const Uncertain wort_kg = b.fermenter_l * wort::sucrose_density_kg_m3(b.fermenter_fraction, 20.0) / 1000.0;
    const Uncertain original = late.is_any() ? wort::original_in_all(of_wort, wort_kg, late) : of_wort;
    const Uncertain attenuated =
        late.is_any() ? wort::attenuation_in_all(out.attenuation, of_wort, wort_kg, late) : out.attenuation;
    const Uncertain final = wort::apparent_extract_after(original, attenuated);
    const auto abv = wort::alcohol_by_volume_pct(original, final);
    Forecast f;
    f.original_gravity_sg = no_less_than(1.0, estimate_of(wort::specific_gravity_of(b.fermenter_fraction), out.spread));
    f.volume_l = no_less_than(0.0, estimate_of(b.fermenter_l, out.spread));
    f.colour_ebc = no_less_than(0.0, colour_of(malts, out));
    f.bitterness_ibu = no_less_than(0.0, bitterness_of(hops, kit, out, learned));
    f.final_gravity_sg = estimate_of(wort::specific_gravity_of(final / 100.0), out.spread);
    f.alcohol_abv_pct = no_less_than(0.0, estimate_of(abv, out.spread, wort::alcohol_rule_spread * abv.value));
    f.strike_liquor_l = c.liquor.strike_l;
    f.sparge_liquor_l = c.liquor.sparge_l;
    f.kettle_full_l = b.kettle_full_l.value;
    f.cast_out_l = b.cast_out_l.value;
    f.extract_grist_kg = grist.extract_kg;
    f.brewhouse_efficiency = b.extract_fermenter_kg.value / grist.extract_kg;
    f.boil_gravity = SpecificGravity(boil_gravity(b).value);
    const auto& mean = out.spread.mean;
    const double malt_factor = std::exp(out.spread.ln_malts);
    f.means = {grist.mass_kg,
               grist.moisture_kg,
               mean[extract],
               malt_factor,
               mean[conversion] / malt_factor,
               mean[lauter],
               mean[retained],
               mean[boil_off],
               mean[kettle_loss],
               kettle_sugars.value(),
               mean[Source::attenuation],
               late};
    if (learned) f.learned_from_brews = learned->brews;
    if (learned && learned->packaged_share)
        f.packaged_l = estimate_of(b.fermenter_l * *learned->packaged_share, out.spread,
                                   f.volume_l.value * learned->packaged_share_sd);
    return f;
}

} // namespace lotwort
