// What a record of the stock must hold beyond its single fields: one amount, prices that rise, a sign that fits.
//
// The exchange asks before it takes a file, the ledger before it writes an entry: what is booked can be exported and
// imported again.
#pragma once

#include <functional>
#include <lotwort/stock/item.hpp>
#include <lotwort/stock/lot.hpp>
#include <lotwort/stock/movement.hpp>
#include <lotwort/stock/offer.hpp>
#include <string_view>

namespace lotwort {

// Is told of each rule that is broken: the field as the exchange file names it, empty for the whole record, and what is
// wrong with it.
using TellBroken = std::function<void(std::string_view field, std::string_view what)>;

void check_rules(const Item& item, const TellBroken& tell);
void check_rules(const Certificate& certificate, const TellBroken& tell);
void check_rules(const Retest& retest, const TellBroken& tell);
void check_rules(const Lot& lot, const TellBroken& tell);
void check_rules(const Supplier& supplier, const TellBroken& tell);
void check_rules(const Offer& offer, const TellBroken& tell);
void check_rules(const Movement& movement, const TellBroken& tell);

// Of a lot and its item: by mass where extract and alpha acids are shares of one, its own kind's certificate, and
// harvested as yeast alone is.
void check_fit(const Lot& lot, const Item& item, const TellBroken& tell);

} // namespace lotwort
