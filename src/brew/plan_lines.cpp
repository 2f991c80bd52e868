#include "plan_lines.hpp"
#include "plan_parts.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/brew/planned_brew.hpp>

namespace lotwort {

namespace {

constexpr double malt_step_kg = 0.01, hop_step_kg = 0.001, other_step_kg = 0.0001;

} // namespace

double step_kg(ItemKind kind, const Brewhouse& brewhouse) {
    if (kind == ItemKind::malt || kind == ItemKind::sugar)
        return brewhouse.weigh_step.value_or(Kilograms(malt_step_kg)).value();
    if (kind == ItemKind::hop) return brewhouse.hop_step.value_or(Kilograms(hop_step_kg)).value();
    return other_step_kg;
}

Amount in_steps(Kilograms mass, ItemKind kind, const Brewhouse& brewhouse) {
    const double step = step_kg(kind, brewhouse);
    double steps = std::round(mass.value() / step);
    if (mass.value() > 0.0) steps = std::max(steps, 1.0);
    return Amount::of(Kilograms(steps * step));
}

Amount whole_millilitres(Litres volume) {
    const double ml = volume.value() * 1000.0;
    return Amount::of(Litres((ml > 0.0 ? std::max(1.0, std::round(ml)) : 0.0) / 1000.0));
}

std::vector<PlannedLine> lines_of(const PlanRequest& request) {
    std::vector<PlannedLine> lines;
    const auto add = [&](const std::string& item) -> PlannedLine& {
        PlannedLine line;
        line.line = static_cast<int>(lines.size());
        line.item = item;
        line.kind = item_named(request, item).kind;
        return lines.emplace_back(std::move(line));
    };
    for (const auto& malt : request.recipe.grist) add(malt.item);
    for (const auto& hop : request.recipe.hops) {
        PlannedLine& line = add(hop.item);
        line.stage = hop.stage;
        line.minutes = hop.minutes;
        line.temperature = hop.temperature;
        line.days = hop.days;
    }
    for (const auto& other : request.recipe.others) {
        PlannedLine& line = add(other.item);
        line.stage = other.stage;
        line.minutes = other.minutes;
    }
    return lines;
}

bool is_near_enough(const PlannedLine& line, Amount missing) {
    constexpr double share = 0.02;
    double most = share * static_cast<double>(line.needed.units);
    if (line.needed.measure == Measure::mass && line.kind != ItemKind::yeast)
        most = std::max(
            most,
            static_cast<double>(Amount::of(Kilograms(line.kind == ItemKind::hop ? hop_step_kg : malt_step_kg)).units));
    return static_cast<double>(missing.units) <= most;
}

} // namespace lotwort
