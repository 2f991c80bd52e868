#include "windows.hpp"
#include "steps.hpp"
#include "thin.hpp"
#include <algorithm>
#include <cmath>
#include <numeric>

namespace lotwort::plan {

namespace {

constexpr double worth_it = 1e-6;        // of the objective
constexpr double seconds_a_window = 1.5; // of its own search
constexpr std::size_t kept_beside = 8;   // candidates of a line beside those that masses alone would take
constexpr std::size_t few = 3, many = 6; // rivals opened with a brew
constexpr int most_in_vain = 60;         // windows
constexpr double nothing_kg = 1e-9;

} // namespace

Windows::Windows(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, Budget& budget)
    : case_(c), kind_(kind), leniency_(leniency), budget_(budget), brews_(c.brews.size()),
      coarsest_(c.lots.size(), 1e-6) {
    for (const CaseLine& line : c.lines)
        for (const Candidate& k : line.candidates) coarsest_[k.lot] = std::max(coarsest_[k.lot], line.weighing.step_kg);
    for (std::size_t l = 0; l < c.lots.size(); ++l) lot_at_[c.lots[l].state->lot.code] = l;
    for (std::size_t b = 0; b < c.brews.size(); ++b) brew_at_[c.brews[b].brew->code] = b;
}

bool Windows::is_filled() const {
    return std::ranges::all_of(brews_, &Weighings::found);
}

double Windows::objective() const {
    return std::accumulate(brews_.begin(), brews_.end(), 0.0,
                           [](double sum, const Weighings& made) { return sum + made.cost; });
}

Solved Windows::solved() const {
    Solved all;
    all.found = is_filled();
    if (!all.found) return all;
    all.objective = objective();
    for (std::size_t b = 0; b < brews_.size(); ++b) {
        all.crumbs += brews_[b].crumbs;
        all.scale[case_.brews[b].brew->code] = brews_[b].scale;
        all.lines.insert(all.lines.end(), brews_[b].lines.begin(), brews_[b].lines.end());
    }
    return all;
}

// The window's brews alone, with what the others leave of each lot.
SubstitutionCase Windows::beside_the_others(const std::vector<std::size_t>& window) const {
    SubstitutionCase out;
    out.lots = case_.lots;
    std::vector<double> taken(case_.lots.size(), 0.0), reserved = taken;
    for (std::size_t b = 0; b < brews_.size(); ++b)
        if (std::ranges::find(window, b) == window.end())
            for (const AnswerLine& line : brews_[b].lines)
                (brews_[b].found ? taken : reserved)[lot_at_.at(line.lot)] += line.mass_kg;
    for (std::size_t l = 0; l < taken.size(); ++l) {
        CaseLot& lot = out.lots[l];
        if (taken[l] + reserved[l] <= nothing_kg) continue;
        lot.crumb_kg = std::min(lot.crumb_kg, lot.free_kg);
        lot.free_kg = std::max(0.0, std::round((lot.free_kg - taken[l] - reserved[l]) * 1e6) / 1e6); // whole milligrams
        lot.opened = true;
        if (reserved[l] <= nothing_kg) continue;
        // what else is reserved will be put into steps yet, and settles what is left over
        lot.free_kg = coarsest_[l] * std::floor(lot.free_kg / coarsest_[l] + 1e-6);
        lot.crumb_kg = 0.0;
    }
    for (const std::size_t b : window) {
        for (const CaseLine& line : case_.lines) {
            if (line.brew != b) continue;
            CaseLine& kept = out.lines.emplace_back(line);
            kept.brew = out.brews.size();
            std::erase_if(kept.candidates, [&](const Candidate& k) { return out.lots[k.lot].free_kg <= nothing_kg; });
        }
        out.brews.push_back(case_.brews[b]);
    }
    return out;
}

// What the brews take now stays open to them.
void Windows::keep_what_stands(const SubstitutionCase& from, SubstitutionCase& kept) const {
    for (std::size_t i = 0; i < from.lines.size(); ++i) {
        const CaseLine& line = from.lines[i];
        auto& candidates = kept.lines[i].candidates;
        for (const AnswerLine& now : brews_[brew_at_.at(from.brews[line.brew].brew->code)].lines) {
            if (now.line != line.line) continue;
            const auto is_it = [&](const Candidate& k) { return k.lot == lot_at_.at(now.lot); };
            const auto found = std::ranges::find_if(line.candidates, is_it);
            if (found != line.candidates.end() && std::ranges::none_of(candidates, is_it)) candidates.push_back(*found);
        }
    }
}

double Windows::cost_of(std::size_t brew, const Weighings& made) const {
    if (kind_ == AnswerKind::smaller) return -made.scale * case_.brews[brew].brew->volume.value();
    double cost = 0.0;
    for (const CaseLine& line : case_.lines) {
        if (line.brew != brew) continue;
        double counted = 0.0;
        for (const AnswerLine& take : made.lines) {
            if (take.line != line.line) continue;
            const auto is_it = [&](const Candidate& k) { return k.lot == lot_at_.at(take.lot); };
            const auto found = std::ranges::find_if(line.candidates, is_it);
            if (found == line.candidates.end()) continue;
            counted += take.mass_kg * line.counts(*found);
            cost += take.mass_kg * objective_per_kg(case_, kind_, line, *found);
        }
        if (kind_ == AnswerKind::nearest && line.kind != LineKind::bittering)
            cost += std::max(0.0, std::abs(counted - line.target) - line.band);
    }
    return cost;
}

// An answer brew by brew. A crumb is counted with the first of them.
std::vector<Windows::Weighings> Windows::shared_out(const Solved& solved,
                                                    const std::vector<std::size_t>& window) const {
    std::vector<Weighings> parts;
    for (const std::size_t b : window) {
        Weighings& made = parts.emplace_back();
        made.found = true;
        const std::string& code = case_.brews[b].brew->code;
        if (const auto scale = solved.scale.find(code); scale != solved.scale.end()) made.scale = scale->second;
        for (const AnswerLine& line : solved.lines)
            if (line.brew == code) made.lines.push_back(line);
        made.crumbs = parts.size() == 1 ? solved.crumbs : 0;
        made.cost = cost_of(b, made);
    }
    return parts;
}

// The window's brews together, in weigh steps; kept where that is new, or better than what stands.
bool Windows::settle(const std::vector<std::size_t>& window, std::size_t more) {
    double stands = 0.0;
    bool all_stand = true;
    for (const std::size_t b : window) {
        stands += brews_[b].cost;
        all_stand = all_stand && brews_[b].found;
    }
    MipOptions limits = budget_.limits();
    limits.seconds = seconds_a_window;
    limits.progress = nullptr;
    if (!all_stand) limits.stop = nullptr; // there must be something to weigh
    Budget own(limits);
    const SubstitutionCase open = beside_the_others(window);
    Thinned thin = thinned(open, open, kind_, more, own);
    const double better = all_stand ? stands - worth_it * std::max(1.0, std::abs(stands)) : no_limit;
    Solved solved;
    if (thin.status == MipStatus::optimal && thin.bound < better) {
        keep_what_stands(open, thin.kept);
        solved = window.size() == 1 ? solve_alone(thin.kept, kind_, leniency_, thin.bound, own)
                                    : solve_together(thin.kept, kind_, leniency_, thin.bound, own);
    }
    budget_.charge(own);
    if (!solved.found) return false;
    auto parts = shared_out(solved, window);
    const double made = std::accumulate(parts.begin(), parts.end(), 0.0,
                                        [](double sum, const Weighings& part) { return sum + part.cost; });
    if (made >= better) return false;
    for (std::size_t i = 0; i < window.size(); ++i) brews_[window[i]] = std::move(parts[i]);
    return true;
}

// The brew, and those that take most of what it could use.
std::vector<std::size_t> Windows::with_rivals(std::size_t brew, std::size_t most) {
    std::vector<double> use(brews_.size(), 0.0);
    for (const CaseLine& line : case_.lines) {
        if (line.brew != brew) continue;
        double farthest = 0.0; // that it takes now: what is no nearer is not wanted
        for (const AnswerLine& take : brews_[brew].lines)
            if (take.line == line.line)
                for (const Candidate& k : line.candidates)
                    if (k.lot == lot_at_.at(take.lot)) farthest = std::max(farthest, k.distance);
        for (const Candidate& k : line.candidates) {
            if (brews_[brew].found && k.distance >= farthest && kind_ == AnswerKind::nearest) continue;
            const double counts = line.counts(k) / std::max(line.target, 1e-12);
            for (std::size_t b = 0; b < brews_.size(); ++b)
                for (const AnswerLine& take : brews_[b].lines)
                    if (b != brew && lot_at_.at(take.lot) == k.lot) use[b] += take.mass_kg * counts;
        }
    }
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t b = 0; b < use.size(); ++b)
        if (use[b] > 0.0) order.emplace_back(-std::min(use[b], 1.0) * draws_.share(), b);
    std::ranges::sort(order);
    std::vector<std::size_t> window{brew};
    for (const auto& [_, b] : order)
        if (window.size() <= most) window.push_back(b);
    return window;
}

bool Windows::fill(const std::vector<AnswerLine>& reserved) {
    for (Weighings& made : brews_) made = {};
    for (const AnswerLine& line : reserved) brews_[brew_at_.at(line.brew)].lines.push_back(line);
    std::vector<std::size_t> order(brews_.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, {}, [&](std::size_t b) { return case_.brews[b].brew->date; });
    std::vector<std::size_t> wanting;
    for (const std::size_t b : order)
        if (!settle({b}, kept_beside)) wanting.push_back(b);
    for (const std::size_t b : wanting) {
        bool done = brews_[b].found; // with another
        for (const std::size_t rivals : {few, few, many, many, 2 * many, 3 * many}) {
            done = done || settle(with_rivals(b, rivals), kept_beside);
            if (done || budget_.is_interrupted()) break;
        }
        if (!done) return false;
    }
    return true;
}

void Windows::adopt(const Solved& other) {
    if (!other.found || (is_filled() && other.objective >= objective())) return;
    std::vector<std::size_t> all(brews_.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    brews_ = shared_out(other, all);
}

// By chance, the dearer the likelier. For a kind whose costs are all of a size, any.
std::size_t Windows::dear_brew() {
    double sum = 0.0;
    for (const Weighings& made : brews_) sum += std::abs(made.cost);
    double at = draws_.share() * sum;
    for (std::size_t b = 0; b < brews_.size(); ++b)
        if ((at -= std::abs(brews_[b].cost)) <= 0.0) return b;
    return brews_.size() - 1;
}

void Windows::improve(double bound, double enough, double seconds) {
    const double until = budget_.used() + seconds;
    for (int in_vain = 0; in_vain < most_in_vain && gap_of(objective(), bound) > enough; ++in_vain) {
        if (budget_.left() <= 0.0 || budget_.used() > until || budget_.is_interrupted()) return;
        if (!settle(with_rivals(dear_brew(), draws_.share() < 0.5 ? few : many), kept_beside / 2)) continue;
        in_vain = -1;
        if (budget_.limits().progress) budget_.limits().progress({objective(), bound, 0});
    }
}

} // namespace lotwort::plan
