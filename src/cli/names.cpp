#include "shared.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>

namespace lotwort::cli {

std::optional<std::size_t> find_name(const std::vector<std::string>& names, std::string_view typed) {
    const auto exact = std::find(names.begin(), names.end(), typed);
    if (exact != names.end()) return static_cast<std::size_t>(exact - names.begin());
    const std::string low = lowered(typed);
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (lowered(names[i]) != low) continue;
        if (found) return std::nullopt;
        found = i;
    }
    return found;
}

void refuse_unknown(std::string_view kind, std::string_view name, const std::vector<std::string>& names,
                    std::string_view where_to_look) {
    const std::string near = did_you_mean(name, names);
    const std::string list = names.empty() ? fmt::format("the ledger holds no {} yet", kind)
                                           : fmt::format("{} lists what there is", where_to_look);
    throw Error(ErrorKind::refused, fmt::format("there is no {} `{}`", kind, name), near.empty() ? list : near);
}

void refuse_no_change(const Call& call, std::string_view what, const std::string& hint) {
    call.demand_bookable();
    throw Error(ErrorKind::refused, fmt::format("nothing about {} would change", what), hint);
}

std::string parse_name(std::string_view text, std::string_view what) {
    while (text.starts_with(' ')) text.remove_prefix(1);
    while (text.ends_with(' ')) text.remove_suffix(1);
    if (text.empty())
        throw Error(ErrorKind::refused, fmt::format("an empty text is no {}", what),
                    "write it out, in quotes where it has spaces");
    return std::string(text);
}

std::vector<std::string> item_names(const Book& book) {
    std::vector<std::string> names;
    for (const Item& item : book.items) names.push_back(item.name);
    return names;
}

const Item* find_item(const Book& book, std::string_view name) {
    const auto found = find_name(item_names(book), name);
    return found ? &book.items[*found] : nullptr;
}

const Item& known_item(const Book& book, std::string_view name) {
    if (const Item* item = find_item(book, name)) return *item;
    refuse_unknown("item", name, item_names(book), "lotwort item list");
}

Item item_of(const Ledger& ledger, const Lot& lot) {
    const Book book = ledger.definitions();
    return known_item(book, lot.item);
}

namespace {

std::vector<std::string> lot_codes(Ledger& ledger) {
    std::vector<std::string> codes;
    for (const StockRow& row : ledger.stock()) codes.push_back(row.lot);
    return codes;
}

std::vector<std::string> brew_codes(const std::vector<Brew>& brews) {
    std::vector<std::string> codes;
    for (const Brew& brew : brews) codes.push_back(brew.code);
    return codes;
}

} // namespace

std::optional<LotState> find_lot(Ledger& ledger, std::string_view code) {
    if (auto state = ledger.lot(code)) return state;
    const auto codes = lot_codes(ledger);
    const auto found = find_name(codes, code);
    return found ? ledger.lot(codes[*found]) : std::nullopt;
}

LotState known_lot(Ledger& ledger, std::string_view code) {
    if (auto state = find_lot(ledger, code)) return *std::move(state);
    refuse_unknown("lot", code, lot_codes(ledger), "lotwort stock --lots --all");
}

std::optional<Brew> find_brew(Ledger& ledger, std::string_view code) {
    if (auto brew = ledger.brew(code)) return brew;
    const auto codes = brew_codes(ledger.brews());
    const auto found = find_name(codes, code);
    return found ? ledger.brew(codes[*found]) : std::nullopt;
}

Brew known_brew(Ledger& ledger, std::string_view code) {
    if (auto brew = find_brew(ledger, code)) return *std::move(brew);
    refuse_unknown("brew", code, brew_codes(ledger.brews()), "lotwort history --kind brew");
}

} // namespace lotwort::cli
