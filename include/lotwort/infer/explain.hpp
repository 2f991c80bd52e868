// Why a brew came out otherwise than forecast: the difference split exactly over what was done and what happened.
//
// The forecast is a function of the weights, the malts, the mash, the lauter, the boil, the losses and the yeast. The
// outcome is that function of what they really were, and what the readings erred. Each part is its Shapley value
// (stats/shapley.hpp) over the forecast function: order-free, and they sum to the difference. Method:
// docs/methods/learn.md.
#pragma once

#include <lotwort/brew/forecast.hpp>
#include <lotwort/brew/learned.hpp>
#include <lotwort/core/estimate.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

struct ExplainRequest {
    ReconcileInput brew;            // its lots are those of the plan too
    std::optional<Plan> plan;       // it was brewed from; without one the weights are as weighed
    std::optional<Learned> learned; // from the brews before this one; without: book and certificates
    // What that plan foretold with these learned figures, by brew/planned_brew.hpp: then the forecast here is that one.
    // Without it one is made of the plan's lots, or of what was weighed.
    std::optional<Forecast> forecast = std::nullopt;
};

struct ExplainedPart {
    // Of gravity, volume and alcohol: weights, malt lots, stand-in malt, conversion, lautering, boil-off and volume,
    // losses and top-up; of the final gravity original gravity in their place. Of final gravity and alcohol then: yeast,
    // mash rest, sugar in the fermenter. Of all: reading error. What there was none of is left out.
    std::string cause;
    Estimate difference; // in the outcome's unit
    bool told = false;   // larger than its own uncertainty (beyond its 90 % interval)
};

struct ExplainedOutcome {
    std::string quantity; // original_gravity_sg, volume_l, final_gravity_sg, alcohol_abv_pct
    Estimate forecast;
    double outcome = 0.0; // the original gravity is reconcile's, the volume as read
    bool outcome_was_read = true; // else it is what the balance has
    double difference = 0.0;      // outcome less forecast; the parts sum to it
    std::vector<ExplainedPart> parts;
};

struct Explanation {
    std::string brew;
    std::string plan; // whose forecast it is; empty: of the lots as weighed
    int learned_from_brews = 0;
    // As reconcile has it: where the readings contradict each other, the suspects, and how many times as wide each part
    // is taken for that, sqrt(statistic/degrees of freedom) (Birge 1932, Phys. Rev. 40, 207); 1 where they agree.
    GlobalTest test;
    std::vector<Suspect> suspects;
    double widened = 1.0;
    std::vector<ExplainedOutcome> outcomes; // final gravity and alcohol only where one below the original was read
    std::vector<std::string> remarks;
};

// Error(refused) where no malt has been deducted for the brew.
[[nodiscard]] Explanation explain(const ExplainRequest& request);

} // namespace lotwort
