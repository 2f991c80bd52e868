// Short of stock: the least that fills the hole, as a brewer would.
//
// 920 g of a pale malt lack. Another pale malt takes their place, by its extract, and everything else stays as it is
// reserved: no other line, no other brew is touched. All brews that lack are answered together, for what one takes,
// another cannot. Several answers differ in kind: nearest, cheapest, oldest stock first, a smaller batch, brewed as it
// is, another date, or what to buy.
//
// The rules stand at the settings below and in docs/methods/substitution.md. Masses are kg, hops too.
#pragma once

#include <array>
#include <lotwort/brew/plan_lacks.hpp>
#include <lotwort/plan/mip.hpp>
#include <lotwort/plan/needs.hpp>
#include <lotwort/plan/shortage.hpp>
#include <map>
#include <set>

namespace lotwort::plan {

// What a careful brewer tolerates and tells apart; judgement without a source, each a setting. Shares are of the
// nominal, which is the forecast of the plan with nothing missing.
struct Tolerances {
    double brew_extract = 0.001;            // of the brew's, or a weigh step if that is more
    double colour_ebc = 1.0, colour = 0.05; // the greater
    double diastatic_power_wk = 100.0;      // or the recipe's floor, or its own if that is less
    double bittering = 0.01;                // of the brew's, or a weigh step
    // Of a caramel or roasted malt that is made up by its colour: of the hole's colour, and of the brew's extract.
    double colour_hole = 0.05, extract_by_colour = 0.02;
    double most_distance = 2.5;                   // of a malt that may stand in
    double other_class = 1.0, other_family = 0.5; // base for wheat or high-kilned; munich for vienna
    double other_grain = 1.5;                     // wheat for base: it has no husk, and is another allergen
    double colour_ratio = 1.5, colour_shift_ebc = 2.0, extract_points = 3.0, power_wk = 200.0; // that count 1
    double other_group = 0.5, other_hop = 0.25; // a hop that is boiled; of a group, beside those that are taken first
    double named = 0.1;        // times the preference that was stated: nearer than another lot of nearly the same malt
    double let_in = 5.0;       // of one that was named without a preference, and is not near: behind all that are
    double second_take = 0.25; // of the nearest single lot's distance, that one more must bring
};

enum class AnswerKind { nearest, cheapest, oldest, smaller, short_of_it, reschedule, buy };

// An open plan as the ledger has it: what of its reservations counts (kept_promises) and what it lacks beside.
struct PlanAsItStands {
    Plan kept;
    std::vector<PlanLack> lacks;
};

struct SubstituteRequest {
    std::vector<BrewToFill> brews; // answered together
    std::vector<Item> items;
    std::vector<LotState> lots; // promised: what other plans than these have reserved
    std::vector<Order> orders;  // open ones: what they bring by the day does not lack
    std::vector<Offer> offers;
    std::vector<Supplier> suppliers;
    std::string currency;
    Date today;                          // no brew is moved before it
    std::vector<PlanAsItStands> plans{}; // of these brews; a brew without one is drawn up by date
    // All other open plans: what one of a later day has reserved is taken where nothing else answers, and an order
    // makes it whole again by its day.
    std::vector<PlanAsItStands> others{};
    bool allow_past_best = false;
    Tolerances tolerances{};
    std::set<AnswerKind> kinds{AnswerKind::nearest,     AnswerKind::cheapest,   AnswerKind::oldest, AnswerKind::smaller,
                               AnswerKind::short_of_it, AnswerKind::reschedule, AnswerKind::buy};
    MipOptions limits{}; // of each kind: nodes, seconds, interrupt; its gaps and its progress are not used
    std::function<void(AnswerKind, const MipProgress&)> progress = nullptr; // called now and then
};

struct AnswerLine {
    std::string brew;
    int line = 0; // of the recipe: grist, then hops, then others, from 0
    std::string recipe_item;
    std::string lot;
    double mass_kg = 0.0;
    bool changed = false; // not what the plan has already
    friend bool operator==(const AnswerLine&, const AnswerLine&) = default;
};

// What an answer makes of one brew, by the forecast of a plan that reserves just these lots (as_booked).
struct Effect {
    Estimate original_gravity_sg, final_gravity_sg, volume_l, colour_ebc, bitterness_ibu, alcohol_abv_pct,
        diastatic_power_wk, extract_kg;
    // ml that hops bring which are not boiled for bitterness: mass times the certificate's oil. Shown, held to nothing.
    // None where there are no such hops, or one of their lots states no oil.
    std::optional<double> hop_oil_ml;
    std::string to_notice; // one sentence: what the drinker might notice against the plan
};

struct Move {
    std::string brew;
    Date from, to;
};

// What to buy of an item, of whom and when it would be there; without an offer just what.
struct Purchase {
    std::string item;
    Amount amount; // that lacks
    Date wanted;   // the first brew that lacks it
    std::optional<std::string> supplier{};
    int packs = 0;
    Amount pack{};
    Money cost{};     // of the packs
    Money delivery{}; // of all from that supplier: with the first of them
    std::optional<Date> arrives{};
};

// What nothing in store makes up in a brew that the answer fills else. Effects count it as its item.
struct ToGet {
    std::string brew;
    int line = 0;
    std::string item;
    Amount missing;
};

struct SubstituteAnswer {
    AnswerKind kind = AnswerKind::nearest;
    // nearest: distance; cheapest: money of the stand-ins; oldest: kg days of them; smaller: minus litres; reschedule:
    // days moved. Lower is better.
    double objective = 0.0;
    double bound = 0.0;          // no answer is lower
    double gap = 0.0;            // (objective - bound) / max(1, |objective|)
    bool proven_optimal = false; // gap <= 0.001
    // money of all lines, mass times each lot's price per kg; none where one of the lots states no price
    std::optional<double> cost{};
    std::string sentence;                 // the answer in one sentence, and what it does to the beer
    std::vector<AnswerKind> also;         // kinds whose answer is this very one
    std::vector<AnswerLine> lines;        // of the brews it answers, what stays too
    std::vector<Plan> plans;              // the same as what is booked where it is taken, by brew
    std::map<std::string, double> scale;  // by brew, 0 to 1
    std::map<std::string, Effect> effect; // of the brews it answers
    std::vector<std::string> left;        // brews that it cannot fill, or not whole, and why: sentences
    std::vector<ToGet> to_get;            // of brews that it does not fill whole
    std::vector<std::string> opened;      // lines changed that lack nothing, and why
    std::set<std::string> off_colour;     // brews of which no answer keeps the colour; it is within three times S6
    bool loses_hops = false;              // short: all hops of some time after the long boil are gone
    int crumbs = 0;                       // sacks left with less than a crumb
    std::vector<Move> moves;              // reschedule
    std::vector<Purchase> to_buy;         // buy
    std::vector<std::string> says;        // changes of allergen, more than a quarter more, figures assumed: sentences
};

// A kind that has no answer, and why.
struct NoAnswer {
    AnswerKind kind = AnswerKind::nearest;
    std::string reason; // one sentence
};

struct Substitution {
    Shortages shortages;
    std::map<std::string, Effect> recipe;  // by brew that lacks: what the plan comes to with nothing missing
    std::vector<SubstituteAnswer> answers; // what a brewer would do first stands first
    std::vector<NoAnswer> none;
    [[nodiscard]] bool has_full_size() const; // an answer that brews all of it
};

// nearest, cheapest, oldest and reschedule brew all of it.
[[nodiscard]] bool is_full_size(AnswerKind kind);

// Error(refused): a recipe that names an item nobody knows or cannot be scaled, two brews of one code. No stock at all,
// everything on hold and rules that clash are answers.
[[nodiscard]] Substitution substitute(const SubstituteRequest& request);

// The model of a kind, for inspection: to_mps and to_lp write it out. kind: nearest, cheapest or oldest.
[[nodiscard]] Mip substitution_mip(const SubstituteRequest& request, AnswerKind kind);

} // namespace lotwort::plan

namespace lotwort {
template <>
struct WordsOf<plan::AnswerKind> {
    static constexpr std::array<std::string_view, 7> list{"nearest", "cheapest",   "oldest", "smaller",
                                                          "short",   "reschedule", "buy"};
};
} // namespace lotwort
