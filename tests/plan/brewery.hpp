// A small brewery for the tests of planning: two malts of a class, a caramel malt, two hops.
#pragma once

#include "lot_on_hand.hpp"
#include <lotwort/plan/needs.hpp>

namespace lotwort::test {

inline Item malt(const char* name, const char* malt_class, double extract, double moisture, double ebc, double wk) {
    Item item;
    item.name = name;
    item.kind = ItemKind::malt;
    item.malt_class = malt_class;
    item.extract = Percent(extract);
    item.extract_basis = ExtractBasis::fine_dry;
    item.moisture = Percent(moisture);
    item.colour = Ebc(ebc);
    item.diastatic_power = WindischKolbach(wk);
    return item;
}

inline Item hop(const char* name, double alpha, const char* group) {
    Item item;
    item.name = name;
    item.kind = ItemKind::hop;
    item.alpha = Percent(alpha);
    item.group = group;
    return item;
}

// Received 2026-01-02, best before 2027-01-02, at 1.00 a kilogram.
inline LotState lot(const char* code, const char* item, double kg) {
    LotState state = lot_on_hand(code, item, Amount::of(Kilograms(kg)));
    state.lot.best_before = day("2027-01-02");
    state.lot.price = Money{static_cast<std::int64_t>(kg * 100.0 + 0.5)};
    return state;
}

inline std::vector<Item> cards() {
    return {malt("pale", "base", 81.5, 4.0, 6.0, 160.0),
            malt("lager", "base", 81.0, 4.5, 3.5, 260.0),
            malt("crystal", "caramel", 75.0, 5.0, 120.0, 0),
            malt("dark crystal", "caramel", 74.0, 5.0, 150.0, 0),
            hop("bitter", 12.0, "resin"),
            hop("floral", 5.0, "floral"),
            hop("blossom", 4.2, "floral")};
}

// 100 L: 20 kg pale, 1 kg crystal; 100 g bitter at 60 minutes, 150 g floral dry.
inline plan::BrewToFill pale_ale(const char* code, const char* date) {
    plan::BrewToFill brew;
    brew.code = code;
    brew.date = day(date);
    brew.volume = brew.brewhouse.volume = brew.recipe.volume = Litres(100.0);
    brew.brewhouse.name = "house";
    brew.recipe.name = "pale ale";
    brew.recipe.boil = Minutes(60.0);
    brew.recipe.grist = {{"pale", {}, Kilograms(20.0)}, {"crystal", {}, Kilograms(1.0)}};
    HopLine bittering;
    bittering.item = "bitter";
    bittering.minutes = Minutes(60.0);
    bittering.mass = Grams(100.0);
    HopLine dry;
    dry.item = "floral";
    dry.stage = Stage::dry;
    dry.mass = Grams(150.0);
    brew.recipe.hops = {bittering, dry};
    return brew;
}

} // namespace lotwort::test
