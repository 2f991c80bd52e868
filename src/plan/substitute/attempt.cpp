#include "attempt.hpp"
#include "borrow.hpp"
#include <algorithm>
#include <limits>

namespace lotwort::plan {

namespace {

// Of the cheapest only lots with a price, of the oldest only those with a date.
std::optional<SubstitutionCase> only(AnswerKind kind, SubstitutionCase c) {
    bool any_choice = false;
    for (Hole& hole : c.holes) {
        if (kind != AnswerKind::nearest)
            std::erase_if(hole.candidates, [&](const Candidate& k) {
                return kind == AnswerKind::cheapest ? !c.lots[k.lot].has_price
                                                    : !c.lots[k.lot].state->lot.best_before.has_value();
            });
        any_choice = any_choice || hole.candidates.size() > 1;
    }
    return kind == AnswerKind::nearest || any_choice ? std::optional(std::move(c)) : std::nullopt;
}

// Lines of a brew that are not filled: more than any number of them where it is left.
std::ptrdiff_t lines_open(const Attempt& a, std::size_t brew) {
    return a.solved.left[brew] ? std::numeric_limits<std::int32_t>::max()
                               : std::ranges::count(a.c.to_get, brew, &Stubborn::brew);
}

class Attempts {
public:
    Attempts(const SubstituteRequest& request, const Standing& standing, AnswerKind kind, Budget& budget)
        : request_(request), standing_(standing), kind_(kind), budget_(budget) {}

    std::optional<Attempt> run(const SubstitutionCase& usual) {
        best_ = attempt(usual);
        if (!best_) return std::nullopt;
        by_colour();
        in_part();
        open();
        if (kind_ == AnswerKind::nearest) loosen();
        return std::move(best_);
    }

private:
    [[nodiscard]] std::optional<Attempt> attempt(SubstitutionCase c) {
        auto of_kind = only(kind_, std::move(c));
        if (!of_kind) return std::nullopt;
        Solved solved = solve_holes(*of_kind, kind_, budget_);
        return Attempt{std::move(*of_kind), std::move(solved)};
    }
    void by_colour();
    void in_part();
    void open();
    [[nodiscard]] bool is_lent_to(const StandingBrew& brew) const;
    [[nodiscard]] bool leaves_more(const Attempt& again) const;
    void loosen();
    [[nodiscard]] const std::string& code(std::size_t brew) const { return best_->c.brews[brew].brew->code; }
    [[nodiscard]] std::ptrdiff_t all_lines_open(const Attempt& a) const {
        std::ptrdiff_t lines = 0;
        for (std::size_t b = 0; b < a.c.brews.size(); ++b) lines += lines_open(a, b);
        return lines;
    }

    const SubstituteRequest& request_;
    const Standing& standing_;
    AnswerKind kind_;
    Budget& budget_;
    Leeway leeway_;
    std::optional<Attempt> best_;
};

// Only brews that it helps: what extract fills is better left to that.
void Attempts::by_colour() {
    std::set<std::string> asked, helped;
    for (std::size_t b = 0; b < best_->c.brews.size(); ++b)
        if (lines_open(*best_, b) > 0 && lacks_colour(standing_.brews[best_->c.brews[b].standing]))
            asked.insert(code(b));
    if (asked.empty()) return;
    auto again = attempt(substitution_case(request_, standing_, {.by_colour = asked}));
    if (!again) return;
    for (std::size_t b = 0; b < best_->c.brews.size(); ++b)
        if (asked.contains(code(b)) && lines_open(*again, b) < lines_open(*best_, b)) helped.insert(code(b));
    if (!helped.empty() && helped != asked)
        again = attempt(substitution_case(request_, standing_, {.by_colour = helped}));
    if (!again || all_lines_open(*again) >= all_lines_open(*best_)) return;
    best_ = std::move(again);
    leeway_.by_colour = std::move(helped);
}

// Would later brews give it what it lacks? Then it wants no part of another malt.
bool Attempts::is_lent_to(const StandingBrew& brew) const {
    SubstituteAnswer tried;
    return Lenders(request_, standing_).fill(brew, {}, tried).has_value();
}

bool Attempts::leaves_more(const Attempt& again) const {
    for (std::size_t b = 0; b < best_->c.brews.size(); ++b)
        if (again.solved.left[b] && !best_->solved.left[b]) return true;
    return false;
}

// What there is goes in where it is most of what lacks, and the rest is to be got.
void Attempts::in_part() {
    const auto missing = [&](const Attempt& a, std::size_t brew) {
        std::vector<Amount> amounts;
        for (const Stubborn& one : a.c.to_get)
            if (one.brew == brew) amounts.push_back(one.missing);
        return amounts;
    };
    std::set<std::string> asked, helped;
    for (std::size_t b = 0; b < best_->c.brews.size(); ++b)
        if (lines_open(*best_, b) > 0 && (best_->c.wanting.contains(code(b)) || !missing(*best_, b).empty()) &&
            !is_lent_to(standing_.brews[best_->c.brews[b].standing]))
            asked.insert(code(b));
    if (asked.empty()) return;
    const auto with = [&](const std::set<std::string>& brews) {
        Leeway leeway = leeway_;
        leeway.in_part = brews;
        return attempt(substitution_case(request_, standing_, leeway));
    };
    auto again = with(asked);
    if (!again) return;
    for (std::size_t b = 0; b < best_->c.brews.size(); ++b)
        if (asked.contains(code(b)) && !again->solved.left[b] &&
            (best_->solved.left[b] || missing(*again, b) != missing(*best_, b)))
            helped.insert(code(b));
    if (helped.empty()) return;
    if (helped != asked) again = with(helped);
    if (!again || leaves_more(*again)) return;
    best_ = std::move(again);
    leeway_.in_part = std::move(helped);
}

// The brews that are left though each hole has lots enough.
void Attempts::open() {
    for (std::size_t b = 0; b < best_->c.brews.size(); ++b)
        if (best_->solved.left[b] && !best_->c.wanting.contains(code(b))) leeway_.opened.insert(code(b));
    if (leeway_.opened.empty()) return;
    const auto is_better = [&](const std::optional<Attempt>& again) {
        return again && std::ranges::count(again->solved.left, true) < std::ranges::count(best_->solved.left, true);
    };
    if (auto again = attempt(substitution_case(request_, standing_, leeway_)); is_better(again))
        best_ = std::move(again);
    Leeway both = leeway_; // half of a malt twice as dark, and of the others what it does not give of extract
    for (std::size_t b = 0; b < best_->c.brews.size(); ++b)
        if (best_->solved.left[b] && leeway_.opened.contains(code(b)) &&
            lacks_colour(standing_.brews[best_->c.brews[b].standing]))
            both.by_colour.insert(code(b));
    if (both.by_colour == leeway_.by_colour) return;
    if (auto again = attempt(substitution_case(request_, standing_, both)); is_better(again)) {
        best_ = std::move(again);
        leeway_ = std::move(both);
    }
}

// A brew that is left for a rule is better brewed a little off its colour than not: three times as far, and that is
// said.
void Attempts::loosen() {
    constexpr double farther = 3.0;
    SubstitutionCase wider = best_->c;
    bool any = false;
    for (std::size_t b = 0; b < wider.brews.size(); ++b) {
        if (!best_->solved.left[b] || wider.wanting.contains(code(b))) continue;
        BrewLimits& limits = wider.brews[b].limits;
        const double middle = 0.5 * (limits.colour_low + limits.colour_high);
        limits.colour_low = middle - farther * (middle - limits.colour_low);
        limits.colour_high = middle + farther * (limits.colour_high - middle);
        any = true;
    }
    if (!any) return;
    Attempt again{std::move(wider), {}};
    again.solved = solve_holes(again.c, kind_, budget_);
    for (std::size_t b = 0; b < best_->c.brews.size(); ++b)
        if (best_->solved.left[b] && !again.solved.left[b]) again.off_colour.insert(code(b));
    if (!again.off_colour.empty()) best_ = std::move(again);
}

} // namespace

std::optional<Attempt> best_attempt(const SubstituteRequest& request, const Standing& standing,
                                    const SubstitutionCase& usual, AnswerKind kind, Budget& budget) {
    return Attempts(request, standing, kind, budget).run(usual);
}

} // namespace lotwort::plan
