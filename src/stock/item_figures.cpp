#include <algorithm>
#include <functional>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/stock/item_figures.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort {

namespace {

constexpr std::size_t most_last_lots = 3;

bool is_papers(const Figure& figure) {
    return figure.origin == Origin::retest || figure.origin == Origin::certificate;
}

// The item's lots in the order they came, the latest first.
std::vector<const LotState*> lots_of(const Item& item, const std::vector<LotState>& lots, Date day) {
    std::vector<const LotState*> own;
    for (const LotState& state : lots)
        if (state.lot.item == item.name && state.lot.received <= day) own.push_back(&state);
    std::ranges::stable_sort(own, std::greater<>{}, [](const LotState* s) { return s->lot.received; });
    return own;
}

std::vector<const LotState*> lots_of(const Item&, const std::vector<LotState>&&, Date) = delete;

// The mean of a figure over the lots on hand by mass, else over the last that state it.
template <class FigureOf>
std::optional<double> mean_of(const std::vector<const LotState*>& own, FigureOf figure_of) {
    double sum = 0.0, kg = 0.0, last_sum = 0.0;
    std::size_t last = 0;
    for (const LotState* state : own) {
        const Figure figure = figure_of(state->lot);
        if (!is_papers(figure)) continue;
        const bool is_there = state->on_hand.measure == Measure::mass && state->on_hand.units > 0;
        if (is_there) {
            const double mass = state->on_hand.kilograms().value();
            sum += mass * figure.value;
            kg += mass;
        }
        if (last < most_last_lots) {
            last_sum += figure.value;
            ++last;
        }
    }
    if (kg > 0.0) return sum / kg;
    return last > 0 ? std::optional(last_sum / static_cast<double>(last)) : std::nullopt;
}

} // namespace

Item item_as_known(Item item, const std::vector<LotState>& lots, Date day) {
    const Item card = item;
    const auto own = lots_of(card, lots, day);
    if (own.empty()) return item;
    if (card.kind == ItemKind::hop) {
        if (!card.alpha)
            if (const auto alpha = mean_of(own, [&](const Lot& lot) {
                    const HopAge age = hop_age(card, lot, day);
                    return Figure{age.alpha_pct.value, 0.0, age.stated_pct.origin};
                }))
                item.alpha = Percent(*alpha);
        return item;
    }
    if (card.kind != ItemKind::malt && card.kind != ItemKind::sugar) return item;
    const auto figure = [&](Figure MaltFigures::*field) {
        return mean_of(own, [&, field](const Lot& lot) { return malt_figures(card, lot, day).*field; });
    };
    if (!card.extract)
        if (const auto extract = figure(&MaltFigures::extract_fine_dry_pct)) {
            item.extract = Percent(*extract);
            item.extract_basis = ExtractBasis::fine_dry;
        }
    if (!card.moisture)
        if (const auto moisture = figure(&MaltFigures::moisture_pct)) item.moisture = Percent(*moisture);
    if (!card.colour)
        if (const auto colour = figure(&MaltFigures::colour_ebc)) item.colour = Ebc(*colour);
    if (!card.diastatic_power)
        if (const auto power = figure(&MaltFigures::diastatic_power_wk)) item.diastatic_power = WindischKolbach(*power);
    return item;
}

std::vector<Item> items_as_known(std::vector<Item> items, const std::vector<LotState>& lots, Date day) {
    for (Item& item : items) item = item_as_known(std::move(item), lots, day);
    return items;
}

} // namespace lotwort
