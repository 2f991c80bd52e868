#include <algorithm>
#include <lotwort/desk/brew_cost.hpp>
#include <lotwort/desk/brew_list.hpp>
#include <lotwort/desk/reconcile_input.hpp>
#include <lotwort/infer/beer_as_read.hpp>

namespace lotwort {

std::vector<report::ListedBrew> listed_brews(Ledger& ledger) {
    const std::vector<Brew> brews = ledger.brews();
    std::vector<report::ListedBrew> listed;
    if (brews.empty()) return listed;
    const Book book = ledger.definitions();
    const LotBook lots = lot_book(ledger.lots(), book);
    const Fermenters fermenters(brews);
    BrewCosts costs(ledger, BrewCosts::Reads::all_at_once);
    const auto value = [](const std::optional<Estimate>& estimate) {
        return estimate ? std::optional(estimate->value) : std::nullopt;
    };
    for (const Brew& brew : brews) {
        ReconcileInput input = reconcile_input(brew, book, lots);
        input.untied_before = fermenters.of(brew).size() - 1;
        const BeerAsRead beer = beer_as_read(input);
        listed.push_back({brew, value(beer.original_sg), value(beer.final_sg), value(beer.alcohol_abv_pct),
                          beer.efficiency, beer.fermenter_l, costs.of(brew)});
    }
    return listed;
}

} // namespace lotwort
