#include <algorithm>
#include <lotwort/brew/plan_lacks.hpp>
#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/core/error.hpp>

namespace lotwort {

namespace {

std::optional<PlannedBrew> drawn_up_anew(const Plan& plan, const Book& book, const std::vector<LotState>& lots) {
    try {
        auto request = request_for(plan, book, without_promises(plan, lots));
        return request ? std::optional(drawn_of_its_lots(plan, std::move(*request))) : std::nullopt;
    } catch (const Error&) { // `plan` complains of it when it is looked at
        return std::nullopt;
    }
}

Amount reserved_for(const Plan& plan, int line, Measure measure) {
    Amount sum{measure, 0};
    for (const Reservation& reservation : plan.reserved)
        if (reservation.line == line && reservation.amount.measure == measure) sum = sum + reservation.amount;
    return sum;
}

const Lot* lot_of(const std::vector<LotState>& lots, const std::string& code) {
    const auto found = std::ranges::find(lots, code, [](const LotState& s) { return s.lot.code; });
    return found != lots.end() ? &found->lot : nullptr;
}

// What it reserved and has no more, of the item of the lot that is gone.
std::vector<LineShort> short_of_reserved(const Plan& plan, const Plan& kept, const std::vector<LotState>& lots) {
    std::vector<LineShort> lines;
    for (const Reservation& asked : plan.reserved) {
        const Amount all = reserved_for(plan, asked.line, asked.amount.measure);
        const Amount gone = all - reserved_for(kept, asked.line, asked.amount.measure);
        const bool is_said = std::ranges::any_of(lines, [&](const LineShort& l) { return l.line == asked.line; });
        const Lot* lot = lot_of(lots, asked.lot);
        if (gone.units > 0 && !is_said && lot != nullptr) lines.push_back({asked.line, lot->item, all, gone});
    }
    return lines;
}

// The recipe's item of a line: grist, then hops, then others.
std::optional<std::string> item_of_line(const Recipe& recipe, int line) {
    auto at = static_cast<std::size_t>(line);
    if (at < recipe.grist.size()) return recipe.grist[at].item;
    at -= recipe.grist.size();
    if (at < recipe.hops.size()) return recipe.hops[at].item;
    at -= recipe.hops.size();
    return at < recipe.others.size() ? std::optional(recipe.others[at].item) : std::nullopt;
}

// What it left to be got when the substitution was taken.
void add_awaited(const Plan& plan, const Book& book, std::vector<LineShort>& lines) {
    const auto recipe = std::ranges::find(book.recipes, plan.recipe, &Recipe::name);
    if (recipe == book.recipes.end()) return;
    for (const Awaited& one : plan.awaited) {
        const auto item = item_of_line(*recipe, one.line);
        if (!item) continue;
        const auto said = std::ranges::find(lines, one.line, &LineShort::line);
        if (said != lines.end() && said->by.measure == one.amount.measure) {
            said->needed = said->needed + one.amount;
            said->by = said->by + one.amount;
        } else {
            lines.push_back(
                {one.line, *item, reserved_for(plan, one.line, one.amount.measure) + one.amount, one.amount});
        }
    }
}

// What open orders bring of an item, and how much of it is spoken for.
struct Incoming {
    Date arrives;
    std::string item;
    Amount left;
};

std::vector<Incoming> incoming_of(const std::vector<Order>& orders, const std::vector<LotState>& lots) {
    std::vector<Incoming> all;
    for (const Order& order : orders) {
        if (!order.arrives) continue;
        for (const OrderRest& rest : rest_of(order, lots))
            all.push_back({*order.arrives, order.lines[rest.line].item, rest.awaited});
    }
    std::ranges::stable_sort(all, {}, &Incoming::arrives);
    return all;
}

void take_from_orders(PlanLack& lack, std::vector<Incoming>& incoming) {
    for (Incoming& order : incoming) {
        if (order.item != lack.line.item || order.left.measure != lack.missing.measure || order.left.units <= 0)
            continue;
        if (order.arrives > lack.date) {
            if (!lack.more_due) lack.more_due = order.arrives;
            lack.due_later = lack.due_later + order.left;
            continue;
        }
        const Amount take = std::min(order.left, lack.missing);
        order.left = order.left - take;
        lack.from_orders = lack.from_orders + take;
        lack.missing = lack.missing - take;
    }
}

// A lot stands once a line: more of it is one weighing.
void add_to(std::vector<Reservation>& reserved, const Reservation& more) {
    // packs or slurry, never both to a line: they are counted in different units
    std::erase_if(reserved, [&](const Reservation& known) {
        return known.line == more.line && known.amount.measure != more.amount.measure;
    });
    const auto same = std::ranges::find_if(reserved, [&](const Reservation& known) {
        return known.line == more.line && known.lot == more.lot && known.instead_of == more.instead_of;
    });
    if (same == reserved.end())
        reserved.push_back(more);
    else
        same->amount = same->amount + more.amount;
}

// Promised what these plans have of them, and no more: a plan that is brewed has nothing.
std::vector<LotState> promised_to(const std::vector<Plan>& plans, std::vector<LotState> lots) {
    for (LotState& state : lots) state.promised.units = 0;
    for (const Plan& plan : plans)
        if (!plan.cancelled)
            for (const Reservation& reservation : plan.reserved)
                for (LotState& state : lots)
                    if (state.lot.code == reservation.lot) state.promised = state.promised + reservation.amount;
    return lots;
}

// The lots without what the plan has of them, so that its own promise does not stand in its way.
std::vector<LotState> beside(const Plan& kept, std::vector<LotState> lots) {
    for (const Reservation& reservation : kept.reserved)
        for (LotState& state : lots)
            if (state.lot.code == reservation.lot) {
                state.on_hand = state.on_hand - reservation.amount;
                state.promised = state.promised - reservation.amount;
            }
    return lots;
}

} // namespace

std::optional<PlanRequest> request_for(const Plan& plan, const Book& book, std::vector<LotState> lots) {
    const auto recipe = std::ranges::find(book.recipes, plan.recipe, &Recipe::name);
    const auto house = plan.brewhouse ? std::ranges::find(book.brewhouses, *plan.brewhouse, &Brewhouse::name)
                                      : book.brewhouses.begin();
    const bool is_one = plan.brewhouse || book.brewhouses.size() == 1;
    if (recipe == book.recipes.end() || house == book.brewhouses.end() || !is_one) return std::nullopt;
    PlanRequest request;
    request.code = plan.code;
    request.date = plan.date;
    request.recipe = *recipe;
    request.brewhouse = *house;
    request.volume = plan.volume.value_or(recipe->volume);
    request.items = book.items;
    request.lots = std::move(lots);
    request.crop_lots = crop_lots(plan, request.lots);
    return request;
}

std::optional<std::vector<std::string>> crop_lots(const Plan& plan, const std::vector<LotState>& lots) {
    if (!plan.yeast_of_plan && !plan.yeast_of_brew) return std::nullopt;
    std::vector<std::string> harvested;
    for (const LotState& state : lots)
        if (plan.yeast_of_brew && state.lot.harvested_from == plan.yeast_of_brew && state.on_hand.units > 0)
            harvested.push_back(state.lot.code);
    return harvested;
}

namespace {

bool has_too_little_yeast(const PlannedBrew& drawn) {
    return std::ranges::any_of(drawn.lines, [](const PlannedLine& line) {
        return line.kind == ItemKind::yeast && line.is_short() && !line.allotment.taken.empty();
    });
}

// Packs that do not reach, where slurry would, or the other way: all of the other, unless a lot was named for it.
PlannedBrew of_other_yeast(const Plan& plan, PlanRequest request, PlannedBrew of_its_own) {
    for (const PlannedLine& line : of_its_own.lines)
        for (const Reservation& had : plan.reserved)
            if (line.kind == ItemKind::yeast && line.line == had.line && line.is_short() && !had.pinned)
                std::erase_if(request.pins, [&](const Pin& pin) { return pin.lot == had.lot; });
    PlannedBrew other = draw_up_plan(request);
    return has_too_little_yeast(other) ? of_its_own : other;
}

} // namespace

PlannedBrew drawn_of_its_lots(const Plan& plan, PlanRequest request) {
    for (const Reservation& had : plan.reserved)
        if (std::ranges::find(request.pins, had.lot, &Pin::lot) == request.pins.end())
            request.pins.push_back({had.lot, std::nullopt});
    try {
        PlannedBrew of_its_own = draw_up_plan(request);
        return has_too_little_yeast(of_its_own) ? of_other_yeast(plan, std::move(request), std::move(of_its_own))
                                                : of_its_own;
    } catch (const Error&) { // one of them cannot serve any more
        request.pins.clear();
        return draw_up_plan(request);
    }
}

std::vector<LotState> without_promises(const Plan& plan, std::vector<LotState> lots) {
    for (const auto& reservation : plan.reserved)
        for (auto& state : lots)
            if (state.lot.code == reservation.lot) state.promised = state.promised - reservation.amount;
    return lots;
}

std::vector<LineShort> lines_short(const Plan& plan, const Plan& kept, const Book& book,
                                   const std::vector<LotState>& lots) {
    if (plan.cancelled) return {};
    std::vector<LineShort> lines;
    if (plan.adopted) {
        lines = short_of_reserved(plan, kept, lots);
        add_awaited(plan, book, lines);
        return lines;
    }
    const auto wanted = drawn_up_anew(plan, book, lots);
    if (!wanted) return lines;
    for (const PlannedLine& line : wanted->lines) {
        const Amount given = reserved_for(kept, line.line, line.needed.measure);
        if (line.needed.units == 0) continue; // its yeast is to be cropped
        if (given.units > 0 && is_near_enough(line, line.needed - given)) continue;
        lines.push_back({line.line, line.item, line.needed, line.needed - given});
    }
    return lines;
}

std::vector<PlanLack> plan_lacks(const Book& book, const std::vector<LotState>& lots) {
    std::vector<Plan> plans = book.plans;
    std::ranges::stable_sort(plans, {}, &Plan::date);
    const std::vector<Plan> kept = kept_promises(plans, lots);
    std::vector<LotState> left = promised_to(kept, lots);
    const std::vector<LotState> standing = promised_to(plans, lots);
    auto incoming = incoming_of(book.orders, lots);
    std::vector<PlanLack> lacks;
    for (std::size_t p = 0; p < plans.size(); ++p)
        for (LineShort& line : lines_short(plans[p], kept[p], book, standing)) {
            const Allotment found = reserve(beside(kept[p], left), line.item, line.by, plans[p].date);
            promise(left, found.taken);
            PlanLack lack{plans[p].code,
                          plans[p].date,
                          line,
                          line.by - found.missing,
                          {line.by.measure, 0},
                          found.missing,
                          found.passed_over,
                          {},
                          found.taken,
                          {line.by.measure, 0}};
            take_from_orders(lack, incoming);
            lacks.push_back(std::move(lack));
        }
    return lacks;
}

namespace {

// Each with what is there still of what it reserved, and what is free of what it lacks.
std::vector<Plan> filled(const Book& book, const std::vector<LotState>& lots) {
    std::vector<Plan> plans = kept_promises(book.plans, lots);
    for (Plan& plan : plans) plan.awaited.clear();
    for (const PlanLack& lack : plan_lacks(book, lots)) {
        const auto plan = std::ranges::find(plans, lack.plan, &Plan::code);
        const auto recipe = std::ranges::find(book.recipes, plan->recipe, &Recipe::name);
        LOTWORT_CHECK(plan != plans.end() && recipe != book.recipes.end()); // else it would lack nothing
        const auto asked = item_of_line(*recipe, lack.line.line);
        for (const TakenLot& taken : lack.free_lots)
            add_to(plan->reserved,
                   {lack.line.line, taken.lot, taken.amount, asked != lack.line.item ? asked : std::nullopt});
        const Amount rest = lack.line.by - lack.free;
        if (plan->adopted && rest.units > 0) plan->awaited.push_back({lack.line.line, rest});
    }
    for (Plan& plan : plans) std::ranges::stable_sort(plan.reserved, {}, &Reservation::line);
    return plans;
}

bool gives_up(const Plan& later, const Reservation& reservation, Date day) {
    return later.date > day && !later.adopted && !reservation.pinned;
}

// The lots, promised where a plan gives nothing up for the day.
std::vector<LotState> beside_later(const std::vector<Plan>& plans, Date day, std::vector<LotState> lots) {
    for (LotState& state : lots) state.promised.units = 0;
    for (const Plan& plan : plans)
        for (const Reservation& reservation : plan.reserved)
            if (!gives_up(plan, reservation, day)) promise(lots, {{reservation.lot, reservation.amount}});
    return lots;
}

void give_up(std::vector<Plan>& plans, Date day, const TakenLot& wanted, const std::vector<LotState>& lots) {
    const auto lot = std::ranges::find(lots, wanted.lot, [](const LotState& state) { return state.lot.code; });
    Amount over = -lot->on_hand; // what is promised of it beyond what is there
    for (const Plan& plan : plans)
        for (const Reservation& reservation : plan.reserved)
            if (reservation.lot == wanted.lot) over = over + reservation.amount;
    for (auto plan = plans.rbegin(); plan != plans.rend(); ++plan) {
        for (Reservation& reservation : plan->reserved) {
            if (reservation.lot != wanted.lot || over.units <= 0 || !gives_up(*plan, reservation, day)) continue;
            const Amount part = std::min(reservation.amount, over);
            reservation.amount = reservation.amount - part;
            over = over - part;
        }
        std::erase_if(plan->reserved, [](const Reservation& reservation) { return reservation.amount.units == 0; });
    }
}

// Whether any plan took what a later one had.
bool take_of_later(Book& book, const std::vector<LotState>& lots) {
    bool any = false;
    for (const PlanLack& lack : plan_lacks(book, lots)) {
        const auto plan = std::ranges::find(book.plans, lack.plan, &Plan::code);
        const Allotment found =
            reserve(beside_later(book.plans, plan->date, lots), lack.line.item, lack.line.by, plan->date);
        for (const TakenLot& taken : found.taken) {
            add_to(plan->reserved, {lack.line.line, taken.lot, taken.amount, std::nullopt});
            give_up(book.plans, plan->date, taken, lots);
            any = true;
        }
        std::ranges::stable_sort(plan->reserved, {}, &Reservation::line);
    }
    return any;
}

} // namespace

std::vector<Plan> reserved_anew(const Book& book, const std::vector<LotState>& lots) {
    Book now = book;
    now.plans = filled(now, lots);
    if (take_of_later(now, lots)) now.plans = filled(now, lots);
    return now.plans;
}

} // namespace lotwort
