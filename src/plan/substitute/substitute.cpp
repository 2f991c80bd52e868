#include "effect.hpp"
#include "solve.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/plan/substitute.hpp>
#include <lotwort/plan/verify_substitution.hpp>

namespace lotwort::plan {

namespace {

constexpr double proven_gap = 0.001;
constexpr std::size_t most_trials = 60; // of other dates

std::string together(const std::vector<std::string>& rules) {
    if (rules.size() == 1) return rules[0] + " cannot be kept with what is free";
    std::string out = rules[0] + " cannot be kept together with ";
    for (std::size_t i = 1; i < rules.size(); ++i)
        out += (i == 1 ? "" : i + 1 == rules.size() ? " and " : ", ") + rules[i];
    return out + ", with what is free";
}

// Several goes at one answer share its seconds.
struct Search {
    double left = 0.0;
    bool stopped = false;
    [[nodiscard]] bool is_over() const { return stopped && left <= 0.0; }
};

class Substituter {
public:
    explicit Substituter(const SubstituteRequest& request) : request_(request) {}

    Substitution run() {
        out_.shortages = shortages(request_.brews, request_.items, request_.lots, request_.orders);
        if (request_.lacking) out_.shortages.lines = *request_.lacking;
        case_ = substitution_case(request_);
        for (const CaseBrew& brew : case_.brews) {
            nominal_.push_back(brew.nominal);
            out_.recipe[brew.brew->code] = recipe_effect(request_, brew.nominal);
        }
        for (const AnswerKind kind : request_.kinds) answer(kind);
        return std::move(out_);
    }

private:
    void answer(AnswerKind kind) {
        if (kind == AnswerKind::reschedule)
            reschedule();
        else if (kind == AnswerKind::buy)
            buy();
        else
            masses(kind);
    }
    void none(AnswerKind kind, std::vector<std::string> clash, std::string reason) {
        NoAnswer& made = out_.none.emplace_back();
        made.kind = kind;
        made.clash = std::move(clash);
        made.reason = std::move(reason);
    }
    void masses(AnswerKind kind);
    void reschedule();
    void buy();
    [[nodiscard]] std::optional<SubstituteAnswer> sought(const SubstituteRequest& request, AnswerKind kind,
                                                         const SubstitutionCase& c, Leniency leniency, Search& search);
    void refuse(AnswerKind kind, bool stopped);

    const SubstituteRequest& request_;
    Substitution out_;
    SubstitutionCase case_;
    std::vector<Nominal> nominal_;
    std::optional<Leniency> needed_; // what the first answer needed, the others of the same rules need too
    std::optional<std::vector<std::string>> clash_;
};

std::optional<SubstituteAnswer> Substituter::sought(const SubstituteRequest& request, AnswerKind kind,
                                                    const SubstitutionCase& c, Leniency leniency, Search& search) {
    MipOptions limits = request.limits;
    limits.seconds = search.left;
    limits.progress = nullptr;
    if (request.progress) limits.progress = [&](const MipProgress& now) { request.progress(kind, now); };
    const Solved solved = solve_kind(c, kind, leniency, limits);
    search.stopped = search.stopped || solved.stopped;
    search.left -= solved.seconds;
    if (!solved.found) return std::nullopt;
    SubstituteAnswer made;
    made.kind = kind;
    made.objective = solved.objective;
    made.bound = solved.bound;
    made.gap = (made.objective - made.bound) / std::max(1.0, std::abs(made.objective));
    made.proven_optimal = made.gap <= proven_gap;
    made.lines = solved.lines;
    made.scale = solved.scale;
    made.crumbs = solved.crumbs;
    made.bittering_by_half_step = leniency.half_steps;
    made.says = c.says;
    std::set<std::string> taken;
    for (const AnswerLine& line : made.lines) taken.insert(line.lot);
    for (const auto& [lot, sentence] : c.says_of)
        if (taken.contains(lot)) made.says.push_back(sentence);
    return made;
}

// Strictly first; then with a crumb left, then with the bittering to half a weigh step of hops, then with both.
void Substituter::masses(AnswerKind kind) {
    std::vector<Leniency> tries{{}, {.crumbs = true}, {.half_steps = true}, {.crumbs = true, .half_steps = true}};
    if (kind == AnswerKind::smaller) tries.resize(1);
    if (kind != AnswerKind::smaller && clash_) tries.clear();
    if (kind != AnswerKind::smaller && needed_) tries = {*needed_};
    Search search{request_.limits.seconds};
    for (const Leniency& leniency : tries) {
        if (search.is_over()) break;
        const SubstitutionCase lenient =
            leniency.half_steps ? substitution_case(request_, false, true) : SubstitutionCase{};
        auto made = sought(request_, kind, leniency.half_steps ? lenient : case_, leniency, search);
        if (!made) continue;
        if (kind == AnswerKind::smaller && made->objective > -1e-6) break;
        if (kind != AnswerKind::smaller) needed_ = leniency;
        add_effects(request_, *made, nominal_);
        const auto broken = breaches(request_, *made);
        if (broken.empty())
            out_.answers.push_back(std::move(*made));
        else
            none(kind, broken, "the answer found was looked at again and did not hold: " + broken[0]);
        return;
    }
    refuse(kind, search.stopped);
}

void Substituter::refuse(AnswerKind kind, bool stopped) {
    if (!clash_ && !stopped) clash_ = clashing_rules(substitution_case(request_, false, true), request_.limits);
    const auto clash = clash_.value_or(std::vector<std::string>{});
    if (!clash.empty())
        none(kind, clash, together(clash));
    else if (stopped)
        none(kind, {}, "the search ended at its limit before an answer was found");
    else
        none(kind, {}, "masses can be found that keep every rule, but none in whole weigh steps");
}

// Days that could help a brew: of the other brews, of lots that come later, of lots that are past their date by then.
std::vector<std::vector<Move>> other_dates(const SubstituteRequest& request) {
    std::vector<std::vector<Move>> trials;
    const auto days = [](const std::vector<Move>& moves) {
        std::int64_t sum = 0;
        for (const Move& move : moves) sum += std::abs((move.to - move.from).count());
        return sum;
    };
    for (const BrewToFill& brew : request.brews) {
        std::set<Date> to;
        for (const LotState& state : request.lots) {
            to.insert(state.lot.received);
            if (state.lot.best_before) to.insert(*state.lot.best_before);
        }
        for (const Date day : to)
            if (day != brew.date && day >= request.today) trials.push_back({{brew.code, brew.date, day}});
        for (const BrewToFill& other : request.brews)
            if (brew.code < other.code && brew.date != other.date)
                trials.push_back({{brew.code, brew.date, other.date}, {other.code, other.date, brew.date}});
    }
    std::ranges::stable_sort(trials, {}, days);
    if (trials.size() > most_trials) trials.resize(most_trials);
    return trials;
}

void Substituter::reschedule() {
    if (out_.shortages.lines.empty()) {
        none(AnswerKind::reschedule, {}, "no brew is short");
        return;
    }
    for (const auto& moves : other_dates(request_)) {
        SubstituteRequest moved = request_;
        for (const Move& move : moves)
            for (BrewToFill& brew : moved.brews)
                if (brew.code == move.brew) brew.date = move.to;
        // that alone must cure it: nothing lacks when each brew takes its own malts and hops by date
        const Shortages after = shortages(moved.brews, moved.items, moved.lots, {});
        if (!after.lines.empty()) continue;
        Search search{request_.limits.seconds};
        auto made = sought(moved, AnswerKind::nearest, substitution_case(moved, true), {}, search);
        if (!made) continue;
        made->kind = AnswerKind::reschedule;
        made->moves = moves;
        made->objective = 0.0;
        for (const Move& move : moves) made->objective += std::abs(double((move.to - move.from).count()));
        made->bound = made->objective; // the trials go by days moved
        made->gap = 0.0;
        made->proven_optimal = true;
        add_effects(request_, *made, nominal_);
        if (!breaches(request_, *made).empty()) continue;
        out_.answers.push_back(std::move(*made));
        return;
    }
    none(AnswerKind::reschedule, {}, "no other date of one brew and no change of places of two cures it alone");
}

void Substituter::buy() {
    if (out_.shortages.lines.empty()) {
        none(AnswerKind::buy, {}, "no brew is short");
        return;
    }
    SubstituteAnswer made;
    made.kind = AnswerKind::buy;
    made.proven_optimal = true;
    made.to_buy = out_.shortages.lines;
    out_.answers.push_back(std::move(made));
}

} // namespace

bool is_full_size(AnswerKind kind) {
    return kind != AnswerKind::smaller && kind != AnswerKind::buy;
}

bool Substitution::has_full_size() const {
    return std::ranges::any_of(answers, [](const SubstituteAnswer& a) { return is_full_size(a.kind); });
}

Substitution substitute(const SubstituteRequest& request) {
    return Substituter(request).run();
}

Mip substitution_mip(const SubstituteRequest& request, AnswerKind kind) {
    return substitution_model(substitution_case(request), {.kind = kind}).mip;
}

} // namespace lotwort::plan
