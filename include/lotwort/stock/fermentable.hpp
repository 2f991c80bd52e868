// How much of a sugar's extract yeast takes.
#pragma once

#include <lotwort/stock/item.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort {

// Of the extract, a fraction with its standard uncertainty, by the family of the sugar's kind (kinds.hpp): plain and
// maple 1, honey 0.95, dark 0.9, malt extract 0.65, unfermentable 0; of any other 0.95. Common practice.
[[nodiscard]] Figure fermentable_share(const Item& sugar);

} // namespace lotwort
