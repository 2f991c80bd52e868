// What open plans lack: one answer for plan, stock, buy and substitute.
//
// A plan has what it reserved, as far as that is still there. What its recipe asks for beside may lie in the store and
// be free, or be due on an order by the day; the rest is what lacks. Plans are served by day, each from the lots that
// spoil first, then from the orders that come first.
#pragma once

#include <lotwort/brew/planned.hpp>
#include <lotwort/brew/promises.hpp>
#include <lotwort/stock/order_rest.hpp>

namespace lotwort {

// In a plan's `adopted`: weighed by what was learned, for the recipe's gravity; it keeps its masses.
inline constexpr std::string_view aimed_plan = "aim";

// A line of the plan's recipe that what it has reserved does not fill; short = free + from orders + missing.
struct LineShort {
    int line = 0;
    std::string item;
    Amount needed;
    Amount by; // beyond what is reserved
};

struct PlanLack {
    std::string plan;
    Date date;
    LineShort line;
    Amount free;        // there, and promised to nobody: it wants to be reserved
    Amount from_orders; // awaited, and due by the day
    Amount missing;
    std::vector<PassedOver> passed_over; // lots of the item that hold something, and why they do not serve
    std::optional<Date> more_due;        // the first order of it that comes too late, if any
    std::vector<TakenLot> free_lots{};   // what of what is free it takes, lot by lot
    Amount due_later{};                  // what orders that come too late bring of it
};

// `kept`: what of the plan's reservations counts. What the recipe asks for is as the plan would be drawn up now;
// near enough is enough (is_near_enough). A plan that follows a substitution has
// its own measure: what it reserves. Nothing of a plan that was called off, or names what is no longer there.
[[nodiscard]] std::vector<LineShort> lines_short(const Plan& plan, const Plan& kept, const Book& book,
                                                 const std::vector<LotState>& lots);

// Of the book's plans, which are the open ones: by day, line by line, those that are short of what they reserved.
// Nothing missing where free stock and orders suffice. An order that is overdue counts as if it came today: it is told
// as overdue elsewhere.
[[nodiscard]] std::vector<PlanLack> plan_lacks(const Book& book, const std::vector<LotState>& lots);

// The book's open plans reserved anew, by day: each keeps what is there still of what it reserved, so that lots that
// were chosen for it stay; what it lacks it takes of what is free, the lots that spoil first, and then of what plans
// for later days have, the last of them first. So whatever happens to stock, the earlier brew is served first. A lot
// that was pinned is not given up; a plan that follows a substitution gives nothing up, and awaits what it does not
// find. Nothing else of them changes.
[[nodiscard]] std::vector<Plan> reserved_anew(const Book& book, const std::vector<LotState>& lots);

// The plan as it is drawn up on its day; none where its recipe or its brewhouse is not in the book.
[[nodiscard]] std::optional<PlanRequest> request_for(const Plan& plan, const Book& book, std::vector<LotState> lots);

// The lots harvested of the brew whose yeast the plan pitches; none where it pitches yeast of the store.
[[nodiscard]] std::optional<std::vector<std::string>> crop_lots(const Plan& plan, const std::vector<LotState>& lots);

// What the plan asks for now, of the lots that it has first: of a hop of twice the strength half as much. Where one of
// those cannot serve any more, of what there is. Error as draw_up_plan.
[[nodiscard]] PlannedBrew drawn_of_its_lots(const Plan& plan, PlanRequest request);

// The lots as they would be without what the plan reserves.
[[nodiscard]] std::vector<LotState> without_promises(const Plan& plan, std::vector<LotState> lots);

} // namespace lotwort
