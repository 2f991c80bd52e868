#include "brew_plan.hpp"
#include "lot_day.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <map>

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

PlanRequest request_of(const Plan& plan, const Book& book, std::vector<LotState> lots, std::optional<Learned> learned) {
    PlanRequest request =
        plan_request({plan.code, plan.date, plan.recipe, plan.brewhouse, plan.volume}, book, std::move(lots));
    request.learned = std::move(learned);
    return request;
}

// What of its reservations is still there to take: a lot on hold gives nothing, and of what was promised beyond what is
// there the earlier plans have theirs.
Plan as_kept(const Plan& plan, const Book& book, const std::vector<LotState>& lots) {
    std::map<std::string, std::int64_t> left;
    for (const LotState& state : lots) left[state.lot.code] = state.lot.held ? 0 : state.on_hand.units;
    std::vector<const Plan*> in_turn;
    for (const Plan& other : book.plans)
        if (!other.cancelled) in_turn.push_back(&other);
    std::ranges::stable_sort(in_turn, {}, &Plan::date);
    Plan kept = plan;
    kept.reserved.clear();
    for (const Plan* other : in_turn) {
        const bool is_it = other->code == plan.code;
        for (Reservation reservation : other->reserved) {
            std::int64_t& there = left[reservation.lot];
            reservation.amount.units = std::min(reservation.amount.units, there);
            there -= reservation.amount.units;
            if (is_it && reservation.amount.units > 0) kept.reserved.push_back(reservation);
        }
        if (is_it) break;
    }
    return kept;
}

Amount reserved_for(const Plan& plan, int line, Measure measure) {
    Amount sum{measure, 0};
    for (const Reservation& reservation : plan.reserved)
        if (reservation.line == line && reservation.amount.measure == measure) sum = sum + reservation.amount;
    return sum;
}

// Line by line; the item is of the plan as drawn up now, or of the lot that is gone where a substitution has its own
// measure.
std::vector<LineLack> lines_lacking(const Plan& plan, const Plan& kept, const Book& book,
                                    const std::vector<LotState>& lots) {
    std::vector<LineLack> lacks;
    if (plan.cancelled) return lacks;
    if (plan.adopted) {
        for (const Reservation& asked : plan.reserved) {
            const Measure measure = asked.amount.measure;
            const bool is_said =
                std::ranges::any_of(lacks, [&](const LineLack& l) { return l.lack.line == asked.line; });
            const Amount gone = reserved_for(plan, asked.line, measure) - reserved_for(kept, asked.line, measure);
            const auto lot = std::ranges::find(lots, asked.lot, [](const LotState& s) { return s.lot.code; });
            if (gone.units > 0 && !is_said && lot != lots.end()) lacks.push_back({{asked.line, gone}, lot->lot.item});
        }
        return lacks;
    }
    const auto wanted = drawn_up_anew(plan, book, lots);
    if (!wanted) return lacks;
    for (const PlannedLine& line : wanted->lines) {
        const Amount given = plan.reserved.empty() ? line.needed - line.allotment.missing
                                                   : reserved_for(kept, line.line, line.needed.measure);
        if (static_cast<double>(given.units) >= enough * static_cast<double>(line.needed.units)) continue;
        lacks.push_back({{line.line, line.needed - given}, line.item});
    }
    return lacks;
}

// Plans that have reserved nothing take what is free in turn, the earlier first.
void take_in_turn(const Plan& plan, const Book& book, std::vector<LotState>& lots) {
    if (plan.cancelled || !plan.reserved.empty()) return;
    const auto wanted = drawn_up_anew(plan, book, lots);
    if (!wanted) return;
    for (const PlannedLine& line : wanted->lines) promise(lots, line.allotment.taken);
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
    for (const Plan& other : book.plans) { // by date
        if (!plan.reserved.empty() || other.code == plan.code) break;
        take_in_turn(other, book, lots);
    }
    const Plan kept = as_kept(plan, book, lots);
    std::vector<Lacking> lacking;
    for (const LineLack& line : lines_lacking(plan, kept, book, lots)) lacking.push_back(line.lack);
    const PlanRequest request = request_of(plan, book, std::move(lots), std::move(learned));
    return plan.reserved.empty() ? draw_up_plan(request) : as_booked(request, kept, lacking);
}

PlannedBrew reserved_plan(const Plan& plan, const Book& book, std::vector<LotState> lots,
                          std::optional<Learned> learned) {
    const PlanRequest request = request_of(plan, book, std::move(lots), std::move(learned));
    return plan.reserved.empty() ? draw_up_plan(request) : as_booked(request, plan);
}

PlannedBrew plan_as_made(const Plan& plan, const Book& book, std::vector<LotState> lots,
                         std::optional<Learned> learned) {
    std::vector<Lacking> lacking;
    for (const LineLack& line : lines_lacking(plan, plan, book, lots)) lacking.push_back(line.lack);
    const PlanRequest request = request_of(plan, book, std::move(lots), std::move(learned));
    return plan.reserved.empty() ? draw_up_plan(request) : as_booked(request, plan, lacking);
}

const Plan* find_plan(const Book& book, std::string_view code) {
    const auto found = find_name(plan_codes(book.plans), code);
    return found ? &book.plans[*found] : nullptr;
}

std::vector<std::string> plan_codes(const std::vector<Plan>& plans) {
    std::vector<std::string> codes;
    for (const Plan& plan : plans) codes.push_back(plan.code);
    return codes;
}

std::vector<report::PlanLack> lacks_of(const std::vector<Plan>& plans, const Book& book,
                                       const std::vector<LotState>& lots) {
    std::vector<report::PlanLack> lacks;
    std::vector<LotState> left = lots;
    for (const Plan& plan : plans) {
        for (const LineLack& line : lines_lacking(plan, as_kept(plan, book, lots), book, left))
            lacks.push_back({plan.code, plan.date, line.item, line.lack.missing});
        take_in_turn(plan, book, left);
    }
    return lacks;
}

PlanStanding standing_of(const Plan& plan, const Book& book, const std::vector<LotState>& lots) {
    PlanStanding standing{as_kept(plan, book, lots), {}};
    if (!plan.reserved.empty()) {
        standing.lacks = lines_lacking(plan, standing.kept, book, lots);
        return standing;
    }
    for (const PlannedLine& line : draw_up_plan(request_of(plan, book, lots, std::nullopt)).lines)
        standing.lacks.push_back({{line.line, line.needed}, line.item});
    return standing;
}

std::vector<LotState> without_promises(const Plan& plan, std::vector<LotState> lots) {
    for (const auto& reservation : plan.reserved)
        for (auto& state : lots)
            if (state.lot.code == reservation.lot) state.promised = state.promised - reservation.amount;
    return lots;
}

} // namespace lotwort::cli
