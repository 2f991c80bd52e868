// How long the stock lasts: an item's free stock over what brews have taken a day of late.
//
// A brewer looks at the shelf and asks which sack runs out first. What open plans were promised is set aside already,
// so the free part is what the next, unplanned brews live on:
//
//     rate  = what brews took of the item in the last `window_days` days / window_days
//     lasts = from + floor(free / rate), each delivery on order added where it comes by the day reached before it
//
// from is the day after the last plan, or today where nothing is planned: until then brews take what was promised to
// them, and a use counted beside it would count them twice.
//
// A straight line, no forecast: a seasonal beer's hops are used in three weeks and not for the rest of the year.
#pragma once

#include <lotwort/core/amount.hpp>
#include <lotwort/core/date.hpp>
#include <lotwort/stock/item.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

struct ItemStock {
    std::string item;
    ItemKind kind = ItemKind::malt;
    Amount free;                     // neither promised nor on hold
    std::optional<Date> best_before; // the earliest
};

// So much of an item on a day: used by a brew, or due on an order.
struct DayAmount {
    std::string item;
    Date on;
    Amount amount;
};

struct CoverRequest {
    Date today;
    std::optional<Date> planned_until; // the last open plan's day
    int window_days = 90;              // 1 or more
    std::vector<ItemStock> stock;
    std::vector<DayAmount> used;     // uses after today or before the window do not count
    std::vector<DayAmount> arriving; // those due before today do not count: nobody knows when they come
};

struct Cover {
    ItemStock of;
    double used_a_day = 0.0;         // in the amount's smallest unit
    std::optional<Date> lasts_until; // none where none was used within the window
};

// In the order of the stock. Amounts of another measure than the item's stock are passed over. A stock that lasts
// beyond ten years ends there.
[[nodiscard]] std::vector<Cover> stock_cover(const CoverRequest& request);

} // namespace lotwort
