#include "model.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>

namespace lotwort::plan {

namespace {

std::string name_of(const SubstitutionCase& c, const CaseLine& line, const Candidate& candidate) {
    return fmt::format("{} line {} {}", c.brews[line.brew].brew->code, line.line,
                       c.lots[candidate.lot].state->lot.code);
}

class Builder {
public:
    Builder(const SubstitutionCase& c, const ModelOptions& options) : case_(c), options_(options) {}

    SubstitutionModel build() {
        make_columns();
        for (std::size_t i = 0; i < case_.lines.size(); ++i) keep_takes(i);
        for (std::size_t i = 0; i < case_.lots.size(); ++i) keep_lot(i);
        for (std::size_t i = 0; i < case_.lines.size(); ++i) keep_line(i);
        for (std::size_t b = 0; b < case_.brews.size(); ++b) keep_brew(b);
        if (options_.kind == AnswerKind::nearest)
            for (std::size_t i = 0; i < case_.lines.size(); ++i) count_deviation(i);
        return std::move(out_);
    }

private:
    void make_columns();
    void keep_takes(std::size_t line);
    void keep_steps(std::size_t line, std::size_t candidate);
    void keep_lot(std::size_t lot);
    void end_alone(std::size_t lot, const std::vector<int>& takes, double step);
    void keep_line(std::size_t line);
    void keep_brew(std::size_t brew);
    void keep_grist(std::size_t brew);
    void keep_shares(std::size_t brew);
    void count_deviation(std::size_t line);

    // factor(line, candidate) * mass over the brew's lines of a kind
    template <class Factor>
    std::vector<Term> sum_over(std::size_t brew, LineKind kind, Factor factor) const {
        std::vector<Term> terms;
        for (std::size_t i = 0; i < case_.lines.size(); ++i) {
            const CaseLine& line = case_.lines[i];
            if (line.brew != brew || line.kind != kind) continue;
            for (std::size_t k = 0; k < line.candidates.size(); ++k)
                terms.push_back({out_.mass[i][k], factor(line, line.candidates[k])});
        }
        return terms;
    }
    // low and high times the brew's scale, in one row where the scale is 1
    void between(Rule& rule, std::vector<Term> terms, double low, double high) {
        const std::string name = rule.words;
        if (out_.scale.empty()) {
            rule.rows.push_back(out_.mip.row(name, std::move(terms), low, high));
            return;
        }
        const int scale = out_.scale[rule.brew];
        auto below = terms;
        below.push_back({scale, -high});
        if (std::isfinite(high)) rule.rows.push_back(out_.mip.row(name, std::move(below), -no_limit, 0.0));
        terms.push_back({scale, -low});
        if (std::isfinite(low)) rule.rows.push_back(out_.mip.row(name, std::move(terms), 0.0, no_limit));
    }
    [[nodiscard]] double most_of(const CaseLine& line, const Candidate& candidate) const;
    [[nodiscard]] const std::string& code(std::size_t brew) const { return case_.brews[brew].brew->code; }

    const SubstitutionCase& case_;
    ModelOptions options_;
    SubstitutionModel out_;
};

// No line takes more of a lot than its own rule lets it: a tight bound halves the search.
double Builder::most_of(const CaseLine& line, const Candidate& candidate) const {
    const double free = case_.lots[candidate.lot].free_kg;
    if (options_.loose_bounds) return free;
    const double counts = line.counts(candidate);
    return counts > 0.0 ? std::min(free, line.most / counts) : free;
}

void Builder::make_columns() {
    if (options_.kind == AnswerKind::smaller)
        for (const CaseBrew& brew : case_.brews)
            out_.scale.push_back(out_.mip.column("scale of " + brew.brew->code, 0.0, 1.0, -brew.brew->volume.value()));
    for (const CaseLine& line : case_.lines) {
        auto& mass = out_.mass.emplace_back();
        auto& taken = out_.taken.emplace_back();
        for (const Candidate& candidate : line.candidates) {
            const std::string name = name_of(case_, line, candidate);
            mass.push_back(out_.mip.column(name, 0.0, most_of(line, candidate),
                                           objective_per_kg(case_, options_.kind, line, candidate)));
            taken.push_back(out_.mip.yes_no(name + " taken"));
        }
    }
}

// S2: nothing, or at least the least take, the whole lot or the line's whole target, whichever is least.
void Builder::keep_takes(std::size_t i) {
    const CaseLine& line = case_.lines[i];
    Rule rule{fmt::format("takes of {} for {} that can be weighed", line.item->name, code(line.brew)), line.brew, {}};
    if (options_.steps) out_.steps.emplace_back(line.candidates.size());
    for (std::size_t k = 0; k < line.candidates.size(); ++k) {
        const int mass = out_.mass[i][k], taken = out_.taken[i][k];
        const CaseLot& lot = case_.lots[line.candidates[k].lot];
        const double whole = lot.opened ? no_limit : lot.free_kg; // what others opened nobody takes whole
        const double least = std::min({line.weighing.least_kg, whole, line.mass_kg});
        out_.mip.row("only if taken", {{mass, 1.0}, {taken, -out_.mip.columns()[std::size_t(mass)].high}}, -no_limit,
                     0.0);
        std::vector<Term> terms{{mass, 1.0}, {taken, -least}};
        double low = 0.0;
        if (!out_.scale.empty() && least == line.mass_kg) { // the target itself, which goes with the scale
            terms.push_back({out_.scale[line.brew], -least});
            low = -least;
        }
        rule.rows.push_back(out_.mip.row(rule.words, std::move(terms), low, no_limit));
        if (options_.steps) keep_steps(i, k);
    }
    out_.rules.push_back(std::move(rule));
}

// Whole weigh steps; a whole lot may end between two.
void Builder::keep_steps(std::size_t i, std::size_t k) {
    const CaseLine& line = case_.lines[i];
    const double step = line.weighing.step_kg, free = case_.lots[line.candidates[k].lot].free_kg;
    const int mass = out_.mass[i][k];
    const double high = out_.mip.columns()[std::size_t(mass)].high;
    const double whole = std::floor(free / step + 1e-9), rest = free - whole * step;
    const int steps = out_.mip.whole("steps", 0.0, std::floor(high / step + 1e-9));
    std::vector<Term> terms{{mass, 1.0}, {steps, -step}};
    if (rest > 1e-9 && high >= free - 1e-9 && !case_.lots[line.candidates[k].lot].opened) {
        const int all = out_.mip.yes_no("the whole lot");
        out_.mip.row("the whole lot", {{steps, 1.0}, {all, -whole}}, 0.0, no_limit);
        terms.push_back({all, -rest});
        out_.steps[i][k].whole_lot = all;
    }
    out_.steps[i][k].count = steps;
    out_.steps[i][k].row = out_.mip.row("in steps", std::move(terms), 0.0, 0.0);
}

// What ends between two weigh steps cannot be emptied by several takes in whole steps.
void Builder::end_alone(std::size_t l, const std::vector<int>& takes, double step) {
    const CaseLot& lot = case_.lots[l];
    const double rest = lot.free_kg - step * std::floor(lot.free_kg / step + 1e-9);
    if (takes.size() < 2 || rest <= 1e-9 || lot.opened) return;
    const double others = static_cast<double>(takes.size() - 1);
    std::vector<Term> lone{{out_.emptied[l], others}};
    for (const int take : takes) lone.push_back({take, 1.0});
    out_.mip.row("emptied by one take", std::move(lone), -no_limit, others + 1.0);
}

// S1 and S3.
void Builder::keep_lot(std::size_t l) {
    const CaseLot& lot = case_.lots[l];
    if (options_.allow_crumbs) out_.crumb.push_back(-1);
    out_.touched.push_back(-1);
    out_.emptied.push_back(-1);
    std::vector<Term> sum;
    std::vector<int> takes;
    double step = 0.0; // the finest that it is weighed in
    for (std::size_t i = 0; i < case_.lines.size(); ++i)
        for (std::size_t k = 0; k < case_.lines[i].candidates.size(); ++k)
            if (case_.lines[i].candidates[k].lot == l) {
                sum.push_back({out_.mass[i][k], 1.0});
                takes.push_back(out_.taken[i][k]);
                const double of_line = case_.lines[i].weighing.step_kg;
                step = takes.size() == 1 ? of_line : std::min(step, of_line);
            }
    if (sum.empty()) return;
    const std::string& code = lot.state->lot.code;
    out_.mip.row("what is free of " + code, sum, -no_limit, lot.free_kg);
    if (lot.crumb_kg <= 0.0) return;
    const int touched = takes.size() == 1 ? takes[0] : out_.mip.yes_no(code + " touched");
    if (takes.size() > 1)
        for (const int take : takes) out_.mip.row(code + " touched", {{touched, 1.0}, {take, -1.0}}, 0.0, no_limit);
    const int emptied = out_.mip.yes_no(code + " emptied");
    auto all = sum;
    all.push_back({emptied, -lot.free_kg});
    out_.mip.row(code + " emptied", std::move(all), 0.0, no_limit);
    out_.touched.back() = touched;
    out_.emptied.back() = emptied;
    if (options_.lone_ends) end_alone(l, takes, step);
    // a lot that holds less than a crumb is taken whole or left alone; what others opened is not left alone
    const double crumb = lot.opened ? lot.crumb_kg : std::min(lot.crumb_kg, lot.free_kg);
    if (!lot.opened) sum.push_back({touched, crumb});
    sum.push_back({emptied, -crumb});
    if (options_.allow_crumbs) {
        out_.crumb.back() = out_.mip.yes_no(code + " left with a crumb");
        sum.push_back({out_.crumb.back(), -crumb});
    }
    Rule rule{fmt::format("nothing or at least {:.4g} g left of lot {}", 1000.0 * lot.crumb_kg, code),
              case_.brews.size(),
              {}};
    const double most = lot.opened ? lot.free_kg - crumb : lot.free_kg;
    rule.rows.push_back(out_.mip.row(rule.words, std::move(sum), -no_limit, most));
    out_.rules.push_back(std::move(rule));
}

// S5 and S10, of a line.
void Builder::keep_line(std::size_t i) {
    const CaseLine& line = case_.lines[i];
    if (line.kind == LineKind::bittering) return;
    const bool grist = line.kind == LineKind::grist;
    Rule rule{grist ? fmt::format("the extract that {} gives in {} ({:.3g} kg within {:.3g} %)", line.item->name,
                                  code(line.brew), line.target, 100.0 * line.tolerance)
                    : fmt::format("the {:.4g} g of {} in {} (within {:.3g} g)", 1000.0 * line.target, line.item->name,
                                  code(line.brew), 1000.0 * line.tolerance),
              line.brew,
              {}};
    std::vector<Term> terms;
    for (std::size_t k = 0; k < line.candidates.size(); ++k)
        terms.push_back({out_.mass[i][k], line.counts(line.candidates[k])});
    const double off = grist ? line.target * line.tolerance : line.tolerance;
    between(rule, std::move(terms), line.target - off, line.target + off);
    out_.rules.push_back(std::move(rule));
}

void Builder::keep_brew(std::size_t b) {
    const CaseBrew& brew = case_.brews[b];
    if (brew.extract_kg > 0.0) keep_grist(b);
    if (brew.bittering > 0.0) { // S9
        Rule rule{fmt::format("the bitterness of {} within {:.2g} %", code(b),
                              100.0 * brew.bittering_tolerance / brew.bittering),
                  b,
                  {}};
        // as shares of the recipe's: a gram of alpha is near what the solver takes for nothing
        auto terms = sum_over(b, LineKind::bittering, [&](const CaseLine& line, const Candidate& c) {
            return line.counts(c) / brew.bittering;
        });
        const double off = brew.bittering_tolerance / brew.bittering;
        between(rule, std::move(terms), 1.0 - off, 1.0 + off);
        out_.rules.push_back(std::move(rule));
    }
}

// S5 of the brew, S6, S7, S8.
void Builder::keep_grist(std::size_t b) {
    const CaseBrew& brew = case_.brews[b];
    const auto grist = [&](auto factor) {
        return sum_over(b, LineKind::grist, [&](const CaseLine&, const Candidate& c) { return factor(c); });
    };
    Rule extract{fmt::format("the extract of {} ({:.4g} kg within {:.2g} %)", code(b), brew.extract_kg,
                             100.0 * brew.extract_tolerance_kg / brew.extract_kg),
                 b,
                 {}};
    between(extract, grist([](const Candidate& c) { return c.extract; }), brew.extract_kg - brew.extract_tolerance_kg,
            brew.extract_kg + brew.extract_tolerance_kg);
    out_.rules.push_back(std::move(extract));
    Rule colour{fmt::format("the colour of {} ({:.3g} EBC)", code(b), brew.nominal.forecast.colour_ebc.value), b, {}};
    colour.is_plain = false;
    between(colour, grist([](const Candidate& c) { return c.lovibond; }), brew.colour_low, brew.colour_high);
    out_.rules.push_back(std::move(colour));
    if (brew.power_floor_wk > 0.0) {
        Rule power{fmt::format("a grist mean of {:.4g} WK or more in {}", brew.power_floor_wk, code(b)), b, {}};
        const double floor = brew.power_floor_wk;
        power.rows.push_back(
            out_.mip.row(power.words, grist([&](const Candidate& c) { return c.power_wk - floor; }), 0.0, no_limit));
        out_.rules.push_back(std::move(power));
    }
    keep_shares(b);
}

void Builder::keep_shares(std::size_t b) {
    for (const auto& [item, most] : case_.brews[b].most_share) {
        bool used = false;
        auto terms =
            sum_over(b, LineKind::grist, [&, &name = item, &limit = most](const CaseLine&, const Candidate& c) {
                used = used || c.item->name == name;
                return (c.item->name == name ? 1.0 : 0.0) - limit;
            });
        if (!used) continue;
        Rule share{fmt::format("at most {:.3g} % of {} in {}", 100.0 * most, item, code(b)), b, {}};
        share.rows.push_back(out_.mip.row(share.words, std::move(terms), -no_limit, 0.0));
        out_.rules.push_back(std::move(share));
    }
}

// The absolute deviation of a line beyond its dead band, in kg of extract (malt) or kg (late hops).
void Builder::count_deviation(std::size_t i) {
    const CaseLine& line = case_.lines[i];
    if (line.kind == LineKind::bittering) return;
    const int beyond = out_.mip.column("deviation", 0.0, no_limit, 1.0);
    std::vector<Term> terms;
    for (std::size_t k = 0; k < line.candidates.size(); ++k)
        terms.push_back({out_.mass[i][k], line.counts(line.candidates[k])});
    auto above = terms, below = terms;
    above.push_back({beyond, -1.0});
    below.push_back({beyond, 1.0});
    out_.mip.row("deviation above", std::move(above), -no_limit, line.target + line.band);
    out_.mip.row("deviation below", std::move(below), line.target - line.band, no_limit);
}

} // namespace

double objective_per_kg(const SubstitutionCase& c, AnswerKind kind, const CaseLine& line, const Candidate& candidate) {
    switch (kind) {
    case AnswerKind::nearest:
        return candidate.distance * (line.kind == LineKind::grist ? candidate.extract : 1.0);
    case AnswerKind::cheapest:
        return c.lots[candidate.lot].cost_per_kg;
    case AnswerKind::oldest:
        return candidate.days_to_best;
    case AnswerKind::smaller:
    case AnswerKind::reschedule:
    case AnswerKind::buy:
        break;
    }
    return 0.0;
}

SubstitutionModel substitution_model(const SubstitutionCase& c, const ModelOptions& options) {
    return Builder(c, options).build();
}

} // namespace lotwort::plan
