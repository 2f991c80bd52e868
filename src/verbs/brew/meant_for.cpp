#include "meant_for.hpp"
#include <algorithm>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/plan_request.hpp>

namespace lotwort::verbs {

bool is_by_shares(const Recipe& recipe) {
    return std::ranges::any_of(recipe.grist, [](const GristLine& line) { return line.share.has_value(); });
}

std::optional<MeantBrew> meant_for(Call& call, const Brew& brew, const Book& book, const std::vector<LotState>& lots) {
    if (!brew.recipe) return std::nullopt;
    PlanWish wish{"", brew.date, *brew.recipe, brew.brewhouse, std::nullopt};
    if (brew.plan)
        for (const Plan& plan : call.ledger().plans())
            if (plan.code == *brew.plan) wish.volume = plan.volume;
    MeantBrew meant;
    meant.tells_volume = wish.volume.has_value();
    meant.request = plan_request(wish, book, lots);
    if (is_by_shares(meant.request.recipe))
        meant.request.learned = learned_for(call.desk(), book, meant.request.brewhouse.name);
    meant.brew = draw_up_plan(meant.request);
    return meant;
}

} // namespace lotwort::verbs
