#include "plan_yeast.hpp"
#include "plan_parts.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/rules.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/stock/yeast.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort {

namespace {

constexpr double near_enough = 0.1;   // of what is wanted
constexpr double worth_saying = 0.75; // of what is wanted, below which a stated amount is remarked on
constexpr std::int64_t all_there_is = 1'000'000'000'000'000;

// Upwards; of packs what is nearly there needs no other.
Amount as_taken(double billion, double spare, double per_unit, Measure measure) {
    if (measure == Measure::count)
        return Amount::pieces(static_cast<std::int64_t>(std::ceil((billion - spare) / per_unit - 1e-9)));
    const double units = billion / per_unit;
    if (measure == Measure::mass) return Amount::of(Grams(std::ceil(units * 10.0 - 1e-6) / 10.0));
    return Amount::of(Litres(std::ceil(units - 1e-6) / 1000.0));
}

std::string billions(double value) {
    return fmt::format("{:.{}f}", value, value < 10.0 ? 1 : 0);
}

std::string rate_text(const PitchRate& rate) {
    const std::string figure = fmt::format("{} million per mL and °P", shortest(rate.million_per_ml_plato));
    switch (rate.from) {
    case RateFrom::recipe:
        return figure + ", by the recipe";
    case RateFrom::item:
        return figure + ", by its item";
    case RateFrom::ale:
        return figure + ", common practice for ale";
    case RateFrom::lager:
        return figure + ", common practice for lager";
    }
    return figure;
}

SpecificGravity gravity_of(const PlanRequest& request, const Forecast& forecast) {
    return request.recipe.original_gravity.value_or(SpecificGravity(forecast.original_gravity_sg.value));
}

double cells_of(const Part& part, Date day) {
    const double per_unit = part.lot != nullptr ? yeast_cells(*part.item, *part.lot, day).now
                                                : fresh_cells(*part.item, part.amount.measure);
    return cells_in(part.amount, per_unit);
}

// "YST-1, packed 60 days before, holds about 64 of 100 billion a pack"
std::string held_text(const Part& part, Date day) {
    if (part.lot == nullptr)
        return fmt::format("what is to come of it is taken at {} billion {}, fresh",
                           readable(fresh_cells(*part.item, part.amount.measure)), unit_of_cells(part.amount.measure));
    const YeastCells cells = yeast_cells(*part.item, *part.lot, day);
    const std::string since = cells.is_packed_stated ? "packed" : part.lot->harvested_from ? "harvested" : "received";
    return fmt::format("{}, {} {}, holds about {} of {} billion {}", part.lot->code, since,
                       cells.days == 0   ? "that day"
                       : cells.days == 1 ? "a day before"
                                         : fmt::format("{} days before", cells.days),
                       cells.fresh < 10.0 ? fmt::format("{:.2f}", cells.now) : billions(cells.now),
                       readable(cells.fresh), unit_of_cells(part.amount.measure));
}

} // namespace

bool is_counted(const OtherLine& line, const Item& item) {
    return item.kind == ItemKind::yeast && states_no_amount(line);
}

double cells_for(const PlanRequest& request, const Item& yeast, SpecificGravity gravity) {
    return cells_wanted(pitch_rate(yeast, request.recipe.pitch_rate), request.volume, wort::plato(gravity));
}

Amount yeast_needed(const Item& yeast, double wanted, const std::vector<LotState>& lots, Date day,
                    const std::vector<Pin>& pins) {
    std::vector<std::string> pinned;
    for (const Pin& pin : pins)
        if (!pin.amount || pin.amount->units > 0) pinned.push_back(pin.lot);
    double left = wanted;
    const double spare = near_enough * wanted;
    const Measure measure = yeast_measure(yeast, lots, day, pinned, wanted - spare);
    Amount needed{measure, 0};
    for (const TakenLot& there : reserve(lots, yeast.name, {measure, all_there_is}, day, pins).taken) {
        if (left <= spare) break;
        const auto state = std::ranges::find(lots, there.lot, [](const LotState& s) { return s.lot.code; });
        const double per_unit = yeast_cells(yeast, state->lot, day).now;
        const double most = cells_in(there.amount, per_unit);
        const Amount take =
            most < left - spare ? there.amount : std::min(there.amount, as_taken(left, spare, per_unit, measure));
        needed = needed + take;
        left -= cells_in(take, per_unit);
    }
    if (left > spare) needed = needed + as_taken(left, spare, fresh_cells(yeast, measure), measure);
    return needed;
}

std::vector<std::string> yeast_remarks(const PlanRequest& request, const PlannedBrew& planned) {
    std::vector<std::string> remarks;
    const std::size_t first = request.recipe.grist.size() + request.recipe.hops.size();
    const SpecificGravity gravity = gravity_of(request, planned.forecast);
    if (gravity.value() <= 1.0) return remarks; // nothing is known of the wort
    for (std::size_t i = 0; i < request.recipe.others.size(); ++i) {
        const PlannedLine& line = planned.lines[first + i];
        if (line.kind != ItemKind::yeast) continue;
        const Item& yeast = item_named(request, line.item);
        const double wanted = cells_for(request, yeast, gravity);
        const auto parts = parts_of(request, line);
        double held = 0.0;
        for (const Part& part : parts) held += cells_of(part, request.date);
        const bool counted = is_counted(request.recipe.others[i], yeast);
        if (!counted && (held >= worth_saying * wanted || parts.empty())) continue;
        std::string text =
            fmt::format("{} L at {:.4f} ask for {} billion cells of {} ({})",
                        shortest(std::round(request.volume.value() * 100.0) / 100.0), gravity.value(), billions(wanted),
                        line.item, rate_text(pitch_rate(yeast, request.recipe.pitch_rate)));
        if (!counted)
            text += fmt::format(", and the recipe's {} come to about {}", to_text(line.needed), billions(held));
        for (const Part& part : parts) text += "; " + held_text(part, request.date);
        remarks.push_back(std::move(text));
    }
    return remarks;
}

} // namespace lotwort
