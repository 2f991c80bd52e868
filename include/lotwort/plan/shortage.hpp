// Which planned brews lack how much of what.
//
// Brews have what they reserved; what is free of their items is served in date order, the lots that spoil first; what
// an open order brings by the brew's day counts after the sacks that are there. Lots on hold, past their date or come
// later are not counted, nor what other plans were promised.
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
    Amount due_later;                    // what those bring
    Amount needed_of_item;               // in all lines of the brew
};

struct Shortages {
    std::vector<Shortage> lines; // in date order of the brews
};

} // namespace lotwort::plan
