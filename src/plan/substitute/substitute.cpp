#include "attempt.hpp"
#include "borrow.hpp"
#include "effect.hpp"
#include "other_answers.hpp"
#include "sentence.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/forecast_words.hpp>
#include <lotwort/plan/substitute.hpp>
#include <lotwort/plan/verify_substitution.hpp>

namespace lotwort::plan {

namespace {

constexpr double proven_gap = 0.001, worth_saving = 0.01;
constexpr double much_more = 1.25; // of what lacks: wants a reason

class Substituter {
public:
    explicit Substituter(const SubstituteRequest& request) : request_(request), standing_(standing_of(request)) {}

    Substitution run() {
        out_.shortages = shortages_of(request_, standing_);
        for (const StandingBrew& brew : standing_.brews)
            if (brew.lacks()) out_.recipe[request_.brews[brew.brew].code] = nominal_effect(request_, brew);
        case_ = substitution_case(request_, standing_);
        for (const AnswerKind kind : request_.kinds) answer(kind);
        std::ranges::stable_sort(out_.answers, {}, [&](const SubstituteAnswer& a) { return rank(a); });
        return std::move(out_);
    }

private:
    void answer(AnswerKind kind);
    [[nodiscard]] int rank(const SubstituteAnswer& made) const;
    [[nodiscard]] bool wants_malt(const SubstituteAnswer& made) const;
    void none(AnswerKind kind, std::string reason) { out_.none.push_back({kind, std::move(reason)}); }
    void add(std::optional<SubstituteAnswer> made, AnswerKind kind, std::string why);
    void fill(AnswerKind kind);
    void say_what_moved(const SubstitutionCase& c, AnswerKind kind, const Solved& solved, SubstituteAnswer& made) const;
    [[nodiscard]] SubstituteAnswer filled(const SubstitutionCase& c, AnswerKind kind, const Solved& solved) const;
    [[nodiscard]] Plan plan_of(const SubstitutionCase& c, const Solved& solved, std::size_t brew,
                               AnswerKind kind) const;
    void say_what_is_left(const SubstitutionCase& c, AnswerKind kind, const Solved& solved,
                          SubstituteAnswer& made) const;
    void say_of_takes(const SubstitutionCase& c, const Solved& solved, SubstituteAnswer& made) const;
    void borrow(const SubstitutionCase& c, const Solved& solved, SubstituteAnswer& made) const;
    [[nodiscard]] bool is_worth_telling(const SubstituteAnswer& made, std::string& why);

    const SubstituteRequest& request_;
    Standing standing_;
    SubstitutionCase case_;
    Substitution out_;
};

void Substituter::answer(AnswerKind kind) {
    std::string why;
    if (out_.shortages.lines.empty()) return none(kind, "no brew is short");
    switch (kind) {
    case AnswerKind::nearest:
    case AnswerKind::cheapest:
    case AnswerKind::oldest:
        return fill(kind);
    case AnswerKind::smaller: {
        auto made = smaller_answer(request_, standing_, out_.recipe, why);
        return add(std::move(made), kind, why);
    }
    case AnswerKind::short_of_it: {
        auto made = short_answer(request_, standing_, out_.recipe, why);
        return add(std::move(made), kind, why);
    }
    case AnswerKind::reschedule: {
        auto made = reschedule_answer(request_, standing_, out_.recipe, why);
        return add(std::move(made), kind, why);
    }
    case AnswerKind::buy:
        if (auto made = buy_answer(request_, standing_, why)) return out_.answers.push_back(std::move(*made));
        return none(kind, why);
    }
}

// Each brew that it answers waits for a malt.
bool Substituter::wants_malt(const SubstituteAnswer& made) const {
    return std::ranges::all_of(made.effect, [&](const auto& of) {
        return std::ranges::any_of(made.to_get, [&](const ToGet& one) {
            const auto brew = std::ranges::find(request_.brews, of.first, &BrewToFill::code);
            return one.brew == of.first && one.line < static_cast<int>(brew->recipe.grist.size());
        });
    });
}

// What a brewer would do first: brew it whole; buy what is there in time; leave some of a late hop away; brew less;
// brew it weak, or without its late hops.
int Substituter::rank(const SubstituteAnswer& made) const {
    if (is_full_size(made.kind)) return made.left.empty() ? 0 : wants_malt(made) ? 5 : 2;
    if (made.kind == AnswerKind::buy)
        return std::ranges::all_of(made.to_buy, [](const Purchase& p) { return p.arrives && *p.arrives <= p.wanted; })
                   ? 1
                   : 6;
    if (made.kind == AnswerKind::smaller) return 4;
    if (made.loses_hops) return 5;
    const bool is_as_strong = std::ranges::all_of(made.effect, [&](const auto& of) {
        const auto meant = glass_of(out_.recipe.at(of.first));
        ForecastGlass now = glass_of(of.second);
        now.bitterness_ibu = meant.bitterness_ibu;
        return are_alike(now, meant);
    });
    return is_as_strong ? 3 : 5;
}

void Substituter::add(std::optional<SubstituteAnswer> made, AnswerKind kind, std::string why) {
    if (!made) return none(kind, std::move(why));
    if (const auto broken = breaches(request_, *made); !broken.empty())
        return none(kind, "the answer found was looked at again and did not hold: " + broken[0]);
    out_.answers.push_back(std::move(*made));
}

void Substituter::fill(AnswerKind kind) {
    MipOptions limits = request_.limits;
    limits.progress = nullptr;
    if (request_.progress) limits.progress = [&](const MipProgress& now) { request_.progress(kind, now); };
    Budget budget(limits);
    auto attempt = best_attempt(request_, standing_, case_, kind, budget);
    if (!attempt)
        return none(kind, kind == AnswerKind::cheapest ? "there is no choice between lots that state a price"
                                                       : "there is no choice between lots that state a date");
    const auto& [c, solved, off_colour] = *attempt;
    SubstituteAnswer made = filled(c, kind, solved);
    for (const std::string& brew : off_colour)
        made.says.push_back(fmt::format("{}: nothing that is there keeps its colour within {:.2g} EBC or {:.2g} %",
                                        brew, request_.tolerances.colour_ebc, 100.0 * request_.tolerances.colour));
    made.off_colour = off_colour;
    if (kind == AnswerKind::nearest) borrow(c, solved, made);
    if (made.plans.empty()) {
        constexpr std::size_t most = 3;
        std::string why;
        for (std::size_t i = 0; i < std::min(most, made.left.size()); ++i)
            why += (why.empty() ? "" : "; ") + made.left[i];
        if (made.left.size() > most) why += fmt::format("; and {} more", made.left.size() - most);
        return none(kind, why.empty() && solved.stopped ? "the search ended at its limit" : why);
    }
    std::string why;
    if (!is_worth_telling(made, why)) return why.empty() ? void() : none(kind, std::move(why));
    add(std::move(made), kind, "");
}

// Of brews that nothing fills: what later brews have of their own items, where an order makes those whole again.
void Substituter::borrow(const SubstitutionCase& c, const Solved& solved, SubstituteAnswer& made) const {
    Lenders lenders(request_, standing_);
    std::vector<std::string> said;
    for (std::size_t b = 0; b < c.brews.size(); ++b) {
        const std::string& code = c.brews[b].brew->code;
        std::set<int> lines; // that lack still
        for (const Stubborn& one : c.to_get)
            if (one.brew == b && !solved.left[b]) lines.insert(one.line);
        if (!solved.left[b] && lines.empty()) continue;
        const auto took = lenders.fill(standing_.brews[c.brews[b].standing], lines, made);
        if (!took) continue;
        std::erase_if(made.to_get, [&](const ToGet& one) { return one.brew == code; });
        said.push_back(c.brews.size() > 1 ? code + ": " + *took : *took);
        std::vector<std::string> why; // nothing else answers: the reason for touching another brew
        std::erase_if(made.left, [&](const std::string& sentence) {
            const bool of_it = sentence.starts_with(code + ": ");
            if (of_it) why.push_back(sentence);
            return of_it;
        });
        for (const std::string& sentence : why)
            made.says.push_back(
                fmt::format("a later brew gives to {}, since {}", code, sentence.substr(code.size() + 2)));
    }
    if (said.empty()) return;
    add_cost(request_, made);
    std::string takes = takes_sentence(c, solved);
    for (const std::string& one : said) takes += (takes.empty() ? "" : "; ") + one;
    made.sentence = with_effects(with_to_get(std::move(takes), made), made, out_.recipe);
}

// Equal to one above it, it is a word on that one's line.
bool Substituter::is_worth_telling(const SubstituteAnswer& made, std::string& why) {
    for (SubstituteAnswer& other : out_.answers) {
        if (other.lines == made.lines) {
            other.also.push_back(made.kind);
            return false;
        }
        if (other.kind == AnswerKind::nearest && other.left.size() < made.left.size()) {
            why = "it would fill less than the nearest";
            return false;
        }
        if (made.kind == AnswerKind::cheapest && other.kind == AnswerKind::nearest && other.cost && made.cost &&
            *made.cost > (1.0 - worth_saving) * *other.cost) {
            why = fmt::format("nothing saves more than {:.0f} % against the nearest", 100.0 * worth_saving);
            return false;
        }
    }
    return true;
}

Plan Substituter::plan_of(const SubstitutionCase& c, const Solved& solved, std::size_t b, AnswerKind kind) const {
    const StandingBrew& standing = standing_.brews[c.brews[b].standing];
    Plan plan = bare_plan(*c.brews[b].brew);
    plan.adopted = std::string(word(kind));
    plan.reserved = standing.has.plan.reserved;
    for (const Take& take : solved.takes) {
        const Hole& hole = c.holes[take.hole];
        if (hole.brew != b) continue;
        const Candidate& k = hole.candidates[take.candidate];
        Reservation made{hole.line, c.lots[k.lot].state->lot.code, Amount::of(Kilograms(take.mass_kg))};
        const std::string& asked = standing.has.lines[static_cast<std::size_t>(hole.line)].item;
        if (k.character.item->name != asked) made.instead_of = asked;
        plan.reserved.push_back(std::move(made));
    }
    for (const Moved& moved : solved.moved) {
        if (moved.brew != b) continue;
        const Adjustable& a = c.brews[b].adjustable[moved.adjustable];
        const std::string& lot = c.lots[a.lot].state->lot.code;
        auto made =
            std::ranges::find_if(plan.reserved, [&](const Reservation& r) { return r.line == a.line && r.lot == lot; });
        if (made == plan.reserved.end()) made = plan.reserved.insert(made, {a.line, lot, Amount::of(Kilograms(0.0))});
        made->amount = made->amount + Amount::of(Kilograms(moved.kg));
    }
    std::ranges::stable_sort(plan.reserved, {}, &Reservation::line);
    return plan;
}

// What is moved of lines that lack nothing, and why.
void Substituter::say_what_moved(const SubstitutionCase& c, AnswerKind kind, const Solved& solved,
                                 SubstituteAnswer& made) const {
    for (const Moved& moved : solved.moved) {
        const CaseBrew& brew = c.brews[moved.brew];
        made.opened.push_back(fmt::format("{}: {} {} of {}, for else {}", brew.brew->code,
                                          to_text(Amount::of(Kilograms(std::abs(moved.kg)))),
                                          moved.kg > 0.0 ? "more" : "less", brew.adjustable[moved.adjustable].item,
                                          why_left(case_, moved.brew, kind, request_.limits)));
    }
}

void Substituter::say_what_is_left(const SubstitutionCase& c, AnswerKind kind, const Solved& solved,
                                   SubstituteAnswer& made) const {
    for (std::size_t b = 0; b < c.brews.size(); ++b) {
        const std::string& code = c.brews[b].brew->code;
        const auto wanting = c.wanting.find(code);
        if (wanting != c.wanting.end())
            for (const std::string& why : std::set(wanting->second.begin(), wanting->second.end()))
                made.left.push_back(code + ": " + why);
        else if (solved.left[b])
            made.left.push_back(
                code + ": " +
                (solved.stopped ? "the search ended at its limit" : why_left(c, b, kind, request_.limits)));
    }
    std::set<std::pair<std::size_t, std::string>> reasons; // a hop that lacks at several times has one
    for (const Stubborn& one : c.to_get) {
        if (solved.left[one.brew]) continue;
        made.to_get.push_back({c.brews[one.brew].brew->code, one.line, one.item, one.missing});
        reasons.emplace(one.brew, one.why);
    }
    for (const auto& [brew, why] : reasons) made.left.push_back(fmt::format("{}: {}", c.brews[brew].brew->code, why));
}

void Substituter::say_of_takes(const SubstitutionCase& c, const Solved& solved, SubstituteAnswer& made) const {
    std::set<std::string> lots;
    std::map<std::size_t, double> taken;
    for (const Take& take : solved.takes) {
        const Hole& hole = c.holes[take.hole];
        const Candidate& k = hole.candidates[take.candidate];
        lots.insert(c.lots[k.lot].state->lot.code);
        taken[k.lot] += take.mass_kg;
        const double own = hole.target / hole.mass_kg; // what a kilogram of what lacks gives
        if (k.counts * much_more < own)
            made.says.push_back(fmt::format("{} is weaker: {:.2g} times as much of it as lacks of {}",
                                            k.character.item->name, own / k.counts, hole.item));
    }
    for (const auto& [lot, kg] : taken) {
        const Item* item = nullptr;
        for (const Hole& hole : c.holes)
            for (const Candidate& k : hole.candidates)
                if (k.lot == lot) item = k.character.item;
        const double rest = c.lots[lot].free_kg - kg;
        if (item != nullptr && rest > 1e-6 &&
            rest < weighing_of(item->kind, c.brews[0].brew->brewhouse).crumb_kg - 1e-9)
            ++made.crumbs;
    }
    for (const auto& [lot, sentence] : c.says_of)
        if (lots.contains(lot)) made.says.push_back(sentence);
}

SubstituteAnswer Substituter::filled(const SubstitutionCase& c, AnswerKind kind, const Solved& solved) const {
    SubstituteAnswer made;
    made.kind = kind;
    made.objective = solved.objective;
    made.bound = solved.bound;
    made.gap = (made.objective - made.bound) / std::max(1.0, std::abs(made.objective));
    made.proven_optimal = made.gap <= proven_gap && !solved.stopped;
    for (std::size_t b = 0; b < c.brews.size(); ++b) {
        if (solved.left[b]) continue;
        const StandingBrew& standing = standing_.brews[c.brews[b].standing];
        std::vector<Lacking> coming;
        for (const Gap& gap : standing.gaps)
            if (gap.from_orders.units > 0) coming.push_back({gap.line, gap.from_orders});
        for (const Stubborn& one : c.to_get)
            if (one.brew == b) coming.push_back({one.line, one.missing});
        add_plan(request_, standing, plan_of(c, solved, b, kind), coming, made);
    }
    add_cost(request_, made);
    say_of_takes(c, solved, made);
    say_what_moved(c, kind, solved, made);
    say_what_is_left(c, kind, solved, made);
    made.sentence = with_effects(with_to_get(takes_sentence(c, solved), made), made, out_.recipe);
    return made;
}

} // namespace

bool is_full_size(AnswerKind kind) {
    return kind == AnswerKind::nearest || kind == AnswerKind::cheapest || kind == AnswerKind::oldest ||
           kind == AnswerKind::reschedule;
}

bool Substitution::has_full_size() const {
    return shortages.lines.empty() || std::ranges::any_of(answers, [](const SubstituteAnswer& a) {
               return is_full_size(a.kind) && a.left.empty();
           });
}

Substitution substitute(const SubstituteRequest& request) {
    return Substituter(request).run();
}

Mip substitution_mip(const SubstituteRequest& request, AnswerKind kind) {
    const Standing standing = standing_of(request);
    return substitution_model(substitution_case(request, standing), {.kind = kind}).mip;
}

} // namespace lotwort::plan
