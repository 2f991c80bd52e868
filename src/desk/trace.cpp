#include <lotwort/brew/follow.hpp>
#include <lotwort/desk/trace.hpp>
#include <lotwort/stock/worth.hpp>
#include <set>

namespace lotwort {

namespace {

std::vector<std::string> brews_of(const std::vector<Movement>& movements) {
    std::vector<std::string> brews; // in turn
    std::map<std::string, std::int64_t> into;
    for (const Movement& movement : standing(movements)) {
        if (!movement.brew) continue;
        if (into.try_emplace(*movement.brew).second) brews.push_back(*movement.brew);
        into[*movement.brew] -= movement.change.units;
    }
    std::erase_if(brews, [&](const std::string& brew) { return into[brew] == 0; });
    return brews;
}

StepsForward steps_of(Ledger& ledger) {
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
    // a fermenter's brews are named once, of whichever is met first: it may hold a thousand
    const auto beside = [&ledger, named = std::set<std::string>()](const std::string& code) mutable {
        std::vector<std::string> brews;
        if (named.contains(code)) return brews;
        for (const Brew& brew : ledger.brews_of_fermenter(code))
            if (!brew.abandoned) brews.push_back(brew.code);
        named.insert(brews.begin(), brews.end());
        return brews;
    };
    return {made_of(false), [&ledger](const std::string& code) { return brews_of(ledger.movements(code)); },
            made_of(true), beside};
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
    std::vector<report::Reached> all;
    for (const Followed& found : follow(lots, steps_of(ledger))) {
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

} // namespace lotwort
