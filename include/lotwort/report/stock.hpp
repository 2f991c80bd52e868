// The answer of `lotwort stock`: what there is, by item or by lot.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/report/plan.hpp>
#include <lotwort/stock/item.hpp>
#include <lotwort/stock/lot.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

struct StockLine {
    std::string item;
    ItemKind kind = ItemKind::malt;
    std::string lot; // empty where lines are by item
    std::size_t lots = 1;
    Amount on_hand;
    Amount promised;
    Amount free;                     // on hand, neither promised nor held
    std::optional<Date> best_before; // the earliest
    std::optional<Money> value;      // at cost, of what has a price
    std::size_t lots_without_price = 0;
    std::optional<std::string> held; // by lot only
};

struct StockList {
    std::vector<StockLine> lines;
    bool by_lot = false;
    Date today;
    std::string currency;
    Money value;
    std::size_t lots_without_price = 0;
    std::vector<std::string> overdue{}; // open orders that should have come
    std::vector<PlanLack> lacks{};      // of open plans
    std::vector<std::string> says{};    // of a day gone by: what cannot be known of it
};

[[nodiscard]] std::string stock_text(const StockList& list);
[[nodiscard]] std::string stock_csv(const StockList& list);
[[nodiscard]] std::string stock_json(const StockList& list); // lotwort/stock/1

} // namespace lotwort::report
