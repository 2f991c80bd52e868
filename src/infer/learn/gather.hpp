// What is learned from, gathered: the brews in their order, and what each of them says.
#pragma once

#include "model.hpp"

namespace lotwort::infer_detail {

// Everything gathered from the request: what each brew says, and who is who.
struct Gathered {
    std::vector<const ReconcileInput*> brews; // in brew order
    std::vector<BrewEvidence> evidence;       // as brews
    std::map<std::string, UsedLot> lots;
    std::vector<Brewhouse> houses;
    Date latest;
    void add_house(const Brewhouse& house); // unless it is there
};

[[nodiscard]] std::vector<const ReconcileInput*> in_order(const std::vector<ReconcileInput>& brews);
std::vector<const ReconcileInput*> in_order(const std::vector<ReconcileInput>&&) = delete;

// The latest that are learned from.
[[nodiscard]] std::vector<const ReconcileInput*> latest_of(std::vector<const ReconcileInput*> ordered,
                                                           std::size_t most = most_learned_brews);

// Of brews in their order, each made linear by itself; certificates and retests as known on that day.
[[nodiscard]] Gathered gather(std::vector<const ReconcileInput*> brews, Date latest);

// What teaches nothing, and why.
[[nodiscard]] std::vector<std::string> remarks_of(const Gathered& gathered);

// Each brew's balance made linear again, all at the figures where their house stands; these, by house. Where a brew's
// own readings put them, its slopes depend on its own scatter and noise. That bends what little a brew tells of a
// lasting error the same way in all of them (docs/methods/learn.md).
std::map<std::string, HouseValues> make_linear_again(Gathered& gathered);

// A brew whose malt or readings cannot be reckoned with (a lot whose extract is beyond malt's) teaches nothing; the
// others do.
[[nodiscard]] BrewEvidence evidence_or_fault(const ReconcileInput& brew, Date latest,
                                             const HouseValues* near = nullptr);

// For the verbs that take what was learned: they have other things to say, so one sentence is enough.
[[nodiscard]] std::vector<std::string> left_out(const std::vector<BrewEvidence>& evidence);

} // namespace lotwort::infer_detail
