#include "plan_parts.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/stock/item_figures.hpp>

namespace lotwort {

const Item& item_named(const PlanRequest& request, const std::string& name) {
    const auto found = std::ranges::find(request.items, name, &Item::name);
    if (found != request.items.end()) return *found;
    std::vector<std::string> names;
    for (const Item& item : request.items) names.push_back(item.name);
    throw Error(ErrorKind::refused,
                fmt::format("recipe `{}` names `{}`, and no item is called so", request.recipe.name, name),
                did_you_mean(name, names));
}

const Lot& lot_coded(const PlanRequest& request, const std::string& code) {
    const auto found = std::ranges::find(request.lots, code, [](const LotState& s) { return s.lot.code; });
    if (found == request.lots.end())
        throw Error(ErrorKind::refused,
                    fmt::format("plan {} reserves lot {}, which is not in stock", request.code, code),
                    "reverse the plan's entry and plan the brew again");
    return found->lot;
}

std::vector<Part> parts_of(const PlanRequest& request, const PlannedLine& line) {
    std::vector<Part> parts;
    for (const TakenLot& taken : line.allotment.taken) {
        const Lot& lot = lot_coded(request, taken.lot);
        parts.push_back({taken.amount, &item_named(request, lot.item), &lot});
    }
    if (line.is_short()) parts.push_back({line.allotment.missing, &item_named(request, line.item), nullptr});
    return parts;
}

MaltFigures figures_of(const PlanRequest& request, const Part& part) {
    if (part.lot != nullptr) return malt_figures(*part.item, *part.lot, request.date);
    return malt_figures(item_as_known(*part.item, request.lots, request.date));
}

Figure alpha_of(const PlanRequest& request, const Part& part) {
    if (part.lot != nullptr) return hop_age(*part.item, *part.lot, request.date).alpha_pct;
    return hop_age(item_as_known(*part.item, request.lots, request.date)).alpha_pct;
}

Kilograms grist_mass(const Recipe& recipe, const std::vector<PlannedLine>& lines) {
    Kilograms sum(0.0);
    for (std::size_t i = 0; i < recipe.grist.size(); ++i) sum = sum + lines[i].needed.kilograms();
    return sum;
}

} // namespace lotwort
