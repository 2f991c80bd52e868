#include "brew_plan.hpp"
#include "lot_day.hpp"
#include <algorithm>
#include <fmt/format.h>

namespace lotwort::cli {

namespace {

constexpr double enough = 0.98; // of what is asked for: certificates newer than the plan move it a little

// None for a plan that names what is no longer there: `plan` complains of it when it is looked at.
std::optional<PlannedBrew> drawn_up_anew(const Plan& plan, const Book& book, const std::vector<LotState>& lots) {
    try {
        return draw_up_plan(plan_request({plan.code, plan.date, plan.recipe, plan.brewhouse, plan.volume}, book,
                                         without_promises(plan, lots)));
    } catch (const Error&) {
        return std::nullopt;
    }
}

} // namespace

PlanRequest plan_request(const PlanWish& wish, const Book& book, std::vector<LotState> lots) {
    PlanRequest request;
    request.code = wish.code;
    request.date = wish.date;
    request.recipe = known_recipe(book, wish.recipe);
    request.brewhouse = chosen_brewhouse(book, wish.brewhouse);
    request.volume = wish.volume.value_or(request.recipe.volume);
    request.items = book.items;
    request.lots = std::move(lots);
    request.pins = wish.pins;
    return request;
}

std::vector<Pin> parse_pins(const Call& call, const std::vector<LotState>& lots) {
    std::vector<Pin> pins = read_each(call, "pin", [&](const std::string& text) {
        const auto equals = text.find('=');
        const Lot& lot = lot_among(lots, text.substr(0, equals)).lot;
        Pin pin{lot.code, std::nullopt};
        if (equals != std::string::npos) pin.amount = parse_amount_of(lot, text.substr(equals + 1));
        return pin;
    });
    for (auto pin = pins.begin(); pin != pins.end(); ++pin)
        if (std::find_if(pins.begin(), pin, [&](const Pin& other) { return other.lot == pin->lot; }) != pin)
            throw Error(ErrorKind::refused, fmt::format("--pin names {} twice", pin->lot), "write it once");
    return pins;
}

PlannedBrew open_plan(const Plan& plan, const Book& book, std::vector<LotState> lots, std::optional<Learned> learned) {
    PlanRequest request =
        plan_request({plan.code, plan.date, plan.recipe, plan.brewhouse, plan.volume}, book, std::move(lots));
    request.learned = std::move(learned);
    return plan.reserved.empty() ? draw_up_plan(request) : as_booked(request, plan);
}

const Plan* find_plan(const Book& book, std::string_view code) {
    const auto found = std::ranges::find(book.plans, code, &Plan::code);
    return found == book.plans.end() ? nullptr : &*found;
}

std::vector<std::string> plan_codes(const std::vector<Plan>& plans) {
    std::vector<std::string> codes;
    for (const Plan& plan : plans) codes.push_back(plan.code);
    return codes;
}

std::vector<report::PlanLack> lacks_of(const std::vector<Plan>& plans, const Book& book,
                                       const std::vector<LotState>& lots) {
    std::vector<report::PlanLack> lacks;
    for (const Plan& plan : plans) {
        if (plan.adopted || plan.cancelled) continue;
        const auto wanted = drawn_up_anew(plan, book, lots);
        if (!wanted) continue;
        for (const PlannedLine& line : wanted->lines) {
            Amount given{line.needed.measure, 0};
            for (const Reservation& reservation : plan.reserved)
                if (reservation.line == line.line && reservation.amount.measure == given.measure)
                    given = given + reservation.amount;
            if (plan.reserved.empty()) given = line.needed - line.allotment.missing;
            if (static_cast<double>(given.units) >= enough * static_cast<double>(line.needed.units)) continue;
            lacks.push_back({plan.code, plan.date, line.item, line.needed - given});
        }
    }
    return lacks;
}

std::vector<LotState> without_promises(const Plan& plan, std::vector<LotState> lots) {
    for (const auto& reservation : plan.reserved)
        for (auto& state : lots)
            if (state.lot.code == reservation.lot) state.promised = state.promised - reservation.amount;
    return lots;
}

} // namespace lotwort::cli
