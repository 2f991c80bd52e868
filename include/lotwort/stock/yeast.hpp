// Yeast by its cells: what a pack, a gram or a millilitre holds on a day, and what a wort asks for.
//
// A brewer buys packs and pitches cells. None of it is a measurement: the figures are common practice, each stated with
// what rests on it in docs/methods/yeast.md, and each can be set on the item, the lot or the recipe.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/core/quantity.hpp>
#include <lotwort/stock/lot.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

// Billions of living cells in a pack, a gram or a millilitre of a yeast.
struct YeastCells {
    double fresh = 0.0; // as packed or harvested
    double now = 0.0;   // fresh (1 - loss)^(days / 30)
    double loss_pct_per_month = 0.0;
    Date since; // packed, else harvested or received
    int days = 0;
    bool is_packed_stated = false;
};

// Of a lot on a day, by its measure: what the lot states, else the item, else common practice (fresh_cells). A day
// before `since` counts as fresh.
[[nodiscard]] YeastCells yeast_cells(const Item& item, const Lot& lot, Date day);

// Of a fresh delivery of the item: what it states for that measure. Else by common practice: 100 billion a pack (11 g
// in a dry one), 10 a gram of dry yeast and 1 a millilitre of slurry. Dry is what has the word in its name, or states
// its cells by the gram.
[[nodiscard]] double fresh_cells(const Item& item, Measure measure);

// Per cent that die in a month: as the item states, else 1 of dry yeast, 25 of a slurry, 20 of packs.
[[nodiscard]] double cells_lost_per_month(const Item& item, Measure measure);

[[nodiscard]] double cells_in(Amount amount, double per_unit); // billions

enum class RateFrom { recipe, item, ale, lager };
struct PitchRate {
    double million_per_ml_plato = 0.0;
    RateFrom from = RateFrom::ale;
};
// The recipe's, else the item's, else common practice: 1.5 where the yeast's name says lager or pilsner, else 0.75.
[[nodiscard]] PitchRate pitch_rate(const Item& item, std::optional<double> recipes);

// Billions: rate x mL x °P.
[[nodiscard]] double cells_wanted(const PitchRate& rate, Litres volume, Plato extract);

// What it is counted in on a day for a brew that wants so many billions: as the lots named for it; else as the lots that
// may be used and hold most, where they hold enough; else, to be bought, as the lot that was bought last (one that may be used
// before all) or the item states, and in packs where neither is.
[[nodiscard]] Measure yeast_measure(const Item& item, const std::vector<LotState>& lots, Date day,
                                    const std::vector<std::string>& pinned, double wanted);

[[nodiscard]] Measure measure_of(CellsPer per);

// "a pack", "a gram", "a millilitre"
[[nodiscard]] std::string_view unit_of_cells(Measure measure);

} // namespace lotwort
