// A substitution as numbers: every line's target, every lot that may fill it, what each kilogram gives.
#pragma once

#include <lotwort/plan/substitute.hpp>
#include <set>

namespace lotwort::plan {

// A lot that may go into a line.
struct Candidate {
    std::size_t lot = 0; // of SubstitutionCase::lots
    double extract = 0.0, lovibond = 0.0, power_wk = 0.0;
    double alpha = 0.0; // a fraction, on the day of the brew
    double distance = 0.0;
    double days_to_best = 0.0;
    const Item* item = nullptr;
};

enum class LineKind { grist, bittering, late };

struct CaseLine {
    std::size_t brew = 0;
    int line = 0;
    const Item* item = nullptr;
    LineKind kind = LineKind::grist;
    double mass_kg = 0.0;     // nominal
    double target = 0.0;      // grist: kg extract; bittering: kg alpha times utilisation; late: kg
    double tolerance = 0.0;   // share of the target (grist), or in kg (late); a bittering line has none of its own
    double most = 0.0;        // of what the masses may count to, whatever room is left below it
    double utilisation = 0.0; // bittering
    double band = 0.0;        // dead band of its deviation: a weigh step
    Weighing weighing;
    std::vector<Candidate> candidates;
    // what a kilogram of the lot counts towards the target
    [[nodiscard]] double counts(const Candidate& c) const {
        return kind == LineKind::grist ? c.extract : kind == LineKind::bittering ? c.alpha * utilisation : 1.0;
    }
};

struct CaseBrew {
    const BrewToFill* brew = nullptr;
    Nominal nominal;
    double extract_kg = 0.0, extract_tolerance_kg = 0.0;
    double colour_low = 0.0, colour_high = 0.0; // sum of kg * Lovibond
    double power_floor_wk = 0.0;
    double bittering = 0.0, bittering_tolerance = 0.0;
    std::map<std::string, double> most_share; // of the grist's mass, by item
};

struct CaseLot {
    const LotState* state = nullptr;
    double free_kg = 0.0;
    double crumb_kg = 0.0;
    double cost_per_kg = 0.0;
    bool opened = false; // brews beside the case's take of it: a crumb may not be left, touched or not
};

struct SubstitutionCase {
    std::vector<CaseBrew> brews;
    std::vector<CaseLot> lots;
    std::vector<CaseLine> lines;
    std::vector<std::string> says;
    std::set<std::pair<std::string, std::string>> says_of; // lot and sentence: of an answer that takes of it
};

// only_own: lines take their own item alone (is it the date that is wrong?). The request must outlive the case.
// half_steps: bittering may miss by half a weigh step of hops too.
[[nodiscard]] SubstitutionCase substitution_case(const SubstituteRequest& request, bool only_own = false,
                                                 bool half_steps = false);

} // namespace lotwort::plan
