#include "model.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <functional>

namespace lotwort::plan {

namespace {

constexpr double left_costs = 1e4;       // of a brew that is not filled: more than any distance, cost or age
constexpr double in_part_costs = 0.1;    // of that, where the brew lacks something still
constexpr double changed_costs = 100.0;  // of a line that lacks nothing
constexpr double most_off = 0.1;         // of a hole, where other lines make up for it
constexpr double off_costs = 20.0;       // of a whole hole missed: more than any distance
constexpr double tie_by_distance = 1e-3; // of the other kinds

const std::string& name_of(const Candidate& k) {
    return k.character.item->name;
}
const std::string& name_of(const Adjustable& a) {
    return a.item;
}

class Builder {
public:
    Builder(const SubstitutionCase& c, const ModelOptions& options) : case_(c), options_(options) {}

    SubstitutionModel build() {
        for (const CaseBrew& brew : case_.brews)
            out_.left.push_back(
                out_.mip.yes_no("left: " + brew.brew->code, brew.in_part ? in_part_costs * left_costs : left_costs));
        scale_ = out_.scale = scale();
        for (const Hole& hole : case_.holes) make_hole(hole);
        for (std::size_t b = 0; b < case_.brews.size(); ++b) open(b);
        for (std::size_t lot = 0; lot < case_.lots.size(); ++lot) keep_lot(lot);
        for (std::size_t b = 0; b < case_.brews.size(); ++b) keep_brew(b);
        return std::move(out_);
    }

private:
    void make_hole(const Hole& hole);
    void open(std::size_t brew);
    void keep_lot(std::size_t lot);
    void keep_brew(std::size_t brew);
    void keep_extract(std::size_t brew);
    void keep_shares(std::size_t brew);
    [[nodiscard]] double scale() const;
    [[nodiscard]] double fewest_lots(const Hole& hole) const;
    [[nodiscard]] double per_kg(const Hole& hole, const Candidate& k) const {
        const double near = cost_per_kg(case_, AnswerKind::nearest, hole, k);
        if (options_.kind == AnswerKind::nearest) return near;
        return cost_per_kg(case_, options_.kind, hole, k) * scale_ + tie_by_distance * near;
    }
    // factor(candidate) * mass over the brew's holes in the grist, and over what is moved of its other malts
    template <class Factor>
    std::vector<Term> over_grist(std::size_t brew, Factor factor) const {
        std::vector<Term> terms;
        for (std::size_t h = 0; h < case_.holes.size(); ++h) {
            if (case_.holes[h].brew != brew || !case_.holes[h].is_grist) continue;
            for (std::size_t k = 0; k < case_.holes[h].candidates.size(); ++k)
                terms.push_back({out_.mass[h][k], factor(case_.holes[h].candidates[k])});
        }
        for (std::size_t i = 0; i < out_.moved[brew].size(); ++i)
            terms.push_back({out_.moved[brew][i], factor(case_.brews[brew].adjustable[i])});
        return terms;
    }
    // low <= terms, where the brew is filled
    void at_least(std::string name, std::size_t brew, std::vector<Term> terms, double low) {
        if (low > 0.0) terms.push_back({out_.left[brew], low});
        out_.mip.row(std::move(name), std::move(terms), low, no_limit);
    }
    [[nodiscard]] const std::string& code(std::size_t brew) const { return case_.brews[brew].brew->code; }

    const SubstitutionCase& case_;
    ModelOptions options_;
    double scale_ = 1.0;
    SubstitutionModel out_;
};

// Money and age as the distances are, of the order of 1, so that one measure of "no difference" serves all.
double Builder::scale() const {
    double most = 0.0;
    for (const Hole& hole : case_.holes)
        for (const Candidate& k : hole.candidates)
            most = std::max(most, cost_per_kg(case_, options_.kind, hole, k) * hole.target / k.counts);
    return most > 0.0 ? 1.0 / most : 1.0;
}

// No answer fills the hole from fewer: what the relaxed model does not see.
double Builder::fewest_lots(const Hole& hole) const {
    std::vector<double> gives;
    for (const Candidate& k : hole.candidates) gives.push_back(case_.lots[k.lot].free_kg * k.counts);
    std::ranges::sort(gives, std::greater{});
    const bool is_open = hole.is_grist && !case_.brews[hole.brew].adjustable.empty();
    double lacks = hole.target - (is_open ? std::max(hole.tolerance, most_off * hole.target) : hole.tolerance);
    double lots = 0.0;
    for (const double one : gives) {
        if (lacks <= 1e-9) break;
        lacks -= one;
        lots += 1.0;
    }
    return lots;
}

void Builder::make_hole(const Hole& hole) {
    Mip& mip = out_.mip;
    const std::string name = fmt::format("{} line {}", code(hole.brew), hole.line);
    auto& mass = out_.mass.emplace_back();
    auto& taken = out_.taken.emplace_back();
    std::vector<Term> filled{{out_.left[hole.brew], hole.target}};
    for (const Candidate& k : hole.candidates) {
        const CaseLot& lot = case_.lots[k.lot];
        const std::string take = name + " " + lot.state->lot.code;
        const double most = std::min(lot.free_kg, (hole.target + hole.tolerance) / k.counts);
        const double least = std::min({hole.weighing.least_kg, most, 0.5 * hole.mass_kg});
        mass.push_back(mip.column(take, 0.0, most, per_kg(hole, k)));
        taken.push_back(mip.semicontinuous(mass.back(), least));
        mip.set_cost(taken.back(), options_.kind == AnswerKind::nearest ? hole.per_take : 1e-2 * hole.per_take);
        mip.row(take + " unless left", {{taken.back(), 1.0}, {out_.left[hole.brew], 1.0}}, -no_limit, 1.0);
        filled.push_back({mass.back(), k.counts});
    }
    std::vector<Term> lots{{out_.left[hole.brew], fewest_lots(hole)}};
    for (const int yes : taken) lots.push_back({yes, 1.0});
    mip.row(name + " lots", std::move(lots), fewest_lots(hole), no_limit);
    const double missed = off_costs * hole.share / hole.target;
    const bool is_open = hole.is_grist && !case_.brews[hole.brew].adjustable.empty();
    const double off = is_open ? std::max(hole.tolerance, most_off * hole.target) : hole.tolerance;
    out_.off.push_back(
        {mip.column(name + " short of", 0.0, off, missed), mip.column(name + " beyond", 0.0, off, missed)});
    filled.push_back({out_.off.back()[0], 1.0});
    filled.push_back({out_.off.back()[1], -1.0});
    mip.row(name + " filled", std::move(filled), hole.target, hole.target);
}

// Other malts a little more or less; what they move of the extract the holes move back.
void Builder::open(std::size_t b) {
    Mip& mip = out_.mip;
    auto& moved = out_.moved.emplace_back();
    std::vector<Term> extract, changes;
    for (const Adjustable& a : case_.brews[b].adjustable) {
        const std::string name = fmt::format("{} line {} moved", code(b), a.line);
        moved.push_back(mip.column(name, -a.most_less_kg, a.most_more_kg, 0.0));
        mip.in_steps(moved.back(), a.step_kg); // a part of a step would be rounded away, and its rule with it
        const int changed = mip.yes_no(name + " at all", changed_costs);
        mip.row(name + " up", {{moved.back(), 1.0}, {changed, -a.most_more_kg}}, -no_limit, 0.0);
        mip.row(name + " down", {{moved.back(), 1.0}, {changed, a.most_less_kg}}, 0.0, no_limit);
        mip.row(name + " unless left", {{changed, 1.0}, {out_.left[b], 1.0}}, -no_limit, 1.0);
        extract.push_back({moved.back(), a.extract});
        changes.push_back({changed, 1.0});
    }
    if (extract.empty()) return;
    double lacks = 0.0; // of what is made up by its colour
    for (std::size_t h = 0; h < case_.holes.size(); ++h) {
        const Hole& hole = case_.holes[h];
        if (hole.brew != b || !hole.is_grist) continue;
        std::vector<Term> missed{{out_.off[h][0], 1.0}, {out_.off[h][1], 1.0}};
        for (const Term& change : changes) missed.push_back({change.column, -most_off * hole.target});
        mip.row(fmt::format("{} line {} missed", code(b), hole.line), std::move(missed), -no_limit, hole.tolerance);
        if (hole.kind == HoleKind::colour) {
            lacks += hole.extract;
            for (std::size_t k = 0; k < hole.candidates.size(); ++k)
                extract.push_back({out_.mass[h][k], hole.candidates[k].extract});
        } else {
            extract.push_back({out_.off[h][0], -1.0});
            extract.push_back({out_.off[h][1], 1.0});
        }
    }
    if (lacks > 0.0) extract.push_back({out_.left[b], lacks});
    mip.row("extract of " + code(b), std::move(extract), lacks - case_.brews[b].extract_tolerance,
            lacks + case_.brews[b].extract_tolerance);
}

// Where several take of a lot each leaves a weigh step, so that all of them find whole steps in it.
void Builder::keep_lot(std::size_t lot) {
    std::vector<Term> terms;
    double step = 0.0;
    for (std::size_t h = 0; h < case_.holes.size(); ++h)
        for (std::size_t k = 0; k < case_.holes[h].candidates.size(); ++k) {
            if (case_.holes[h].candidates[k].lot != lot) continue;
            step = case_.holes[h].weighing.step_kg;
            terms.push_back({out_.mass[h][k], 1.0});
            terms.push_back({out_.taken[h][k], step});
        }
    for (std::size_t b = 0; b < case_.brews.size(); ++b)
        for (std::size_t i = 0; i < case_.brews[b].adjustable.size(); ++i)
            if (case_.brews[b].adjustable[i].lot == lot) terms.push_back({out_.moved[b][i], 1.0});
    if (terms.size() > 2)
        out_.mip.row("free of " + case_.lots[lot].state->lot.code, std::move(terms), -no_limit,
                     case_.lots[lot].free_kg + step);
}

void Builder::keep_brew(std::size_t b) {
    const CaseBrew& brew = case_.brews[b];
    if (over_grist(b, [](const auto&) { return 1.0; }).empty()) return;
    if (!options_.without.contains(BrewRule::colour)) {
        const auto colour = [](const auto& k) { return k.lovibond; };
        at_least("colour of " + code(b), b, over_grist(b, colour), brew.limits.colour_low - brew.colour);
        out_.mip.row("colour of " + code(b), over_grist(b, colour), -no_limit, brew.limits.colour_high - brew.colour);
    }
    const double floor = brew.limits.power_floor_wk;
    if (!options_.without.contains(BrewRule::enzymes))
        at_least("enzymes of " + code(b), b, over_grist(b, [&](const auto& k) { return k.power_wk - floor; }),
                 floor * brew.mass_kg - brew.power);
    if (!options_.without.contains(BrewRule::shares)) keep_shares(b);
    keep_extract(b);
}

// What is made up by its colour brings less extract, or more, but not so much that the beer is another.
void Builder::keep_extract(std::size_t b) {
    double lacks = 0.0;
    std::vector<Term> terms;
    for (std::size_t h = 0; h < case_.holes.size(); ++h) {
        const Hole& hole = case_.holes[h];
        if (hole.brew != b || hole.kind != HoleKind::colour) continue;
        lacks += hole.extract;
        for (std::size_t k = 0; k < hole.candidates.size(); ++k)
            terms.push_back({out_.mass[h][k], hole.candidates[k].extract});
    }
    if (terms.empty() || !case_.brews[b].adjustable.empty()) return; // then the other malts make up for it
    const double off = case_.brews[b].extract_by_colour;
    out_.mip.row("extract by colour of " + code(b), terms, -no_limit, lacks + off);
    at_least("extract by colour of " + code(b), b, std::move(terms), lacks - off);
}

// Of what comes in beside the item itself: at most its greatest share, or the recipe's own.
void Builder::keep_shares(std::size_t b) {
    const CaseBrew& brew = case_.brews[b];
    std::map<std::string, double> most;
    for (const Hole& hole : case_.holes)
        if (hole.brew == b && hole.is_grist)
            for (const Candidate& k : hole.candidates)
                if (k.character.item->name != hole.item) most[k.character.item->name] = greatest_share(k.character);
    for (const auto& [name, stated] : most) {
        const auto own = brew.own_share.find(name), kept = brew.kept_kg.find(name);
        const double share = std::max(stated, own != brew.own_share.end() ? own->second : 0.0);
        if (share >= 1.0) continue;
        const double there = kept != brew.kept_kg.end() ? kept->second : 0.0;
        at_least("share of " + name + " in " + code(b), b,
                 over_grist(b, [&](const auto& k) { return share - (name_of(k) == name ? 1.0 : 0.0); }),
                 there - share * brew.mass_kg);
    }
}

} // namespace

double cost_per_kg(const SubstitutionCase& c, AnswerKind kind, const Hole& hole, const Candidate& k) {
    switch (kind) {
    case AnswerKind::cheapest:
        return c.lots[k.lot].cost_per_kg;
    case AnswerKind::oldest:
        return k.days_to_best;
    default:
        return hole.share * k.distance * k.counts / hole.target;
    }
}

SubstitutionModel substitution_model(const SubstitutionCase& c, const ModelOptions& options) {
    return Builder(c, options).build();
}

} // namespace lotwort::plan
