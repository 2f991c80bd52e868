#include <lotwort/desk/brew_cost.hpp>
#include <lotwort/desk/lot_values.hpp>
#include <set>

namespace lotwort {

report::BrewCost brew_cost(const Brew& brew, Ledger& ledger) {
    report::BrewCost cost;
    cost.currency = ledger.currency();
    std::set<std::string> codes;
    for (const Addition& addition : brew.additions) codes.insert(addition.lot);
    LotValues values = values_in(ledger);
    for (const std::string& code : codes) {
        const Lot lot = ledger.lot(code)->lot;
        Amount used{lot.received_amount.measure, 0};
        for (const LotValues::Step& step : values.steps(lot)) {
            if (step.movement.brew != brew.code) continue;
            used = used - step.movement.change;
            if (step.change) cost.sum.minor -= step.change->minor;
        }
        if (used.units != 0 && !values.price(lot)) cost.without_price.push_back(code);
    }
    return cost;
}

} // namespace lotwort
