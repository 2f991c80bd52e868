#include <algorithm>
#include <lotwort/plan/needs.hpp>

namespace lotwort::plan {

PlanRequest plan_request(const BrewToFill& brew, std::vector<Item> items, std::vector<LotState> lots) {
    PlanRequest request;
    request.code = brew.code;
    request.date = brew.date;
    request.recipe = brew.recipe;
    request.brewhouse = brew.brewhouse;
    request.volume = brew.volume;
    request.items = std::move(items);
    request.lots = std::move(lots);
    request.learned = brew.learned;
    return request;
}

Nominal nominal_brew(const BrewToFill& brew, const std::vector<Item>& items) {
    PlanRequest request = plan_request(brew, items, {});
    const bool by_shares = std::ranges::any_of(brew.recipe.grist, [](const GristLine& l) { return !l.mass; });
    request.aim = by_shares && brew.learned && brew.recipe.original_gravity;
    const PlannedBrew planned = draw_up_plan(request);
    const std::size_t grist = brew.recipe.grist.size(), hops = brew.recipe.hops.size();
    const double scale = brew.volume / brew.recipe.volume;
    Nominal out;
    out.forecast = planned.forecast;
    for (const PlannedLine& line : planned.lines) {
        const auto i = static_cast<std::size_t>(line.line);
        Need need{.line = line.line,
                  .item = line.item,
                  .kind = line.kind,
                  .stage = line.stage,
                  .minutes = line.minutes,
                  .temperature = line.temperature,
                  .is_grist = i < grist,
                  .is_hop_line = i >= grist && i < grist + hops,
                  .amount = line.needed};
        std::optional<Kilograms> stated;
        if (need.is_grist && !brew.recipe.grist[i].extract && !brew.recipe.grist[i].colour) stated = brew.recipe.grist[i].mass;
        if (need.is_hop_line && brew.recipe.hops[i - grist].mass && !brew.recipe.hops[i - grist].alpha)
            stated = to_kilograms(*brew.recipe.hops[i - grist].mass);
        if (stated) need.amount = Amount::of(*stated * scale);
        if (need.amount.measure == Measure::mass)
            need.mass_kg = stated ? (*stated * scale).value() : need.amount.kilograms().value();
        out.needs.push_back(std::move(need));
    }
    return out;
}

Weighing weighing_of(ItemKind kind, const Brewhouse& brewhouse) {
    if (kind == ItemKind::hop)
        return {brewhouse.hop_step.value_or(Kilograms(0.001)).value(), 0.005,
                brewhouse.hop_crumb.value_or(Kilograms(0.02)).value()};
    return {brewhouse.weigh_step.value_or(Kilograms(0.01)).value(), 0.1,
            brewhouse.crumb.value_or(Kilograms(0.25)).value()};
}

} // namespace lotwort::plan
