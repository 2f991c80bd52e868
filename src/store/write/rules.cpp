// The rules that stand beside the records, asked of all that is to be booked (stock/rules.hpp, brew/rules.hpp).
#include "booking.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/brew/rules.hpp>

namespace lotwort::store {

namespace {

[[noreturn]] void refuse(std::string_view record, std::string_view field, std::string_view what) {
    throw Error(ErrorKind::refused, fmt::format("{}: {}{}{}", record, field, field.empty() ? "" : ": ", what));
}

// The part's own, else the ledger's; none where nobody knows it.
std::optional<Item> item_of(Connection& connection, const Book& part, const std::string& name) {
    const auto of_part = std::ranges::find(part.items, name, &Item::name);
    if (of_part != part.items.end()) return *of_part;
    Query query(connection, "SELECT kind FROM item_now WHERE name = ?");
    if (!query.text(name).next()) return std::nullopt;
    Item item;
    item.name = name;
    item.kind = from_word<ItemKind>(query.read_text()).value_or(item.kind);
    return item;
}

std::optional<Date> day_of_brew(Connection& connection, const Book& part, const std::string& code) {
    const auto of_part = std::ranges::find(part.brews, code, &Brew::code);
    if (of_part != part.brews.end()) return of_part->date;
    Query query(connection, "SELECT date FROM brew_now WHERE code = ?");
    return query.text(code).next() ? parse_iso_date(query.read_text()) : std::nullopt;
}

} // namespace

void check_records(Connection& connection, const Book& part) {
    check_rules(part, refuse);
    for (const Lot& lot : part.lots) {
        const std::string whose = "lot `" + lot.code + "`";
        const TellBroken tell = [&](std::string_view field, std::string_view what) { refuse(whose, field, what); };
        if (const auto item = item_of(connection, part, lot.item)) check_fit(lot, *item, tell);
        const auto brewed = lot.harvested_from ? day_of_brew(connection, part, *lot.harvested_from) : std::nullopt;
        if (brewed && lot.received < *brewed)
            tell("harvested_from", fmt::format("{} was brewed on {}, after {}", *lot.harvested_from, to_iso(*brewed),
                                               to_iso(lot.received)));
    }
}

} // namespace lotwort::store
