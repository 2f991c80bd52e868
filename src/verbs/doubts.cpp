#include "doubts.hpp"
#include "stock/lot_day.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/text.hpp>
#include <map>

namespace lotwort::verbs {

void Call::believe(bool is_credible, const std::string& what, const std::string& hint) const {
    LOTWORT_CHECK(command_->doubts);
    if (is_credible || args.has("sure")) return;
    if (!surroundings.ask) throw Error(ErrorKind::refused, what, hint + "; if it is so, add --sure");
    const auto answer = surroundings.ask(what + "; is that so? (yes or no) ");
    if (answer && (*answer == "yes" || *answer == "y")) return;
    throw Error(ErrorKind::refused, what, "nothing was booked; " + hint);
}

namespace {

constexpr double far_off_price = 10.0; // times the last one; a small pack costs some times what a large one does
constexpr double beyond_kit = 1.5;
constexpr double brews_in_a_lot = 200.0;                      // a silo of a small house holds some twenty
constexpr double malt_kg_per_l = 0.3, hops_kg_per_l = 0.01;   // of a strong and of a very hoppy beer
constexpr double lorry_kg = 30000.0, least_doubted_kg = 20.0; // where no kit is known; of any kit
constexpr double beyond_recipe = 2.0;

double unit_price(const Lot& lot) {
    return static_cast<double>(lot.price->minor) / static_cast<double>(lot.received_amount.units);
}

// The item's last lot with a price, none of several being of the part.
std::optional<Lot> last_priced(const std::vector<LotState>& known, const Lot& like) {
    std::optional<Lot> last;
    for (const LotState& state : known) { // by day of receipt
        const Lot& lot = state.lot;
        if (lot.item == like.item && lot.price && lot.price->minor > 0 && !lot.harvested_from &&
            lot.received_amount.measure == like.received_amount.measure)
            last = lot;
    }
    return last;
}

std::string price_text(const Lot& lot) {
    return fmt::format("{} for {}", report::money_text(*lot.price), to_text(lot.received_amount));
}

Amount sum_of(const std::vector<Addition>& additions, const std::vector<LotState>& lots, const std::string& item,
              Measure measure) {
    Amount sum{measure, 0};
    for (const Addition& addition : additions) {
        const bool is_of_it =
            addition.instead_of ? *addition.instead_of == item : lot_among(lots, addition.lot).lot.item == item;
        if (is_of_it && addition.amount.measure == measure) sum = sum + addition.amount;
    }
    return sum;
}

} // namespace

void doubt_prices(Call& call, const std::vector<Lot>& lots) {
    if (std::ranges::none_of(lots, [](const Lot& lot) { return lot.price.has_value(); })) return;
    const std::vector<LotState> known = call.ledger().lots();
    for (const Lot& lot : lots) {
        if (!lot.price || lot.price->minor <= 0) continue;
        const auto last = last_priced(known, lot);
        if (!last) continue;
        const double ratio = unit_price(lot) / unit_price(*last);
        call.believe(
            ratio < far_off_price && ratio > 1.0 / far_off_price,
            fmt::format("{}: {} is {} what the last lot cost, {}: {}", lot.item, price_text(lot),
                        ratio > 1.0 ? fixed(ratio, 0) + " times" : fmt::format("a {}th of", fixed(1.0 / ratio, 0)),
                        last->code, price_text(*last)),
            "look at the amount and at the price, which is for the whole lot");
    }
}

void doubt_amounts(Call& call, const Book& part) {
    const auto is_large = [](const Lot& lot) {
        return lot.received_amount.measure == Measure::mass &&
               lot.received_amount.kilograms().value() > least_doubted_kg;
    };
    if (std::ranges::none_of(part.lots, is_large)) return;
    const Book known = call.ledger().definitions();
    double kit_l = 0.0;
    for (const Brewhouse& brewhouse : known.brewhouses) kit_l = std::max(kit_l, brewhouse.volume.value());
    for (const Lot& lot : part.lots) {
        if (!is_large(lot)) continue;
        const auto of_it = [&](const Item& item) { return item.name == lot.item; };
        const auto made = std::ranges::find_if(part.items, of_it);
        const auto item = made != part.items.end() ? made : std::ranges::find_if(known.items, of_it);
        const bool is_hop = item->kind == ItemKind::hop;
        const double of_kit = brews_in_a_lot * kit_l * (is_hop ? hops_kg_per_l : malt_kg_per_l);
        const double most = kit_l > 0.0 ? std::max(least_doubted_kg, of_kit) : lorry_kg;
        call.believe(lot.received_amount.kilograms().value() <= most,
                     kit_l > 0.0
                         ? fmt::format("{} of {} is more than {:.0f} brews of {} L take", to_text(lot.received_amount),
                                       lot.item, brews_in_a_lot, readable(kit_l))
                         : fmt::format("{} of {} is more than a lorry brings", to_text(lot.received_amount), lot.item),
                     "look at the amount and its unit");
    }
}

void doubt_volume(const Call& call, Litres volume, const Brewhouse& brewhouse) {
    const double ratio = volume / brewhouse.volume;
    call.believe(ratio <= beyond_kit,
                 fmt::format("{} L is {} times the {} L that {} is meant for", readable(volume.value()),
                             fixed(ratio, 1), readable(brewhouse.volume.value()), brewhouse.name),
                 "look at the volume and its unit, or name another brewhouse with --brewhouse");
}

void doubt_full_vessels(const Call& call, const std::vector<Reading>& readings, const Brewhouse& brewhouse) {
    for (const Reading& reading : readings) {
        const auto vessel = std::ranges::find(brewhouse.vessels, reading.point, &Vessel::point);
        if (!reading.volume || vessel == brewhouse.vessels.end() || vessel->dip_table.empty()) continue;
        const Litres full = vessel->dip_table.back().volume;
        call.believe(*reading.volume <= full,
                     fmt::format("{} L at {} is more than the {} L that its dip table reaches to",
                                 readable(reading.volume->value()), word(reading.point), readable(full.value())),
                     "look at the volume and its unit, and at the point");
    }
}

void doubt_weights(const Call& call, const PlannedBrew& planned, const std::vector<Addition>& additions,
                   const std::vector<LotState>& lots, const std::vector<Addition>& before) {
    std::map<std::string, Amount> asked;
    for (const PlannedLine& line : planned.lines) {
        if (line.kind != ItemKind::malt && line.kind != ItemKind::sugar && line.kind != ItemKind::hop) continue;
        const auto [at, is_new] = asked.emplace(line.item, line.needed);
        if (!is_new && at->second.measure == line.needed.measure) at->second = at->second + line.needed;
    }
    for (const auto& [item, amount] : asked) {
        const Amount weighed = sum_of(additions, lots, item, amount.measure);
        const auto known = sum_of(before, lots, item, amount.measure).units;
        const auto most = beyond_recipe * static_cast<double>(std::max(amount.units, known));
        call.believe(
            amount.units == 0 || static_cast<double>(weighed.units) <= most,
            fmt::format("{} of {} weighed, where the recipe asks for {}", to_text(weighed), item, to_text(amount)),
            "look at the weights and their units");
    }
}

} // namespace lotwort::verbs
