#include "standing.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/item_figures.hpp>
#include <numeric>

namespace lotwort::plan {

namespace {

// What open orders bring of an item, and how much of it is spoken for.
struct Incoming {
    Date arrives;
    std::string item;
    Amount left;
};

class Stander {
public:
    explicit Stander(const SubstituteRequest& request) : request_(request) {
        out_.lots = request.lots;
        for (const Order& order : request.orders) {
            if (!order.arrives) continue;
            for (const OrderRest& rest : rest_of(order, request.lots))
                incoming_.push_back({*order.arrives, order.lines[rest.line].item, rest.awaited});
        }
        std::ranges::stable_sort(incoming_, {}, &Incoming::arrives);
    }

    Standing run() {
        const auto& brews = request_.brews;
        for (std::size_t a = 0; a < brews.size(); ++a)
            for (std::size_t b = 0; b < a; ++b)
                if (brews[a].code == brews[b].code)
                    throw Error(ErrorKind::refused, fmt::format("two brews are called {}", brews[a].code),
                                "give each plan a code of its own");
        for (const PlanAsItStands& plan : request_.plans)
            for (const Reservation& kept : plan.kept.reserved) promise(out_.lots, {{kept.lot, kept.amount}});
        std::vector<std::size_t> by_day(brews.size());
        std::iota(by_day.begin(), by_day.end(), std::size_t{0});
        std::ranges::stable_sort(by_day, {}, [&](std::size_t b) { return brews[b].date; });
        out_.brews.resize(brews.size());
        for (const std::size_t b : by_day) {
            StandingBrew& made = out_.brews[b];
            made.brew = b;
            made.items = items_as_known(request_.items, request_.lots, brews[b].date);
            const auto plan =
                std::ranges::find(request_.plans, brews[b].code, [](const PlanAsItStands& p) { return p.kept.code; });
            if (plan != request_.plans.end())
                as_planned(*plan, made);
            else
                drawn_up(made);
        }
        return std::move(out_);
    }

private:
    void take_from_orders(Gap& gap, Date day);
    void drawn_up(StandingBrew& made);
    void as_planned(const PlanAsItStands& plan, StandingBrew& made);

    const SubstituteRequest& request_;
    std::vector<Incoming> incoming_;
    Standing out_;
};

void Stander::take_from_orders(Gap& gap, Date day) {
    gap.from_orders = gap.due_later = {gap.missing.measure, 0};
    for (Incoming& order : incoming_) {
        if (order.item != gap.item || order.left.measure != gap.missing.measure) continue;
        if (order.arrives > day) {
            if (order.left.units > 0 && !gap.more_due) gap.more_due = order.arrives;
            gap.due_later = gap.due_later + order.left;
            continue;
        }
        const Amount take = std::min(order.left, gap.missing);
        order.left = order.left - take;
        gap.from_orders = gap.from_orders + take;
        gap.missing = gap.missing - take;
    }
}

// A brew that nobody has planned yet takes what spoils first.
void Stander::drawn_up(StandingBrew& made) {
    const BrewToFill& brew = request_.brews[made.brew];
    made.has = draw_up_plan(plan_request(brew, request_.items, out_.lots));
    made.nominal = made.has.forecast;
    for (const PlannedLine& line : made.has.lines) {
        promise(out_.lots, line.allotment.taken);
        if (!line.is_short()) continue;
        Gap gap{line.line, line.item, line.allotment.missing, {}, line.allotment.passed_over, {}, {}};
        take_from_orders(gap, brew.date);
        made.gaps.push_back(std::move(gap));
    }
}

// What is there and free for a line that is short of it is the line's.
void Stander::as_planned(const PlanAsItStands& plan, StandingBrew& made) {
    const BrewToFill& brew = request_.brews[made.brew];
    const PlanRequest asked = plan_request(brew, request_.items, request_.lots);
    Plan filled = plan.kept;
    std::vector<Lacking> all, rest;
    for (const PlanLack& lack : plan.lacks) {
        all.push_back({lack.line.line, lack.line.by});
        Amount missing = lack.line.by;
        if (lack.free.units > 0) {
            const Allotment free = reserve(out_.lots, lack.line.item, lack.free, brew.date);
            promise(out_.lots, free.taken);
            for (const TakenLot& taken : free.taken) {
                filled.reserved.push_back({lack.line.line, taken.lot, taken.amount});
                missing = missing - taken.amount;
            }
        }
        Gap gap{lack.line.line, lack.line.item, missing - lack.from_orders, lack.from_orders, lack.passed_over,
                lack.more_due,  lack.due_later};
        if (missing.units > 0) rest.push_back({gap.line, missing});
        made.gaps.push_back(std::move(gap));
    }
    std::ranges::stable_sort(filled.reserved, {}, &Reservation::line);
    made.has = as_booked(asked, filled, rest);
    made.nominal =
        plan.kept.reserved.empty() ? draw_up_plan(asked).forecast : as_booked(asked, plan.kept, all).forecast;
}

} // namespace

Standing standing_of(const SubstituteRequest& request) {
    return Stander(request).run();
}

Shortages shortages_of(const SubstituteRequest& request, const Standing& standing) {
    Shortages out;
    for (const StandingBrew& brew : standing.brews)
        for (const Gap& gap : brew.gaps) {
            if (gap.missing.units <= 0) continue;
            const PlannedLine& line = brew.has.lines[static_cast<std::size_t>(gap.line)];
            Amount of_item{line.needed.measure, 0};
            for (const PlannedLine& other : brew.has.lines)
                if (other.item == line.item && other.needed.measure == of_item.measure)
                    of_item = of_item + other.needed;
            out.lines.push_back({request.brews[brew.brew].code, request.brews[brew.brew].date, gap.line, gap.item,
                                 line.needed, gap.from_orders, gap.missing, gap.passed_over, gap.more_due,
                                 gap.due_later, of_item});
        }
    std::ranges::stable_sort(out.lines, {}, &Shortage::date);
    return out;
}

} // namespace lotwort::plan
