// Sugar, fruit and the like given in the fermenter: the balance by hand, in reconcile, in explain and by readings
// alone.
#include "near.hpp"
#include "simulated_brew.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/infer/beer_as_read.hpp>
#include <lotwort/infer/explain.hpp>
#include <lotwort/infer/fermentation.hpp>
#include <lotwort/infer/late_extract.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/wort/gravity.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

constexpr double water_kg_per_l = 0.998203; // at 20 °C

Estimate quantity(const Reconciliation& r, const char* name) {
    for (const auto& [called, found] : r.quantities)
        if (called == name && found.estimate) return *found.estimate;
    return {};
}

UsedLot sugar_lot(const char* item, ItemKind kind, double extract_pct) {
    UsedLot used;
    used.item.name = item;
    used.item.kind = kind;
    used.item.extract = Percent(extract_pct);
    used.item.extract_basis = ExtractBasis::fine_as_is;
    used.item.moisture = Percent(0.0);
    used.lot.code = item;
    used.lot.item = item;
    used.lot.received_amount = Amount::of(Kilograms(10.0));
    return used;
}

void give(ReconcileInput& input, const UsedLot& used, double kg) {
    input.lots[used.lot.code] = used;
    input.brew.additions.push_back(
        {used.lot.code, Stage::fermenter, Amount::of(Kilograms(kg)), {}, {}, {}, {}, {}, {}});
}

void end_at(ReconcileInput& input, double gravity_sg) {
    Reading end;
    end.id = "final";
    end.point = ReadingPoint::final_beer;
    end.gravity_sg = SpecificGravity(gravity_sg);
    input.brew.readings.push_back(end);
}

double plato(double sg) {
    return wort::plato(SpecificGravity(sg)).value();
}

// Balling's alcohol by volume, written out.
double balling_abv(double original, double apparent, double final_sg) {
    const double real = 0.1808 * original + 0.8192 * apparent;
    return (original - real) / (2.0665 - 0.010665 * original) * final_sg * water_kg_per_l / 0.78924;
}

} // namespace

TEST_CASE("reconcile counts a kilogram of sugar in the fermenter in the alcohol, as the balance by hand does") {
    SimulatedBrew brew = simulate({});
    read_everything(brew);
    end_at(brew.input, 1.008);
    const Reconciliation without = reconcile(brew.input);
    give(brew.input, sugar_lot("sucrose", ItemKind::sugar, 100.0), 1.0);
    const Reconciliation with = reconcile(brew.input);
    const double og = quantity(with, "original_gravity_sg").value, litres = quantity(with, "fermenter_l").value;
    CHECK(og == near(quantity(without, "original_gravity_sg").value, 1e-9)); // the wort before it
    const double kg = litres * og * water_kg_per_l, extract = kg * plato(og) / 100.0;
    const double in_all = 100.0 * (extract + 1.0) / (kg + 1.0);
    CHECK(plato(quantity(with, "whole_original_gravity_sg").value) == near(in_all, 1e-4));
    CHECK(quantity(with, "alcohol_abv_pct").value == near(balling_abv(in_all, plato(1.008), 1.008), 1e-3));
    CHECK(quantity(with, "alcohol_abv_pct").value > quantity(without, "alcohol_abv_pct").value + 1.5);
    CHECK(quantity(with, "apparent_attenuation_pct").value == near(100.0 * (1.0 - plato(1.008) / in_all), 1e-3));
    // the readings alone say the same to what the balance moves them
    CHECK(beer_as_read(brew.input).alcohol_abv_pct->value == near(quantity(with, "alcohol_abv_pct").value, 0.03));
}

TEST_CASE("what primed packages is theirs, and sugar of a shared fermenter is nobody's alone") {
    SimulatedBrew brew = simulate({});
    give(brew.input, sugar_lot("sucrose", ItemKind::sugar, 100.0), 0.1);
    CHECK(late_extract(brew.input).extract_kg == near(0.1, 1e-3));
    CHECK(late_extract(brew.input).fermentable_kg == near(0.1, 1e-3));
    brew.input.brew.additions.back().package = "B1-1";
    CHECK_FALSE(late_extract(brew.input).is_any());
    brew.input.brew.additions.back().package.reset();
    brew.input.untied_after = 1;
    CHECK_FALSE(late_extract(brew.input).is_any());
}

TEST_CASE("fruit counts by its stated extract, and thins by its juice; without a figure it does not") {
    SimulatedBrew brew = simulate({});
    give(brew.input, sugar_lot("raspberries", ItemKind::other, 6.0), 2.0);
    const auto late = late_extract(brew.input);
    CHECK(late.extract_kg == near(0.12, 1e-3));
    CHECK(late.water_kg == near(1.88, 1e-3));
    brew.input.lots["raspberries"].item.extract.reset();
    CHECK_FALSE(late_extract(brew.input).is_any());
}

TEST_CASE("sugar that no plan meant is its own part of alcohol and final gravity, and the parts sum") {
    SimulatedBrew brew = simulate({});
    read_everything(brew);
    ExplainRequest request;
    request.brew = brew.input;
    Recipe recipe;
    recipe.name = "ale";
    recipe.volume = Litres(23.0);
    recipe.boil = Minutes(75.0);
    recipe.attenuation = Percent(75.0);
    request.brew.recipe = recipe;
    const auto& used = request.brew.lots.begin()->second;
    const PlannedMalt malt{used.lot.code, Kilograms(4.6), malt_figures(used.item, used.lot, request.brew.brew.date)};
    request.forecast = forecast(recipe, Litres(22.0), kit_of(request.brew.brewhouse), {malt}, {}, Kilograms(0.0));
    give(request.brew, sugar_lot("sucrose", ItemKind::sugar, 100.0), 1.0);
    end_at(request.brew, 1.008);
    const auto e = explain(request);
    for (const auto& o : e.outcomes) {
        double sum = 0.0;
        for (const auto& p : o.parts) sum += p.difference.value;
        CHECK(std::abs(sum - o.difference) < 1e-9);
    }
    const auto part = [&](const char* quantity, const char* cause) {
        const auto& o = *std::ranges::find(e.outcomes, quantity, &ExplainedOutcome::quantity);
        return std::ranges::find(o.parts, cause, &ExplainedPart::cause)->difference.value;
    };
    // 0.484 kg of alcohol of the sugar in 22 L are 2.8 %; it dries the beer out by 1.6 points
    CHECK(part("alcohol_abv_pct", "sugar in the fermenter") == near(2.7, 0.1));
    CHECK(part("final_gravity_sg", "sugar in the fermenter") < -0.0005);
    // the wort's gravity is read before it, and has no such part
    const auto& original = *std::ranges::find(e.outcomes, "original_gravity_sg", &ExplainedOutcome::quantity);
    CHECK(std::ranges::find(original.parts, "sugar in the fermenter", &ExplainedPart::cause) == original.parts.end());
}

TEST_CASE("the forecast of a recipe with sugar in the fermenter is that of the whole") {
    const SimulatedBrew brew = simulate({});
    const auto& used = brew.input.lots.begin()->second;
    const PlannedMalt malt{used.lot.code, Kilograms(4.6), malt_figures(used.item, used.lot, brew.input.brew.date)};
    Recipe recipe;
    recipe.volume = Litres(23.0);
    recipe.boil = Minutes(60.0);
    recipe.attenuation = Percent(75.0);
    const Kit kit = kit_of(brew.input.brewhouse);
    const auto plain = forecast(recipe, Litres(22.0), kit, {malt}, {}, Kilograms(0.0));
    const auto sweet = forecast(recipe, Litres(22.0), kit, {malt}, {}, Kilograms(0.0), nullptr, {1.0, 1.0, 0.0});
    CHECK(sweet.original_gravity_sg.value == plain.original_gravity_sg.value);
    const double og = plain.original_gravity_sg.value;
    const double kg = plain.volume_l.value * og * water_kg_per_l, extract = kg * plato(og) / 100.0;
    const double in_all = 100.0 * (extract + 1.0) / (kg + 1.0);
    const double gone = (0.8192 * 0.75 * extract + 1.0) / (0.8192 * (extract + 1.0));
    CHECK(plato(sweet.final_gravity_sg.value) == near(in_all * (1.0 - gone), 1e-3, 1e-3));
    CHECK(sweet.alcohol_abv_pct.value ==
          near(balling_abv(in_all, in_all * (1.0 - gone), sweet.final_gravity_sg.value), 1e-3));
    CHECK(sweet.alcohol_abv_pct.sd > 0.0);
}

TEST_CASE("what goes in after the beer was read counts in no alcohol till it is read again, and ferments") {
    SimulatedBrew brew = simulate({});
    read_everything(brew);
    const auto end_on = [&](int day) {
        end_at(brew.input, 1.010);
        brew.input.brew.readings.back().on = brew.input.brew.date + std::chrono::days(day);
    };
    end_on(8);
    end_on(11);
    const double dry = quantity(reconcile(brew.input), "alcohol_abv_pct").value;
    CHECK(fermentation_of(brew.input).state == Fermenting::has_stopped);
    give(brew.input, sugar_lot("sucrose", ItemKind::sugar, 100.0), 1.0);
    brew.input.brew.additions.back().on = brew.input.brew.date + std::chrono::days(12);
    const Reconciliation after = reconcile(brew.input);
    CHECK(quantity(after, "alcohol_abv_pct").value == near(dry, 1e-9));
    CHECK(std::ranges::any_of(after.remarks, [](const std::string& said) {
        return said.starts_with("1 kg of sucrose went in on ") && said.ends_with("counts once the beer is read again");
    }));
    CHECK(fermentation_of(brew.input).state == Fermenting::goes_on);
    brew.input.lots["sucrose"].item.name = "lactose"; // yeast leaves it
    CHECK(fermentation_of(brew.input).state == Fermenting::has_stopped);
    brew.input.lots["sucrose"].item.name = "sucrose";
    end_on(20);
    CHECK(quantity(reconcile(brew.input), "alcohol_abv_pct").value > dry + 1.5);
    end_on(23);
    CHECK(fermentation_of(brew.input).state == Fermenting::has_stopped);
}
