#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/board.hpp>
#include <lotwort/desk/calendar.hpp>
#include <lotwort/stock/order_rest.hpp>

namespace lotwort {

namespace {

using report::CalendarEvent;

constexpr int days_to_dry_hops = 7; // after the brew, where nobody says: the gravity then hardly moves

void add_plans(const Book& book, std::vector<CalendarEvent>& events) {
    for (const Plan& plan : book.plans) {
        events.push_back({plan.date, "plan-" + plan.code, plan.code + " " + plan.recipe,
                          fmt::format("Brew {} ({})", plan.recipe, plan.code),
                          plan.brewhouse ? "on " + *plan.brewhouse : ""});
        const auto recipe = std::ranges::find(book.recipes, plan.recipe, &Recipe::name);
        if (recipe == book.recipes.end()) continue;
        std::vector<std::string> hops;
        for (const HopLine& hop : recipe->hops)
            if (hop.stage == Stage::dry)
                hops.push_back(hop.days ? fmt::format("{} for {} days", hop.item, *hop.days) : hop.item);
        if (hops.empty()) continue;
        events.push_back({plan.date + std::chrono::days(days_to_dry_hops), "dry-hops-" + plan.code,
                          plan.code + " dry hops", fmt::format("Dry hops into {} ({})", plan.recipe, plan.code),
                          fmt::format("{}; taken as a week after the brew: go by the gravity", fmt::join(hops, ", "))});
    }
}

// When tanks are free, and when yeast is to be cropped.
void add_board(const Desk& desk, const Book& book, std::vector<CalendarEvent>& events) {
    const Board board = board_of(desk);
    for (const TankState& state : board.tanks())
        for (const TankUse& use : state.uses) {
            if (!use.till) continue;
            events.push_back({*use.till, fmt::format("tank-{}-{}", state.tank.name, use.by), state.tank.name + " free",
                              fmt::format("{} is free of {}", state.tank.name, use.by),
                              use.is_stated ? "" : "by common practice; the beer says when"});
        }
    for (const Plan& plan : book.plans) {
        const auto crop = board.crop(plan);
        if (crop && crop->from && !crop->is_there)
            events.push_back({*crop->from, "crop-" + plan.code, "crop " + crop->of,
                              fmt::format("Crop the yeast of {} for {}", crop->of, plan.code),
                              fmt::format("good till {}", to_iso(*crop->till))});
    }
}

void add_orders(const Book& book, const std::vector<LotState>& lots, std::vector<CalendarEvent>& events) {
    for (const Order& order : book.orders) {
        if (!is_open(order, lots)) continue;
        std::vector<std::string> awaited;
        for (const OrderRest& rest : rest_of(order, lots))
            if (rest.awaited.units > 0)
                awaited.push_back(fmt::format("{} of {}", to_text(rest.awaited), order.lines[rest.line].item));
        const std::string goods = fmt::format("{}", fmt::join(awaited, ", "));
        events.push_back({order.ordered, "order-" + order.code, "order " + order.code,
                          fmt::format("Order {} of {}", order.code, order.supplier), goods});
        if (order.arrives)
            events.push_back({*order.arrives, "delivery-" + order.code, order.code + " comes",
                              fmt::format("Delivery of {} from {}", order.code, order.supplier), goods});
    }
}

void add_dates(Ledger& ledger, const std::vector<LotState>& lots, std::vector<CalendarEvent>& events) {
    for (const LotState& state : lots)
        if (state.lot.best_before && state.on_hand.units > 0)
            events.push_back({*state.lot.best_before, "best-before-" + state.lot.code, state.lot.code + " ends",
                              fmt::format("Best before: {} ({})", state.lot.item, state.lot.code),
                              to_text(state.on_hand) + " on hand"});
    for (const Package& run : ledger.packages())
        if (const int here = run.count - sent_out(run); run.best_before && here > 0)
            events.push_back({*run.best_before, "best-before-" + run.code, run.code + " ends",
                              fmt::format("Best before: beer of {}", run.code), fmt::format("{} here", here)});
}

} // namespace

std::vector<CalendarEvent> calendar_of(const Desk& desk) {
    const Book book = desk.ledger.definitions();
    const std::vector<LotState> lots = desk.ledger.lots();
    std::vector<CalendarEvent> events;
    add_plans(book, events);
    add_board(desk, book, events);
    add_orders(book, lots, events);
    add_dates(desk.ledger, lots, events);
    std::erase_if(events, [&](const CalendarEvent& event) { return event.on < desk.today; });
    std::ranges::stable_sort(events, {}, &CalendarEvent::on);
    return events;
}

std::vector<CalendarEvent> in_month(std::vector<CalendarEvent> events, Date first) {
    const std::string month = to_iso(first).substr(0, 7);
    std::erase_if(events, [&](const CalendarEvent& event) { return !to_iso(event.on).starts_with(month); });
    return events;
}

Date first_of_month(const std::string& text, Date today) {
    const std::string month = text == this_month ? to_iso(today).substr(0, 7) : text;
    if (const auto first = parse_iso_date(month + "-01")) return *first;
    throw Error(ErrorKind::refused, fmt::format("`{}` is not a month", text),
                fmt::format("write the year and the month: {}", to_iso(today).substr(0, 7)));
}

} // namespace lotwort
