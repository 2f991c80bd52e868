// One record as JSON, in the exchange file's own field names, for a command's --json.
#pragma once

#include <lotwort/brew/book.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <string_view>

namespace lotwort {

// The whole record as one object: the next value of the document.
void write_json(JsonWriter& w, const Item& item);
void write_json(JsonWriter& w, const Certificate& certificate);
void write_json(JsonWriter& w, const Retest& retest);
void write_json(JsonWriter& w, const Lot& lot);
void write_json(JsonWriter& w, const Instrument& instrument);
void write_json(JsonWriter& w, const Brewhouse& brewhouse);
void write_json(JsonWriter& w, const Recipe& recipe);
void write_json(JsonWriter& w, const Brew& brew);
void write_json(JsonWriter& w, const Reading& reading);
// its code under `plan`, as the answer about one plan has it
void write_json(JsonWriter& w, const Plan& plan);
void write_json(JsonWriter& w, const Supplier& supplier);
void write_json(JsonWriter& w, const Offer& offer);
void write_json(JsonWriter& w, const Order& order);
void write_json(JsonWriter& w, const Movement& movement);

// An amount as one field whose name ends in its unit: stem "on_hand" gives on_hand_kg, on_hand_l or on_hand_count,
// as an exact decimal.
void write_amount_field(JsonWriter& w, std::string_view stem, Amount amount);

// Money as an exact decimal in the ledger's currency.
void write_money_field(JsonWriter& w, std::string_view name, Money money);

} // namespace lotwort
