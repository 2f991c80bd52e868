// What offers and orders share: suppliers, packs and items as they are typed.
#pragma once

#include "shared.hpp"
#include <lotwort/stock/offer.hpp>

namespace lotwort::verbs {

// As typed, else the one known supplier that differs in capitals alone or not at all.
[[nodiscard]] std::string supplier_name(const Book& book, std::string_view typed);
[[nodiscard]] bool is_supplier(const Book& book, const std::string& name);

[[nodiscard]] Money parse_money(Call& call, const std::string& text);
// In a currency that is known. A comma, taken for the decimal sign, is said back behind the answer.
[[nodiscard]] Money parse_money(const Call& call, const std::string& text, const std::string& currency);

// What a pack holds, of an offer or of a line of an order. Error(refused) for a pack of nothing.
template <class Record>
void set_pack(Record& record, const std::string& text, const std::string& hint) {
    const Amount pack = parse_amount(text);
    if (pack.units <= 0) throw Error(ErrorKind::refused, "`" + text + "` is a pack of nothing", hint);
    if (pack.measure == Measure::mass) record.pack = pack.kilograms();
    if (pack.measure == Measure::volume) record.pack_volume = pack.litres();
    if (pack.measure == Measure::count)
        record.pack_count = static_cast<int>(std::min<std::int64_t>(pack.units, 1'000'000));
}

// The ledger's name of an item, or one that is made of what was typed and joins `made`; what is then said is added.
[[nodiscard]] std::string item_or_new(Call& call, const Book& book, const std::string& typed, std::vector<Item>& made,
                                      std::vector<std::string>& says);

} // namespace lotwort::verbs
