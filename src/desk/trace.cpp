#include <algorithm>
#include <iterator>
#include <lotwort/brew/follow.hpp>
#include <lotwort/desk/brew_cost.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/trace.hpp>
#include <lotwort/stock/worth.hpp>
#include <set>

namespace lotwort {

namespace {

// Into the beer of a brew; what primed a run of packages is in that run alone.
std::vector<std::string> brews_of(const std::vector<Movement>& movements) {
    std::vector<std::string> brews; // in turn
    std::map<std::string, std::int64_t> into;
    for (const Movement& movement : standing(movements)) {
        if (!movement.brew || movement.package) continue;
        if (into.try_emplace(*movement.brew).second) brews.push_back(*movement.brew);
        into[*movement.brew] -= movement.change.units;
    }
    std::erase_if(brews, [&](const std::string& brew) { return into[brew] == 0; });
    return brews;
}

// A fermenter's brews are named once, of whichever is met first: it may hold a thousand.
Steps::Codes beside(Ledger& ledger) {
    return [&ledger, named = std::set<std::string>()](const std::string& code) mutable {
        std::vector<std::string> brews;
        if (named.contains(code)) return brews;
        for (const Brew& brew : ledger.brews_of_fermenter(code))
            if (!brew.abandoned) brews.push_back(brew.code);
        named.insert(brews.begin(), brews.end());
        return brews;
    };
}

Steps steps_forward(Ledger& ledger) {
    std::multimap<std::pair<bool, std::string>, std::string> made;
    for (const LotOrigin& origin : ledger.origins()) made.emplace(std::pair(origin.from_brew, origin.from), origin.lot);
    const auto made_of = [made = std::move(made)](bool brew) {
        return [made, brew](const std::string& code) {
            std::vector<std::string> lots;
            const auto [first, last] = made.equal_range({brew, code});
            for (auto at = first; at != last; ++at) lots.push_back(at->second);
            return lots;
        };
    };
    return {made_of(false), [&ledger](const std::string& code) { return brews_of(ledger.movements(code)); },
            made_of(true), beside(ledger)};
}

// The day on which yeast was last taken from each brew that was met: what went in later is not in that yeast.
using Harvests = std::map<std::string, Date>;

// What a brew was made of; what came back unused, and what primed another run than `run`, is not in it. Of a brew that
// only its yeast came from, what went in by then, and nothing that primed.
std::vector<std::string> lots_in(const Brew& brew, const std::string& run, const Harvests& harvested) {
    const auto yeast = harvested.find(brew.code);
    std::vector<std::string> lots;
    for (const Addition& addition : brew.additions) {
        if (addition.package && !run.empty() && *addition.package != run) continue;
        if (yeast != harvested.end() && (addition.package || addition.on.value_or(brew.date) > yeast->second)) continue;
        const auto back = std::ranges::find(brew.unused, addition.lot, &Unused::lot);
        if (back != brew.unused.end() && back->amount == addition.amount) continue;
        if (std::ranges::find(lots, addition.lot) == lots.end()) lots.push_back(addition.lot);
    }
    return lots;
}

// met: filled with the harvests that are met on the way.
Steps steps_back(Ledger& ledger, const std::string& run, const Harvests& harvested, Harvests& met) {
    const auto lot = [&ledger](const std::string& code) { return ledger.lot(code)->lot; };
    const auto meet = [&ledger, &met](const std::string& brew, Date on) {
        for (const Brew& one : ledger.brews_of_fermenter(brew)) {
            const auto [at, is_new] = met.try_emplace(one.code, on);
            if (!is_new) at->second = std::max(at->second, on);
        }
    };
    return {[lot](const std::string& code) {
                std::vector<std::string> lots;
                for (const Portion& source : lot(code).made_from) lots.push_back(source.lot);
                return lots;
            },
            [lot, meet](const std::string& code) {
                const Lot yeast = lot(code);
                if (!yeast.harvested_from) return std::vector<std::string>{};
                meet(*yeast.harvested_from, yeast.received);
                return std::vector<std::string>{*yeast.harvested_from};
            },
            [&ledger, run, &harvested](const std::string& code) { return lots_in(*ledger.brew(code), run, harvested); },
            beside(ledger)};
}

std::vector<report::Reached> reached_by(Ledger& ledger, const std::vector<Followed>& followed,
                                        std::map<std::string, std::string>& recipes) {
    std::vector<report::Reached> all;
    for (const Followed& found : followed) {
        report::Reached& reached = all.emplace_back();
        reached.of = found.by;
        if (found.is_brew) {
            reached.brew = ledger.brew(found.code);
            reached.beside = found.came_by_brew;
        } else {
            reached.lot = trace_lot(ledger, *ledger.lot(found.code), recipes);
        }
    }
    return all;
}

} // namespace

report::TracedLot trace_lot(Ledger& ledger, LotState state, std::map<std::string, std::string>& recipes) {
    report::TracedLot traced;
    for (const Movement& movement : standing(ledger.movements(state.lot.code))) {
        if (movement.kind == MovementKind::receipt) continue;
        report::TraceStep step{movement, ""};
        if (movement.brew) {
            const auto [at, is_new] = recipes.try_emplace(*movement.brew);
            if (is_new) at->second = ledger.recipe_of(*movement.brew).value_or("");
            step.recipe = at->second;
        }
        traced.steps.push_back(std::move(step));
    }
    traced.state = std::move(state);
    return traced;
}

std::vector<report::Reached> reached_from(Ledger& ledger, const std::vector<std::string>& lots,
                                          std::map<std::string, std::string>& recipes) {
    return reached_by(ledger, follow(lots, steps_forward(ledger)), recipes);
}

std::vector<report::Reached> made_of(Ledger& ledger, const std::string& brew, const std::string& run,
                                     std::map<std::string, std::string>& recipes) {
    Harvests harvested, met;
    (void)follow({brew}, steps_back(ledger, run, {}, harvested), From::brews);
    for (const Brew& asked : ledger.brews_of_fermenter(brew))
        harvested.erase(asked.code); // all of its beer is asked about
    return reached_by(ledger, follow({brew}, steps_back(ledger, run, harvested, met), From::brews), recipes);
}

std::vector<Lot> held_in(Ledger& ledger, const std::string& brew, const std::string& run) {
    std::map<std::string, std::string> recipes;
    std::vector<Lot> held;
    for (const report::Reached& reached : made_of(ledger, brew, run, recipes))
        if (reached.lot && reached.lot->state.lot.held) held.push_back(reached.lot->state.lot);
    return held;
}

std::vector<report::ReachedPackage> packages_reached(Ledger& ledger, const std::vector<report::TracedLot>& lots,
                                                     const std::vector<report::Reached>& reached) {
    std::vector<report::ReachedPackage> found;
    std::set<std::string> seen;
    const auto take = [&](const std::string& by, Package package) {
        if (seen.insert(package.code).second) found.push_back({by, std::move(package)});
    };
    const auto primed = [&](const report::TracedLot& traced) {
        for (const report::TraceStep& step : traced.steps)
            if (step.movement.package)
                if (auto package = ledger.package(*step.movement.package))
                    take(traced.state.lot.code, *std::move(package));
    };
    for (const report::TracedLot& traced : lots) primed(traced);
    for (const report::Reached& one : reached) {
        if (one.lot) primed(*one.lot);
        if (one.brew)
            for (Package& package : ledger.packages_of(one.brew->code)) take(one.brew->code, std::move(package));
    }
    return found;
}

std::vector<Package> packages_of_fermenter(Ledger& ledger, const std::string& brew) {
    std::vector<Package> packages;
    for (const Brew& one : ledger.brews_of_fermenter(brew))
        std::ranges::move(ledger.packages_of(one.code), std::back_inserter(packages));
    return packages;
}

namespace {

report::TracedBrew trace_brew(Ledger& ledger, Brew brew) {
    report::TracedBrew out;
    std::map<std::string, Lot> lots;
    for (const Addition& addition : brew.additions) {
        const auto [at, is_new] = lots.try_emplace(addition.lot);
        if (is_new) at->second = ledger.lot(addition.lot)->lot;
        out.parts.push_back({addition, at->second});
    }
    out.cost = brew_cost(brew, ledger);
    for (LotState& state : ledger.lots_harvested(brew.code)) out.harvested.push_back(std::move(state.lot));
    out.packages = packages_of_fermenter(ledger, brew.code);
    out.brew = std::move(brew);
    return out;
}

[[noreturn]] void refuse_unknown_code(Ledger& ledger, const std::string& code) {
    std::vector<std::string> codes;
    for (const StockRow& row : ledger.stock()) codes.push_back(row.lot);
    for (const Brew& brew : ledger.brews()) codes.push_back(brew.code);
    for (const Package& package : ledger.packages()) codes.push_back(package.code);
    refuse_unknown("lot, brew, run of packages or supplier's lot", code, codes, "lotwort stock --lots --all");
}

// A lot's code comes before a brew's and this before a run's, a code as typed before one in other capitals, and all
// before a supplier's number.
report::TraceAnswer find(Ledger& ledger, const std::string& code, std::map<std::string, std::string>& recipes) {
    report::TraceAnswer answer;
    answer.asked = code;
    auto lot = ledger.lot(code);
    auto brew = lot ? std::nullopt : ledger.brew(code);
    if (!lot && !brew) lot = find_lot(ledger, code);
    if (!lot && !brew) brew = find_brew(ledger, code);
    if (lot) {
        answer.lots.push_back(trace_lot(ledger, *std::move(lot), recipes));
        return answer;
    }
    if (brew) {
        answer.reached = made_of(ledger, brew->code, "", recipes);
        answer.brew = trace_brew(ledger, *std::move(brew));
        return answer;
    }
    if ((answer.package = ledger.package(code))) {
        answer.reached = made_of(ledger, answer.package->brew, code, recipes);
        return answer;
    }
    answer.by_supplier_lot = true;
    for (LotState& state : ledger.lots())
        if (state.lot.supplier_lot == code) answer.lots.push_back(trace_lot(ledger, std::move(state), recipes));
    if (answer.lots.empty()) refuse_unknown_code(ledger, code);
    return answer;
}

} // namespace

report::TraceAnswer traced(Ledger& ledger, const std::string& code) {
    std::map<std::string, std::string> recipes;
    report::TraceAnswer answer = find(ledger, code, recipes);
    std::vector<std::string> lots;
    for (const report::TracedLot& lot : answer.lots) lots.push_back(lot.state.lot.code);
    if (lots.empty()) return answer;
    answer.reached = reached_from(ledger, lots, recipes);
    answer.packages = packages_reached(ledger, answer.lots, answer.reached);
    return answer;
}

} // namespace lotwort
