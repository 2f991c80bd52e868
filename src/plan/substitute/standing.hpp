// How the brews stand before anything is replaced: what each has, and what of each line lacks.
#pragma once

#include <lotwort/plan/substitute.hpp>

namespace lotwort::plan {

// What is missing of one line. The rest of the line, and all other lines, stay as they are.
struct Gap {
    int line = 0;
    std::string item;   // what lacks; of a plan that follows a substitution its stand-in
    Amount missing;     // that no order brings by the day
    Amount from_orders; // that one does
    std::vector<PassedOver> passed_over;
    std::optional<Date> more_due;
    Amount due_later; // by the first order that comes too late, and by those after it
};

struct StandingBrew {
    std::size_t brew = 0;    // of the request
    std::vector<Item> items; // as known on its day
    Forecast nominal;        // as `plan` forecasts it: what lacks counted as what is known of its item
    PlannedBrew has;         // line by line what is reserved and what is free for it; nothing else in its forecast
    std::vector<Gap> gaps;
    [[nodiscard]] bool lacks() const {
        for (const Gap& gap : gaps)
            if (gap.missing.units > 0) return true;
        return false;
    }
};

struct Standing {
    std::vector<StandingBrew> brews; // in the order of the request
    std::vector<LotState> lots;      // promised: all that these and other brews have
};

// Error(refused): an item nobody knows, a recipe that cannot be scaled, two brews of one code.
[[nodiscard]] Standing standing_of(const SubstituteRequest& request);

[[nodiscard]] Shortages shortages_of(const SubstituteRequest& request, const Standing& standing);

} // namespace lotwort::plan
