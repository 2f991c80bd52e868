#include "doubts.hpp"
#include "brew/meant_for.hpp"
#include "brew/stand_ins.hpp"
#include "stock/lot_day.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/sheet_guide.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/infer/reading_meaning.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/wort/gravity.hpp>
#include <map>
#include <tuple>

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
constexpr double brews_in_a_lot = 200.0;                            // a silo of a small house holds some twenty
constexpr double malt_kg_per_l = 0.3, hops_kg_per_l = 0.01;         // of a strong and of a very hoppy beer
constexpr double lorry_kg = 30000.0, least_doubted_kg = 20.0;       // where no kit is known; of any kit
constexpr double strongest_kg_per_l = 1.0, hoppiest_g_per_l = 50.0; // barley wines and hop soups stay below
constexpr Minutes longest_boil(240.0);
constexpr Percent weakest_alpha(1.0), strongest_alpha(25.0);
constexpr double beyond_recipe = 2.0;
constexpr double kettle_beyond_kit = 2.0;                // a long boil of weak runnings
constexpr double beyond_forecast = 5.0, read_sg = 0.002; // standard deviations; a hydrometer's, coarsely
constexpr double sg_per_plato = 0.004;

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

bool in_fermenter(ReadingPoint point) {
    return point == ReadingPoint::fermenter || is_fermented_point(point);
}

// What a gravity at that point is forecast to be.
std::optional<Estimate> expected_gravity(const PlannedBrew& planned, const Brewhouse& brewhouse, ReadingPoint point) {
    const Forecast& f = planned.forecast;
    if (f.extract_grist_kg <= 0.0) return std::nullopt;
    if (point == ReadingPoint::cast_out || point == ReadingPoint::fermenter) return f.original_gravity_sg;
    if (point != ReadingPoint::kettle_full) return std::nullopt;
    return Estimate{sheet_guide(planned, brewhouse, {}).kettle_gravity.value(), f.original_gravity_sg.sd};
}

// None where its recipe cannot be put on a day any more: then nothing is known against a reading.
std::optional<PlannedBrew> forecast_of(Call& call, const Brew& brew, const Book& book) {
    try {
        const auto lots = call.ledger().lots();
        const auto meant = meant_for(call, brew, book, lots);
        if (!meant) return std::nullopt;
        return meant->tells_volume ? as_weighed(meant->request, meant->brew, brew.additions) : meant->brew;
    } catch (const Error&) {
        return std::nullopt;
    }
}

void doubt_alpha(const Call& call, const std::optional<Percent>& alpha, const std::string& whose) {
    call.believe(!alpha || (*alpha >= weakest_alpha && *alpha <= strongest_alpha),
                 fmt::format("no hop is known of {} % alpha acids, as {} is said to have",
                             readable(alpha.value_or(Percent(0.0)).value()), whose),
                 "they are in per cent: 10 for 10 %");
}

} // namespace

void doubt_certificates(const Call& call, const std::vector<Lot>& lots) {
    for (const Lot& lot : lots)
        if (lot.certificate) doubt_alpha(call, lot.certificate->alpha, lot.item);
}

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

void doubt_typed_twice(Call& call, const std::vector<Lot>& lots) {
    const Lot& lot = lots.front();
    if (!lot.supplier_lot) return;
    for (const LotState& known : call.ledger().lots()) {
        const Lot& one = known.lot;
        if (std::tie(one.item, one.supplier, one.supplier_lot, one.received) !=
                std::tie(lot.item, lot.supplier, lot.supplier_lot, lot.received) ||
            one.received_amount != lot.received_amount)
            continue;
        call.believe(false,
                     fmt::format("this is a second {} of {} with the supplier's number {} on {}, beside {}",
                                 to_text(lot.received_amount), lot.item, *lot.supplier_lot, to_iso(lot.received),
                                 one.code),
                     "where it came once, nothing is left to book");
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

void doubt_recipe(const Call& call, const Recipe& recipe) {
    double malt_kg = 0.0;
    for (const GristLine& line : recipe.grist) malt_kg += line.mass.value_or(Kilograms(0.0)).value();
    call.believe(malt_kg <= strongest_kg_per_l * recipe.volume.value(),
                 fmt::format("{} kg of malt for {} L is more than any beer is mashed of", readable(malt_kg),
                             readable(recipe.volume.value())),
                 "look at the weights and their units");
    call.believe(recipe.boil.value_or(Minutes(0.0)) <= longest_boil,
                 fmt::format("a boil of {} min is longer than any beer is boiled",
                             readable(recipe.boil.value_or(Minutes(0.0)).value())),
                 "look at the minutes");
    for (const HopLine& line : recipe.hops) {
        const double grams = line.mass.value_or(Grams(0.0)).value();
        call.believe(grams <= hoppiest_g_per_l * recipe.volume.value(),
                     fmt::format("{} g of {} for {} L is more than any beer is hopped with", readable(grams), line.item,
                                 readable(recipe.volume.value())),
                     "look at the weight and its unit");
        doubt_alpha(call, line.alpha, line.item);
    }
}

void doubt_volume(const Call& call, Litres volume, const Brewhouse& brewhouse) {
    const double ratio = volume / brewhouse.volume;
    call.believe(ratio <= beyond_kit,
                 fmt::format("{} L is {} times the {} L that {} is meant for", readable(volume.value()),
                             fixed(ratio, 1), readable(brewhouse.volume.value()), brewhouse.name),
                 "look at the volume and its unit, or name another brewhouse with --brewhouse");
}

void doubt_full_vessels(const Call& call, const std::vector<Reading>& readings, const Brewhouse& brewhouse,
                        int brews_in_fermenter) {
    for (const Reading& reading : readings) {
        if (!reading.volume) continue;
        const auto vessel = std::ranges::find(brewhouse.vessels, reading.point, &Vessel::point);
        if (vessel == brewhouse.vessels.end() || vessel->dip_table.empty()) {
            const double times = in_fermenter(reading.point) ? beyond_kit * brews_in_fermenter : kettle_beyond_kit;
            call.believe(*reading.volume <= times * brewhouse.volume,
                         fmt::format("{} L at {} is {} times the {} L that {} is meant for",
                                     readable(reading.volume->value()), word(reading.point),
                                     fixed(*reading.volume / brewhouse.volume, 1), readable(brewhouse.volume.value()),
                                     brewhouse.name),
                         "look at the volume and its unit, and at the point");
            continue;
        }
        const Litres full = vessel->dip_table.back().volume;
        call.believe(*reading.volume <= full,
                     fmt::format("{} L at {} is more than the {} L that its dip table reaches to",
                                 readable(reading.volume->value()), word(reading.point), readable(full.value())),
                     "look at the volume and its unit, and at the point");
    }
}

// The kettle gathers what comes before it: its gravity lies between the last runnings' and the first wort's.
void doubt_runnings(const Call& call, const Reading& reading, double sg, const Estimate& kettle) {
    const double far = beyond_forecast * std::hypot(kettle.sd, read_sg);
    call.believe(reading.point != ReadingPoint::last_runnings || sg <= kettle.value + far,
                 fmt::format("last runnings of {} are stronger than the full kettle was to be, {}", fixed(sg, 4),
                             with_sd(kettle.value, kettle.sd, {}, 4)),
                 "look at the gravity, its temperature and the point");
    call.believe(reading.point != ReadingPoint::first_wort || sg >= kettle.value - far,
                 fmt::format("first wort of {} is weaker than the full kettle was to be, {}", fixed(sg, 4),
                             with_sd(kettle.value, kettle.sd, {}, 4)),
                 "look at the gravity, its temperature and the point");
}

void doubt_gravities(Call& call, const Brew& brew, const std::vector<Reading>& readings, const Book& book) {
    const auto is_of_wort = [](const Reading& reading) {
        return (reading.gravity_sg || reading.gravity_plato || reading.brix) &&
               (reading.point == ReadingPoint::first_wort || reading.point == ReadingPoint::last_runnings ||
                reading.point == ReadingPoint::kettle_full || reading.point == ReadingPoint::cast_out ||
                reading.point == ReadingPoint::fermenter);
    };
    const bool has_mashes = std::ranges::any_of(brew.additions, [](const Addition& a) { return a.mash.has_value(); });
    if (has_mashes || std::ranges::none_of(readings, is_of_wort)) return;
    const Brewhouse& brewhouse = known_brewhouse(book, brew.brewhouse);
    const auto planned = forecast_of(call, brew, book);
    if (!planned) return;
    for (const Reading& reading : readings) {
        const bool is_runnings =
            reading.point == ReadingPoint::first_wort || reading.point == ReadingPoint::last_runnings;
        const auto expected =
            expected_gravity(*planned, brewhouse, is_runnings ? ReadingPoint::kettle_full : reading.point);
        if (!is_of_wort(reading) || !expected) continue;
        const ReadingMeaning means = meaning_of(reading, brewhouse, book.instruments);
        if (!means.extract_plato) continue;
        const double sg = wort::specific_gravity_of(means.extract_plato->value / 100.0);
        if (is_runnings) {
            doubt_runnings(call, reading, sg, *expected);
            continue;
        }
        const double sd = std::hypot(expected->sd, std::max(read_sg, sg_per_plato * means.extract_plato->sd));
        const bool is_final = reading.point == ReadingPoint::fermenter && sg < expected->value;
        call.believe(std::abs(sg - expected->value) <= beyond_forecast * sd,
                     fmt::format("{} at {}, where this brew was to have {}", fixed(sg, 4), word(reading.point),
                                 with_sd(expected->value, expected->sd, {}, 4)),
                     is_final ? fmt::format("if beer has fermented to it, say so: lotwort measure {} final {}",
                                            shell_word(brew.code), fixed(sg, 4))
                              : "look at the gravity, its temperature and the point");
    }
}

void doubt_weights(const Call& call, const PlannedBrew& planned, const std::vector<Addition>& additions,
                   const std::vector<LotState>& lots, const std::vector<Addition>& before) {
    std::map<std::string, Amount> asked;
    std::map<std::string, std::int64_t> there, on_the_day; // reserved; asked before it ferments
    for (const PlannedLine& line : planned.lines) {
        if (line.kind != ItemKind::malt && line.kind != ItemKind::sugar && line.kind != ItemKind::hop) continue;
        const bool is_later = line.stage == Stage::dry || line.stage == Stage::fermenter;
        for (const TakenLot& taken : line.allotment.taken)
            if (!is_later) there[line.item] += taken.amount.units;
        if (!is_later) on_the_day[line.item] += line.needed.units;
        const auto [at, is_new] = asked.emplace(line.item, line.needed);
        if (!is_new && at->second.measure == line.needed.measure) at->second = at->second + line.needed;
    }
    for (const auto& [item, amount] : asked) {
        const Amount weighed = sum_of(additions, lots, item, amount.measure);
        const auto known = sum_of(before, lots, item, amount.measure).units;
        const auto most = beyond_recipe * static_cast<double>(std::max(amount.units, known));
        // what was not there could not be weighed, and what was weighed before is not doubted again
        auto least = static_cast<double>(there[item] > 0 ? std::min(on_the_day[item], there[item]) : on_the_day[item]);
        if (known > 0) least = std::min(least, static_cast<double>(known));
        const auto taken = static_cast<double>(weighed.units);
        call.believe(
            amount.units == 0 || (taken <= most && (taken == 0.0 || taken >= least / beyond_recipe)),
            fmt::format("{} of {} weighed, where the recipe asks for {}", to_text(weighed), item, to_text(amount)),
            "look at the weights and their units");
    }
}

} // namespace lotwort::verbs
