#include <algorithm>
#include <array>
#include <cmath>
#include <lotwort/core/nearest.hpp>
#include <lotwort/stock/yeast.hpp>

namespace lotwort {

namespace {

// Common practice; what each rests on stands in docs/methods/yeast.md.
constexpr double pack_billion = 100.0, dry_pack_g = 11.0, dry_g_billion = 10.0, slurry_ml_billion = 1.0;
constexpr double pack_loss_pct = 20.0, dry_loss_pct = 1.0, slurry_loss_pct = 25.0;
constexpr double ale_rate = 0.75, lager_rate = 1.5;
constexpr double days_in_month = 30.0;

bool says(const Item& item, std::string_view word) {
    return lowered(item.name).find(word) != std::string::npos;
}

bool is_dry(const Item& item) {
    return item.cells_per == CellsPer::g || says(item, "dry") || says(item, "dried");
}

bool may_be_used(const LotState& state, Date day) {
    const Lot& lot = state.lot;
    return state.free().units > 0 && !lot.held && lot.received <= day && (!lot.best_before || day <= *lot.best_before);
}

} // namespace

Measure measure_of(CellsPer per) {
    return per == CellsPer::g ? Measure::mass : per == CellsPer::ml ? Measure::volume : Measure::count;
}

double fresh_cells(const Item& item, Measure measure) {
    if (item.cells_billion && measure_of(item.cells_per.value_or(CellsPer::pack)) == measure)
        return *item.cells_billion;
    if (measure == Measure::count) return is_dry(item) ? dry_pack_g * fresh_cells(item, Measure::mass) : pack_billion;
    return measure == Measure::mass ? dry_g_billion : slurry_ml_billion;
}

double cells_lost_per_month(const Item& item, Measure measure) {
    if (item.cells_loss) return item.cells_loss->value();
    if (measure == Measure::volume) return slurry_loss_pct;
    return measure == Measure::mass || is_dry(item) ? dry_loss_pct : pack_loss_pct;
}

YeastCells yeast_cells(const Item& item, const Lot& lot, Date day) {
    const Measure measure = lot.received_amount.measure;
    // a harvest is slurry, though it be weighed: it weighs little more than water
    const Measure as = lot.generation && measure == Measure::mass ? Measure::volume : measure;
    YeastCells cells;
    cells.fresh = lot.cells_billion.value_or(fresh_cells(item, as));
    cells.loss_pct_per_month = cells_lost_per_month(item, as);
    cells.is_packed_stated = lot.packed.has_value();
    cells.since = lot.packed.value_or(lot.received);
    cells.days = std::max(0, static_cast<int>((day - cells.since).count()));
    cells.now = cells.fresh * std::pow(1.0 - cells.loss_pct_per_month / 100.0, cells.days / days_in_month);
    return cells;
}

double cells_in(Amount amount, double per_unit) {
    const double units = amount.measure == Measure::mass     ? amount.grams().value()
                         : amount.measure == Measure::volume ? amount.litres().value() * 1000.0
                                                             : static_cast<double>(amount.units);
    return units * per_unit;
}

PitchRate pitch_rate(const Item& item, std::optional<double> recipes) {
    if (recipes) return {*recipes, RateFrom::recipe};
    if (item.pitch_rate) return {*item.pitch_rate, RateFrom::item};
    const bool is_lager = says(item, "lager") || says(item, "pils");
    return is_lager ? PitchRate{lager_rate, RateFrom::lager} : PitchRate{ale_rate, RateFrom::ale};
}

double cells_wanted(const PitchRate& rate, Litres volume, Plato extract) {
    // million x mL = billion x L
    return rate.million_per_ml_plato * volume.value() * std::max(0.0, extract.value());
}

Measure yeast_measure(const Item& item, const std::vector<LotState>& lots, Date day,
                      const std::vector<std::string>& pinned, double wanted) {
    std::array<double, 3> there{}, named{}; // billions by measure
    const LotState* bought = nullptr;
    const auto key = [&](const LotState& state) { return std::pair(may_be_used(state, day), state.lot.received); };
    for (const LotState& state : lots) {
        if (state.lot.item != item.name) continue;
        const bool is_bought = !state.lot.generation && !state.lot.harvested_from;
        if (is_bought && (bought == nullptr || key(*bought) <= key(state))) bought = &state;
        if (!may_be_used(state, day)) continue;
        const double cells = cells_in(state.free(), yeast_cells(item, state.lot, day).now);
        const auto by = static_cast<std::size_t>(state.on_hand.measure);
        there[by] += cells;
        if (std::ranges::find(pinned, state.lot.code) != pinned.end()) named[by] += cells;
    }
    const auto most = [](const std::array<double, 3>& cells) {
        return static_cast<Measure>(std::ranges::max_element(cells) - cells.begin());
    };
    if (std::ranges::any_of(named, [](double cells) { return cells > 0.0; })) return most(named);
    if (std::ranges::any_of(there, [&](double cells) { return cells > 0.0 && cells >= wanted; })) return most(there);
    if (bought != nullptr) return bought->on_hand.measure; // what lacks is bought, and nobody sells a harvest
    return measure_of(item.cells_per.value_or(CellsPer::pack));
}

std::string_view unit_of_cells(Measure measure) {
    return measure == Measure::mass ? "a gram" : measure == Measure::volume ? "a millilitre" : "a pack";
}

} // namespace lotwort
