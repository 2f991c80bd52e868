// A shortage as numbers: every hole, every lot that may fill it, and what the brew's untouched lines give already.
#pragma once

#include "character.hpp"
#include "standing.hpp"

namespace lotwort::plan {

// A lot that may go into a hole.
struct Candidate {
    std::size_t lot = 0; // of SubstitutionCase::lots
    Character character;
    double counts = 0.0; // what a kilogram of it gives of what lacks
    double extract = 0.0, lovibond = 0.0, power_wk = 0.0;
    double distance = 0.0;
    double days_to_best = 0.0;
};

// What is to be made up in one line: of a malt or sugar its extract, or its colour, of a hop boiled long its
// bitterness, else its mass.
struct Hole {
    std::size_t brew = 0; // of SubstitutionCase::brews
    int line = 0;
    std::string item; // what lacks
    bool is_grist = false;
    HoleKind kind = HoleKind::extract;
    double mass_kg = 0.0;     // of the item itself
    double target = 0.0;      // kg extract; kg Lovibond; kg alpha times utilisation; kg
    double tolerance = 0.0;   // of the target
    double extract = 0.0;     // kg, of what lacks
    double utilisation = 0.0; // of a hop boiled long
    double share = 0.0;       // of the brew's extract, bitterness or late hops
    double per_take = 0.0;    // distance that one take more must bring
    Weighing weighing;
    std::vector<Candidate> candidates;
};

// A line of the grist that lacks nothing and may be weighed a little otherwise, where no answer leaves it alone.
struct Adjustable {
    int line = 0;
    std::size_t lot = 0;
    std::string item;
    double most_less_kg = 0.0, most_more_kg = 0.0, step_kg = 0.0;
    double extract = 0.0, lovibond = 0.0, power_wk = 0.0; // of a kilogram
};

// What the grist may be, by mass: the sums of what stays, and the limits of the whole.
struct BrewLimits {
    double colour_low = 0.0, colour_high = 0.0; // sum of kg * Lovibond
    double power_floor_wk = 0.0;
};

struct CaseBrew {
    std::size_t standing = 0; // of Standing::brews
    const BrewToFill* brew = nullptr;
    double mass_kg = 0.0, colour = 0.0, power = 0.0;  // of what stays
    std::map<std::string, double> kept_kg, own_share; // by item: of what stays, and of the recipe as planned
    BrewLimits limits;
    double extract_tolerance = 0.0, extract_by_colour = 0.0; // kg; the second where a hole is made up by its colour
    std::vector<Adjustable> adjustable;                      // none unless the brew is opened
    bool in_part = false;                                    // it lacks something still: others come first
};

struct CaseLot {
    const LotState* state = nullptr;
    double free_kg = 0.0;
    double cost_per_kg = 0.0;
    bool has_price = false;
};

// What nothing in store makes up, and why. Beside holes that are filled it is still to be got, and counts as its item.
struct Stubborn {
    std::size_t brew = 0; // of SubstitutionCase::brews
    int line = 0;
    std::string item;
    Amount missing;
    std::string why;
};

struct SubstitutionCase {
    std::vector<CaseBrew> brews;
    std::vector<CaseLot> lots;
    std::vector<Hole> holes;
    std::vector<Stubborn> to_get;                            // of brews of which other holes are filled
    std::map<std::string, std::vector<std::string>> wanting; // by brew: why none of its holes can be filled
    std::set<std::pair<std::string, std::string>> says_of;   // lot and sentence: of an answer that takes of it
};

// Grist of a brew as it is meant: its sums of kg, kg Lovibond and kg WK.
struct GristSums {
    double mass_kg = 0.0, colour = 0.0, power = 0.0;
    void add(double kg, double ebc, double power_wk);
};
[[nodiscard]] BrewLimits limits_of(const BrewToFill& brew, const GristSums& nominal, const Tolerances& t);

// May the lot go into a brew on that day?
[[nodiscard]] bool may_be_used(const LotState& state, Date day, bool allow_past_best);

// Brews, by their codes, that what is usual does not answer.
struct Leeway {
    std::set<std::string> by_colour{}; // their caramel and roasted malts are made up by colour
    std::set<std::string> opened{};    // their other malts may be weighed a little otherwise
    std::set<std::string> in_part{};   // what there is goes in, where it is half of what lacks or more
};

// Request and standing must outlive it.
[[nodiscard]] SubstitutionCase substitution_case(const SubstituteRequest& request, const Standing& standing,
                                                 const Leeway& leeway = {});

// Does the brew lack a malt that is there for its colour?
[[nodiscard]] bool lacks_colour(const StandingBrew& brew);

} // namespace lotwort::plan
