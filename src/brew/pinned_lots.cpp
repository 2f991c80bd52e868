#include "pinned_lots.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/nearest.hpp>

namespace lotwort {

namespace {

const LotState& lot_of(const PlanRequest& request, const Pin& pin) {
    const auto found = std::ranges::find(request.lots, pin.lot, [](const LotState& s) { return s.lot.code; });
    if (found != request.lots.end()) return *found;
    std::vector<std::string> codes;
    for (const auto& state : request.lots) codes.push_back(state.lot.code);
    throw Error(ErrorKind::refused, fmt::format("there is no lot `{}` to take", pin.lot), did_you_mean(pin.lot, codes));
}
const LotState& lot_of(const PlanRequest&&, const Pin&) = delete;

void demand(const PlanRequest& request, const Pin& pin, const std::vector<PlannedLine>& lines) {
    const LotState& state = lot_of(request, pin);
    const Lot& lot = state.lot;
    if (std::ranges::none_of(lines, [&](const PlannedLine& line) { return line.item == lot.item; }))
        throw Error(
            ErrorKind::refused,
            fmt::format("lot {} is {}, of which recipe `{}` takes nothing", lot.code, lot.item, request.recipe.name),
            "name a lot of one of its items, or change the recipe");
    if (pin.amount && pin.amount->units == 0) return;
    if (lot.held)
        throw Error(ErrorKind::refused, fmt::format("lot {} is on hold: {}", lot.code, *lot.held),
                    "name another lot, or release it first");
    if (lot.received > request.date)
        throw Error(ErrorKind::refused,
                    fmt::format("lot {} comes on {}, after the brew of {}", lot.code, to_iso(lot.received),
                                to_iso(request.date)),
                    "name another lot, or a later day");
    const Amount asked = pin.amount.value_or(Amount{state.on_hand.measure, 1});
    if (state.free() < asked)
        throw Error(ErrorKind::shortage,
                    fmt::format("not enough in stock: {} of lot {} is free{}{}", to_text(state.free()), lot.code,
                                pin.amount ? fmt::format(", of the {} asked of it", to_text(*pin.amount)) : "",
                                state.promised.units > 0
                                    ? fmt::format("; {} is promised to other brews", to_text(state.promised))
                                    : ""),
                    "name less of it, or another lot that is free");
}

std::string_view kept_by(Measure measure) {
    return measure == Measure::mass ? "mass" : measure == Measure::volume ? "volume" : "the piece";
}

// A litre of slurry serves no recipe that asks for pieces of dried yeast.
void demand_measure(const LotState& state, const std::string& recipe, const std::vector<PlannedLine>& lines) {
    const auto fits = [&](const PlannedLine& line) {
        return line.item != state.lot.item || line.needed.measure == state.on_hand.measure;
    };
    const auto other = std::ranges::find_if_not(lines, fits);
    if (other == lines.end() ||
        std::ranges::any_of(lines, [&](const PlannedLine& line) { return line.item == state.lot.item && fits(line); }))
        return;
    throw Error(ErrorKind::refused,
                fmt::format("lot {} is kept by {}, and recipe `{}` takes {} by {}", state.lot.code,
                            kept_by(state.on_hand.measure), recipe, state.lot.item, kept_by(other->needed.measure)),
                "leave it out, and add it on the brew day");
}

} // namespace

void demand_pins(const PlanRequest& request, const std::vector<PlannedLine>& lines) {
    for (const Pin& pin : request.pins) demand(request, pin, lines);
}

void demand_pins_taken(const PlanRequest& request, const std::vector<PlannedLine>& lines) {
    for (const Pin& pin : request.pins) {
        if (!pin.amount || pin.amount->units > 0) demand_measure(lot_of(request, pin), request.recipe.name, lines);
        if (!pin.amount) continue;
        Amount taken{pin.amount->measure, 0};
        for (const PlannedLine& line : lines)
            for (const TakenLot& part : line.allotment.taken)
                if (part.lot == pin.lot) taken = taken + part.amount;
        if (taken == *pin.amount) continue;
        throw Error(ErrorKind::refused,
                    fmt::format("the brew takes {} of lot {}, not the {} asked of it", to_text(taken), pin.lot,
                                to_text(*pin.amount)),
                    fmt::format("name the lot alone, to take of it what the brew takes: {}", pin.lot));
    }
}

std::vector<std::string> pin_remarks(const PlanRequest& request) {
    std::vector<std::string> remarks;
    for (const Pin& pin : request.pins) {
        const Lot& lot = lot_of(request, pin).lot;
        const bool is_taken = !pin.amount || pin.amount->units > 0;
        if (is_taken && lot.best_before && *lot.best_before < request.date)
            remarks.push_back(fmt::format("{} is taken as you say, though it was best before {}", lot.code,
                                          to_iso(*lot.best_before)));
    }
    return remarks;
}

} // namespace lotwort
