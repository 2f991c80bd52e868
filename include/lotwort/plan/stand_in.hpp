// What one lot counts as in the place of another item: the rules of substitution (docs/methods/substitution.md, S4) for
// somebody who has weighed it already.
#pragma once

#include <lotwort/brew/planned.hpp>
#include <lotwort/stock/lot.hpp>
#include <optional>

namespace lotwort::plan {

// Kilograms of the line's item that a kilogram of the lot counts as. A malt or sugar counts by extract, a caramel or
// roasted malt by colour where that is more. A hop boiled for bitterness counts by alpha, any other hop one for one.
// None where the lot may not stand in for it.
[[nodiscard]] std::optional<double> counts_as(const PlannedLine& line, const Item& asked, const Item& other,
                                              const Lot& lot, Date day);

} // namespace lotwort::plan
