#include "gather.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>

namespace lotwort::infer_detail {

BrewEvidence evidence_or_fault(const ReconcileInput& brew, Date latest, const HouseValues* near) {
    try {
        return evidence_of(brew, latest, near);
    } catch (const Error& e) {
        BrewEvidence none;
        none.brew = brew.brew.code;
        none.brewhouse = brew.brewhouse.name;
        none.fault = e.what();
        none.can_be_mended = true;
        return none;
    }
}

std::vector<const ReconcileInput*> in_order(const std::vector<ReconcileInput>& brews) {
    std::vector<const ReconcileInput*> out;
    for (const auto& brew : brews) out.push_back(&brew);
    std::ranges::stable_sort(out, {}, [](const ReconcileInput* b) { return b->brew.date; });
    return out;
}

std::vector<const ReconcileInput*> latest_of(std::vector<const ReconcileInput*> ordered, std::size_t most) {
    const std::size_t older = ordered.size() - std::min(ordered.size(), most);
    ordered.erase(ordered.begin(), ordered.begin() + static_cast<std::ptrdiff_t>(older));
    return ordered;
}

Gathered gather(std::vector<const ReconcileInput*> brews, Date latest) {
    Gathered g;
    g.brews = std::move(brews);
    g.latest = latest;
    for (const auto* brew : g.brews) {
        g.lots.insert(brew->lots.begin(), brew->lots.end());
        g.add_house(brew->brewhouse);
        g.evidence.push_back(evidence_or_fault(*brew, g.latest));
    }
    return g;
}

void Gathered::add_house(const Brewhouse& house) {
    if (std::ranges::find(houses, house.name, &Brewhouse::name) == houses.end()) houses.push_back(house);
}

std::vector<std::string> remarks_of(const Gathered& g) {
    std::vector<std::string> remarks;
    for (const auto& e : g.evidence)
        if (!e.fault.empty()) remarks.push_back(fmt::format("{} teaches nothing: {}", e.brew, e.fault));
    const auto by_themselves = std::ranges::count_if(
        g.brews, [](const ReconcileInput* brew) { return brew->untied_before + brew->untied_after > 0; });
    if (by_themselves > 0)
        remarks.push_back(fmt::format("{} brews share their fermenter with more than {} others: each is balanced by "
                                      "itself, without what was read in the fermenter of them all",
                                      by_themselves, most_in_fermenter - 1));
    return remarks;
}

std::map<std::string, HouseValues> make_linear_again(Gathered& g) {
    constexpr int rounds = 2;
    const LearnModel model = learn_model(g.evidence, g.lots, g.houses, g.latest);
    stats::GaussianSolver solver(model.model);
    const auto& mean =
        solver.fit(std::vector<double>(scale_names, 0.0), stats::GaussianSolver::Want::mean, rounds).mean;
    const auto of = [&](int unknown) { return mean[static_cast<std::size_t>(unknown)]; };
    const auto values = [&](const House& house, int conversion, int lauter) {
        return HouseValues{of(conversion), of(lauter), of(house.constants[0]), of(house.constants[1]),
                           of(house.constants[2])};
    };
    std::vector<BrewEvidence> again = g.evidence;
    for (const auto& at : model.brews) {
        const HouseValues near = values(model.houses[static_cast<std::size_t>(at.house)], at.conversion, at.lauter);
        const auto b = static_cast<std::size_t>(at.evidence - g.evidence.data());
        BrewEvidence fresh = evidence_or_fault(*g.brews[b], g.latest, &near);
        if (fresh.fault.empty()) again[b] = std::move(fresh);
    }
    g.evidence = std::move(again);
    std::map<std::string, HouseValues> newest;
    for (const auto& house : model.houses) newest[house.name] = values(house, house.conversion, house.lauter);
    return newest;
}

std::vector<std::string> left_out(const std::vector<BrewEvidence>& evidence) {
    std::vector<const BrewEvidence*> odd;
    for (const auto& e : evidence)
        if (e.can_be_mended) odd.push_back(&e);
    if (odd.empty()) return {};
    const std::string first = odd.front()->brew;
    if (odd.size() == 1)
        return {fmt::format("{} is left out of what past brews taught: {}", first, odd.front()->fault)};
    return {fmt::format("{} and {} more are left out of what past brews taught: {} because {}; the trend has the "
                        "others' reasons",
                        first, odd.size() - 1, first, odd.front()->fault)};
}

} // namespace lotwort::infer_detail
