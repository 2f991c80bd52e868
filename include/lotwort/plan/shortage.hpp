// Which planned brews lack how much of what.
//
// Brews are served in date order (of one day: in the order given), each from the lots that spoil first; what an open
// order brings by the brew's day counts after the sacks that are there. Lots on hold, past their date or come later are
// not counted, nor what other plans were promised.
#pragma once

#include <lotwort/plan/needs.hpp>
#include <lotwort/stock/order_rest.hpp>

namespace lotwort::plan {

// One line that cannot be filled. needed = from stock + from orders + missing, exactly.
struct Shortage {
    std::string brew;
    Date date;
    int line = 0;
    std::string item;
    Amount needed;
    Amount from_orders; // due by then
    Amount missing;
    std::vector<PassedOver> passed_over; // lots of the item that hold something, and why they do not serve
    std::optional<Date> more_due;        // the first open order of it that comes too late, if any
};

// A lot that the plans would leave with less than a crumb (needs.hpp): too little to weigh out for another brew.
struct Crumb {
    std::string brew; // the last that takes of it
    std::string lot;
    Amount left;
};

struct Shortages {
    std::vector<Shortage> lines; // in date order of the brews
    std::vector<Crumb> crumbs;
};

// lots: promised must not hold what these brews have themselves reserved; all that came, used up or not. Of orders
// counts what is still awaited, none where they state no arrival.
[[nodiscard]] Shortages shortages(std::vector<BrewToFill> brews, const std::vector<Item>& items,
                                  std::vector<LotState> lots, const std::vector<Order>& orders);

} // namespace lotwort::plan
