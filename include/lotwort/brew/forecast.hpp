// What should happen: the forecast of a recipe on a brewhouse with given malts, and the masses and liquor
// that meet its target.
#pragma once

#include <algorithm>
#include <functional>
#include <lotwort/brew/brew.hpp>
#include <lotwort/brew/kit.hpp>
#include <lotwort/brew/learned.hpp>
#include <lotwort/brew/recipe.hpp>
#include <lotwort/core/estimate.hpp>
#include <lotwort/stock/malt.hpp>
#include <lotwort/wort/isomerisation.hpp>
#include <lotwort/wort/late_extract.hpp>
#include <optional>
#include <vector>

namespace lotwort {

// One malt as it will go into the mash.
struct PlannedMalt {
    std::string item;
    Kilograms mass;
    MaltFigures figures;
};

struct PlannedHop {
    std::string item;
    Stage stage = Stage::boil;
    Minutes minutes;
    Grams mass;
    Figure alpha_pct;
    std::optional<Celsius> temperature{}; // of a stand
};

// The means that a forecast rests on: put into the balance they give it again, so that what came otherwise can be told
// from what was meant (infer/explain.hpp).
struct ForecastMeans {
    double grist_kg = 0.0, moisture_kg = 0.0, extract_kg = 0.0; // extract by the certificates
    double malt_factor = 1.0; // true extract over certified, as learned of these malts
    double conversion = 0.0;  // of the true extract, at the recipe's mash rest
    double lauter = 0.0;      // against its expectation
    double retained_l = 0.0, boil_off_l = 0.0, kettle_loss_l = 0.0;
    double kettle_sugar_kg = 0.0;
    double attenuation = 0.0; // of the wort
    wort::LateExtract late{}; // into the fermenter
};

struct Forecast {
    Estimate original_gravity_sg;
    Estimate volume_l;
    Estimate colour_ebc;
    Estimate bitterness_ibu;
    // Apparent, by the recipe's attenuation or the yeast's own record; with what is given in the fermenter.
    Estimate final_gravity_sg;
    Estimate alcohol_abv_pct;
    double strike_liquor_l = 0.0; // at 20 C
    double sparge_liquor_l = 0.0;
    double kettle_full_l = 0.0;
    double cast_out_l = 0.0;
    double extract_grist_kg = 0.0;
    double brewhouse_efficiency = 0.0;
    SpecificGravity boil_gravity;       // mean of kettle full and cast-out, what a utilisation curve is read at
    int learned_from_brews = 0;         // 0: everything is as stated
    std::optional<Estimate> packaged_l; // where past brews tell what is packaged of the fermenter
    ForecastMeans means{};
};

// The grist masses of a recipe for a volume: by mass in proportion, by shares so that the forecast meets the
// target gravity at that volume. figures[i] belong to recipe.grist[i].
// Error(refused) where shares do not sum to 100, a recipe by shares has no target gravity, its malts hold no extract,
// or no grist reaches the target.
[[nodiscard]] std::vector<Kilograms> grist_masses(const Recipe& recipe, Litres volume, const Kit& kit,
                                                  const std::vector<MaltFigures>& figures);

// Error(refused): no grist meets the target at that volume.
[[noreturn]] void refuse_unreached(SpecificGravity target, Litres volume);

// A stand whose temperature the recipe does not state, and how far a stand's is out, stated or not: it cools as it
// stands. Judgement.
inline constexpr double assumed_stand_c = 85.0, assumed_stand_sd_c = 5.0, stated_stand_sd_c = 2.0;

// A time in which the kettle stands hot after its boil.
struct Stand {
    Minutes minutes;
    Celsius temperature;
    friend bool operator==(const Stand&, const Stand&) = default;
};

// The stands that hop lines ask for (HopLine, PlannedHop, ...): one a temperature, from hot to cold, as long as its
// longest line.
template <class Lines>
[[nodiscard]] std::vector<Stand> stands_of(const Lines& lines) {
    std::vector<Stand> stands;
    for (const auto& line : lines) {
        if (line.stage != Stage::stand) continue;
        const Minutes minutes = std::optional<Minutes>(line.minutes).value_or(Minutes(0.0));
        const Celsius temperature = line.temperature.value_or(Celsius(assumed_stand_c));
        const auto at = std::ranges::find(stands, temperature, &Stand::temperature);
        if (at == stands.end())
            stands.push_back({minutes, temperature});
        else
            at->minutes = std::max(at->minutes, minutes);
    }
    std::ranges::sort(stands, std::greater{}, &Stand::temperature);
    return stands;
}

// What a hop addition's minutes are worth in minutes of boil at the sea, which the utilisation curve asks for
// (wort/isomerisation.hpp): of a boil by the kettle's boiling point, of a stand by its temperature; nothing at any
// other stage. What went in stays in: the stands that follow count too, of a stand those that are colder. The standard
// uncertainty is that of the kinetics and of the stands' temperatures.
[[nodiscard]] wort::BoilEquivalent hop_minutes(Stage stage, Minutes minutes, std::optional<Celsius> temperature,
                                               Celsius boiling, const std::vector<Stand>& stands = {});

// What hops boil in: the mean gravity of the boil, and the litres at its end, as they measure at 20 °C.
struct Boil {
    SpecificGravity gravity;
    Litres volume;
};

// The mass of one hop line for a volume in the fermenter. Where the recipe gives a mass, it is in proportion, of the
// alpha it means (meant_figures.hpp). Where it gives bitterness, it is the mass that gives it in the boil and the
// stands after it (Tinseth) at that alpha. Error(refused) where a line gives neither, or asks bitterness of a hop
// that is not boiled.
[[nodiscard]] Grams hop_mass(const Recipe& recipe, const HopLine& line, Litres volume, const Figure& alpha_pct,
                             const Boil& boil, Celsius boiling = wort::boiling_point());

// Means and 90 % intervals by first-order propagation (GUM 5.1.2) of malt figures and the kit's scatter; an interval
// that would reach below nothing (or a gravity of 1) ends there. Liquor is chosen so that by the kit's figures `volume`
// reaches the fermenter. kettle_sugars: pure extract added in the kettle; late: what is given in the fermenter. Where
// past brews have taught anything, the outcome is that of the learned figures, with their covariance, for the same
// liquor (learned.hpp; a malt goes by its name there, PlannedMalt::item).
[[nodiscard]] Forecast forecast(const Recipe& recipe, Litres volume, const Kit& kit,
                                const std::vector<PlannedMalt>& malts, const std::vector<PlannedHop>& hops,
                                Kilograms kettle_sugars, const Learned* learned = nullptr,
                                const wort::LateExtract& late = {});

// The kit with the learned means in place of what is stated: for choosing masses and liquor by them.
[[nodiscard]] Kit as_learned(Kit kit, const Learned& learned);

} // namespace lotwort
