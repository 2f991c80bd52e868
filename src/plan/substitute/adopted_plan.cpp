#include "adopted_plan.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>
#include <numeric>

namespace lotwort::plan {

namespace {

constexpr double worth_brewing = 1e-3; // of the scale

double scale_of(const SubstituteAnswer& answer, const std::string& brew) {
    const auto found = answer.scale.find(brew);
    return found == answer.scale.end() ? 1.0 : found->second;
}

const std::string& item_of(const SubstituteRequest& request, const std::string& lot) {
    const auto found = std::ranges::find(request.lots, lot, [](const LotState& s) { return s.lot.code; });
    LOTWORT_CHECK(found != request.lots.end());
    return found->lot.item;
}
const std::string& item_of(const SubstituteRequest&&, const std::string&) = delete;

// What it is a plan of; nothing reserved.
Plan bare_plan(const BrewToFill& brew) {
    Plan plan;
    plan.code = brew.code;
    plan.date = brew.date;
    plan.recipe = brew.recipe.name;
    plan.brewhouse = brew.brewhouse.name;
    plan.volume = brew.volume;
    return plan;
}

Plan plan_of(const SubstituteRequest& request, const SubstituteAnswer& answer, const BrewToFill& brew,
             std::vector<LotState>& lots) {
    Plan plan = bare_plan(brew);
    plan.adopted = std::string(word(answer.kind));
    for (const AnswerLine& line : answer.lines) {
        if (line.brew != brew.code) continue;
        Reservation made{line.line, line.lot, Amount::of(Kilograms(line.mass_kg))};
        if (item_of(request, line.lot) != line.recipe_item) made.instead_of = line.recipe_item;
        plan.reserved.push_back(std::move(made));
    }
    for (const Need& need : nominal_brew(brew, request.items).needs) {
        if (need.is_grist || need.is_hop_line) continue;
        const Allotment allotment = reserve(lots, need.item, need.amount, brew.date);
        promise(lots, allotment.taken);
        for (const TakenLot& taken : allotment.taken) plan.reserved.push_back({need.line, taken.lot, taken.amount});
    }
    return plan;
}

Plan called_off(const BrewToFill& asked) {
    Plan plan = bare_plan(asked);
    plan.cancelled = "not enough in stock, and other brews had more of it";
    return plan;
}

} // namespace

BrewToFill as_answered(const BrewToFill& brew, const SubstituteAnswer& answer) {
    BrewToFill out = brew;
    for (const Move& move : answer.moves)
        if (move.brew == brew.code) out.date = move.to;
    out.volume = brew.volume * scale_of(answer, brew.code);
    return out;
}

std::vector<Plan> adopted_plans(const SubstituteRequest& request, const SubstituteAnswer& answer) {
    std::vector<LotState> lots = request.lots;
    for (const AnswerLine& line : answer.lines) promise(lots, {{line.lot, Amount::of(Kilograms(line.mass_kg))}});
    std::vector<std::size_t> by_day(request.brews.size());
    std::iota(by_day.begin(), by_day.end(), std::size_t{0});
    std::ranges::stable_sort(by_day, {}, [&](std::size_t b) { return as_answered(request.brews[b], answer).date; });
    std::vector<Plan> plans(request.brews.size());
    for (const std::size_t b : by_day) {
        const BrewToFill& asked = request.brews[b];
        const bool left_out = scale_of(answer, asked.code) < worth_brewing;
        plans[b] = left_out ? called_off(asked) : plan_of(request, answer, as_answered(asked, answer), lots);
    }
    return plans;
}

} // namespace lotwort::plan
