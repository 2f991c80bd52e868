// What counts of a thing that is given to beer in the fermenter (wort/late_extract.hpp).
#pragma once

#include <lotwort/stock/lot.hpp>
#include <lotwort/wort/late_extract.hpp>

namespace lotwort {

// Every sugar, and fruit, juice and the like (kind other) of which an extract is stated. lot: null where none is at
// hand.
[[nodiscard]] bool counts_late(const Item& item, const Lot* lot);

// So many kg of it, of which so much is extract; what yeast takes of that: stock/fermentable.hpp.
void add_late(wort::LateExtract& late, const Item& item, double kg, double extract_as_is);

} // namespace lotwort
