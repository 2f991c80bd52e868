// Short of stock: substitutions that keep the beer, the best of each kind, proven or with the gap stated.
//
// The pale malt is 8 kg short. Another base malt may take its place if the extract, the colour, the enzymes and every
// share stay where they were; a hop may stand in for a hop by its alpha. All planned brews are answered together: what
// one takes, another cannot. Several answers differ in kind: nearest to the recipe, cheapest, oldest stock first,
// smaller batches, another date, or what to buy.
//
// The rules S1 to S10 stand at the settings below and in docs/methods/substitution.md. Masses are kg, hops too.
#pragma once

#include <array>
#include <lotwort/plan/mip.hpp>
#include <lotwort/plan/needs.hpp>
#include <lotwort/plan/shortage.hpp>
#include <map>
#include <set>

namespace lotwort::plan {

// What a careful brewer tolerates; judgement without a source, each a setting. Shares are of the nominal.
struct Tolerances {
    double brew_extract = 0.001; // S5, or half a weigh step if that is more
    double line_extract = 0.10, caramel_extract = 0.20, roasted_extract = 0.50;  // of a line
    double colour_ebc = 1.0, colour = 0.05;                                      // S6, the greater
    double diastatic_power_wk = 100.0;                                           // S7, or the recipe's floor
    double bittering = 0.01;                                                     // S9
    double late_mass = 0.01;                                                     // S10, or half a weigh step
    double base_near_ebc = 4.0, high_kilned_near_ebc = 10.0, colour_ratio = 0.6; // S4
};

enum class AnswerKind { nearest, cheapest, oldest, smaller, reschedule, buy };

struct SubstituteRequest {
    std::vector<BrewToFill> brews; // answered together
    std::vector<Item> items;
    std::vector<LotState> lots; // promised: what other plans than these have reserved
    std::vector<Order> orders;  // open ones, for the shortage alone: what is not here cannot be weighed
    Date today;                 // no brew is moved before it
    // What lacks as the plans stand (brew/plan_lacks.hpp); none: what shortages() finds.
    std::optional<std::vector<Shortage>> lacking{};
    bool allow_past_best = false;
    Tolerances tolerances{};
    std::set<AnswerKind> kinds{AnswerKind::nearest, AnswerKind::cheapest,   AnswerKind::oldest,
                               AnswerKind::smaller, AnswerKind::reschedule, AnswerKind::buy};
    MipOptions limits{}; // of each kind: nodes, seconds, interrupt; its gaps and its progress are not used
    std::function<void(AnswerKind, const MipProgress&)> progress = nullptr; // called now and then
};

struct AnswerLine {
    std::string brew;
    int line = 0; // of the recipe: grist, then hops, from 0
    std::string recipe_item;
    std::string lot;
    double mass_kg = 0.0;
    friend bool operator==(const AnswerLine&, const AnswerLine&) = default;
};

// What an answer makes of one brew, by the forecast of a plan that reserves just these lots (as_booked).
struct Effect {
    Estimate original_gravity_sg, volume_l, colour_ebc, bitterness_ibu, diastatic_power_wk, extract_kg;
    // ml that hops bring which are not boiled for bitterness: mass times the certificate's oil. Shown, held to nothing.
    // None where there are no such hops, or one of their lots states no oil.
    std::optional<double> hop_oil_ml;
    std::string to_notice; // one sentence: what the drinker might notice against the recipe
};

struct Move {
    std::string brew;
    Date from, to;
};

struct SubstituteAnswer {
    AnswerKind kind = AnswerKind::nearest;
    // nearest: kg; cheapest: money; oldest: kg days; smaller: minus litres; reschedule: days moved. Lower is better.
    double objective = 0.0;
    double bound = 0.0;          // no answer with continuous masses is lower
    double gap = 0.0;            // (objective - bound) / max(1, |objective|)
    bool proven_optimal = false; // gap <= 0.001
    double cost = 0.0;           // money: mass times each lot's price per kg
    std::vector<AnswerLine> lines;
    std::map<std::string, double> scale; // by brew, 0 to 1
    std::map<std::string, Effect> effect;
    int crumbs = 0; // sacks left with less than a crumb, where no answer leaves none
    // no whole weigh steps of hops came within the bittering's tolerance: half a step was allowed
    bool bittering_by_half_step = false;
    std::vector<Move> moves;       // reschedule
    std::vector<Shortage> to_buy;  // buy
    std::vector<std::string> says; // changes of allergen, figures assumed: sentences
};

// A kind that has no answer, and why: a smallest set of rules that cannot be kept together, in a brewer's words;
// without any one of them there would be an answer. Empty where a limit ended the search.
struct NoAnswer {
    AnswerKind kind = AnswerKind::nearest;
    std::vector<std::string> clash;
    std::string reason; // one sentence
};

struct Substitution {
    Shortages shortages;
    std::map<std::string, Effect> recipe;  // by brew: what the recipe as it stands would come to
    std::vector<SubstituteAnswer> answers; // in the order of AnswerKind
    std::vector<NoAnswer> none;
    [[nodiscard]] bool has_full_size() const; // an answer that brews all of it
};

// nearest, cheapest, oldest and reschedule brew all of it.
[[nodiscard]] bool is_full_size(AnswerKind kind);

// Error(refused): a recipe that names an item nobody knows or cannot be scaled, two brews of one code. No stock at all,
// everything on hold and rules that clash are answers.
[[nodiscard]] Substitution substitute(const SubstituteRequest& request);

// The model of a kind, for inspection (continuous masses): to_mps and to_lp write it out. kind: nearest, cheapest,
// oldest or smaller.
[[nodiscard]] Mip substitution_mip(const SubstituteRequest& request, AnswerKind kind);

// The answer as plans, one for each brew in the order of the request: reserved is what the answer's lines take, and
// what the recipe's other lines take by date. A brew that is left out (smaller: nothing of it) is called off.
[[nodiscard]] std::vector<Plan> adopted_plans(const SubstituteRequest& request, const SubstituteAnswer& answer);

} // namespace lotwort::plan

namespace lotwort {
template <>
struct WordsOf<plan::AnswerKind> {
    static constexpr std::array<std::string_view, 6> list{"nearest", "cheapest",   "oldest",
                                                          "smaller", "reschedule", "buy"};
};
} // namespace lotwort
