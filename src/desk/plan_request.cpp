#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/promises_lost.hpp>

namespace lotwort {

namespace {

PlanRequest request_of(const Plan& plan, const Book& book, std::vector<LotState> lots, std::optional<Learned> learned) {
    PlanRequest request = plan_request({plan.code, plan.date, plan.recipe, brewhouse_of(plan, book).name, plan.volume},
                                       book, std::move(lots));
    request.learned = std::move(learned);
    request.crop_lots = crop_lots(plan, request.lots);
    return request;
}

// Of all open plans, for the earlier have theirs first.
Plan as_kept(const Plan& plan, const Book& book, const std::vector<LotState>& lots) {
    const auto kept = kept_promises(book.plans, lots);
    const auto found = std::ranges::find(kept, plan.code, &Plan::code);
    return found != kept.end() ? *found : plan;
}

std::vector<Lacking> lacking_of(const std::vector<LineShort>& lines) {
    std::vector<Lacking> lacking;
    for (const LineShort& line : lines) lacking.push_back({line.line, line.by});
    return lacking;
}

// Plans that have reserved nothing take what is free in turn, the earlier first.
void take_in_turn(const Plan& plan, const Book& book, std::vector<LotState>& lots) {
    if (plan.cancelled || !plan.reserved.empty()) return;
    const auto request = request_for(plan, book, lots);
    if (!request) return;
    for (const PlannedLine& line : draw_up_plan(*request).lines) promise(lots, line.allotment.taken);
}

} // namespace

const Brewhouse& brewhouse_of(const Plan& plan, const Book& book) {
    if (plan.brewhouse || book.brewhouses.size() <= 1) return chosen_brewhouse(book, plan.brewhouse);
    std::vector<std::string> names;
    for (const Brewhouse& brewhouse : book.brewhouses) names.push_back(brewhouse.name);
    throw Error(ErrorKind::refused,
                fmt::format("plan {} names no brewhouse, and there are {}", plan.code, fmt::join(names, ", ")),
                fmt::format("say which: lotwort plan {} --move {} --brewhouse {}", shell_word(plan.code),
                            to_iso(plan.date), shell_word(names.front())));
}

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

PlannedBrew open_plan(const Plan& plan, const Book& book, std::vector<LotState> lots, std::optional<Learned> learned) {
    for (const Plan& other : book.plans) { // by date
        if (!plan.reserved.empty() || other.code == plan.code) break;
        take_in_turn(other, book, lots);
    }
    const Plan kept = as_kept(plan, book, lots);
    const auto lacking = lacking_of(lines_short(plan, kept, book, lots));
    const PlanRequest request = request_of(plan, book, lots, std::move(learned));
    PlannedBrew planned = plan.reserved.empty() ? draw_up_plan(request) : as_booked(request, kept, lacking);
    settle_shortages(planned, book, lots);
    return planned;
}

PlannedBrew as_it_stands(const Plan& plan, const Book& book, std::vector<LotState> lots,
                         std::optional<Learned> learned) {
    PlannedBrew planned = open_plan(plan, book, std::move(lots), std::move(learned));
    if (!plan.reserved.empty()) return planned;
    planned.plan.reserved.clear();
    for (PlannedLine& line : planned.lines) line.allotment.taken.clear();
    return planned;
}

void settle_shortages(PlannedBrew& planned, const Book& book, const std::vector<LotState>& lots) {
    const Plan& plan = planned.plan;
    std::vector<std::string> there;
    for (const PlanLack& lack : plan_lacks(book, lots)) {
        if (lack.plan != plan.code) continue;
        const auto line = std::ranges::find(planned.lines, lack.line.line, &PlannedLine::line);
        if (line == planned.lines.end()) continue;
        line->allotment.missing = lack.missing;
        line->allotment.passed_over = lack.passed_over;
        if (lack.from_orders.units > 0)
            planned.remarks.push_back(
                fmt::format("{} of {} is due on order by then", to_text(lack.from_orders), lack.line.item));
        if (lack.free.units > 0) there.push_back(fmt::format("{} of {}", to_text(lack.free), lack.line.item));
    }
    if (!there.empty())
        planned.remarks.push_back(fmt::format("{} is there, and not reserved yet: lotwort plan {} --move {}",
                                              fmt::join(there, ", "), shell_word(plan.code), to_iso(plan.date)));
}

PlannedBrew reserved_plan(const Plan& plan, const Book& book, std::vector<LotState> lots,
                          std::optional<Learned> learned) {
    const PlanRequest request = request_of(plan, book, std::move(lots), std::move(learned));
    return plan.reserved.empty() ? draw_up_plan(request) : as_booked(request, plan);
}

PlannedBrew plan_as_made(const Plan& plan, const Book& book, std::vector<LotState> lots,
                         std::optional<Learned> learned) {
    const auto lacking = lacking_of(lines_short(plan, plan, book, lots));
    const PlanRequest request = request_of(plan, book, std::move(lots), std::move(learned));
    return plan.reserved.empty() ? draw_up_plan(request) : as_booked(request, plan, lacking);
}

std::vector<report::PlanLack> lacks_of(const Book& book, const std::vector<LotState>& lots, Date today) {
    std::vector<report::PlanLack> lacks;
    for (const PlanLack& lack : plan_lacks(book, lots))
        lacks.push_back({lack.plan, lack.date, lack.line.item, lack.missing, lack.free,
                         planned_again(*find_plan(book, lack.plan), today)});
    return lacks;
}

PlanStanding standing_of(const Plan& plan, const Book& book, const std::vector<LotState>& lots) {
    PlanStanding standing{as_kept(plan, book, lots), {}};
    if (!plan.reserved.empty()) {
        standing.lacks = lines_short(plan, standing.kept, book, lots);
        return standing;
    }
    for (const PlannedLine& line : draw_up_plan(request_of(plan, book, lots, std::nullopt)).lines)
        if (line.needed.units > 0) standing.lacks.push_back({line.line, line.item, line.needed, line.needed});
    return standing;
}

} // namespace lotwort
