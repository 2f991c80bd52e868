#include "brew_cost.hpp"
#include "stock_list.hpp"

namespace lotwort::cli {

report::BrewCost brew_cost(const Brew& brew, const std::map<std::string, Lot>& lots, std::string currency) {
    report::BrewCost cost;
    cost.currency = std::move(currency);
    for (const auto& [code, lot] : lots) {
        Amount used{lot.received_amount.measure, 0};
        for (const Addition& addition : brew.additions)
            if (addition.lot == code) used = used + addition.amount;
        for (const Unused& unused : brew.unused)
            if (unused.lot == code) used = used - unused.amount;
        if (used.units == 0) continue;
        if (lot.price)
            cost.sum.minor += value_at_cost(*lot.price, used, lot.received_amount).minor;
        else
            cost.without_price.push_back(code);
    }
    return cost;
}

} // namespace lotwort::cli
