#include "trade.hpp"
#include "new_name.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/report/item.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::verbs {

std::string supplier_name(const Book& book, std::string_view typed) {
    std::string name = parse_name(typed, "supplier");
    std::vector<std::string> known;
    for (const Supplier& supplier : book.suppliers) known.push_back(supplier.name);
    const auto found = find_name(known, name);
    return found ? known[*found] : name;
}

bool is_supplier(const Book& book, const std::string& name) {
    return std::ranges::find(book.suppliers, name, &Supplier::name) != book.suppliers.end();
}

Money parse_money(const Call& call, const std::string& text, const std::string& currency) {
    const Money money{parse_money_minor(text, currency)};
    if (text.find(',') != std::string::npos)
        call.understood(fmt::format("{} is {}", text, report::money_text(money, currency)));
    return money;
}

Money parse_money(Call& call, const std::string& text) {
    return parse_money(call, text, call.ledger().currency());
}

std::string item_or_new(Call& call, const Book& book, const std::string& typed, std::vector<Item>& made,
                        std::vector<std::string>& says) {
    const std::string name = parse_name(typed, "item");
    if (const Item* known = find_item(book, name)) return known->name;
    const NewName named = new_name(call, name, item_names(book));
    if (const Item* known = find_item(book, named.name)) return known->name;
    if (std::ranges::find(made, named.name, &Item::name) != made.end()) return named.name;
    made.push_back(told_item(named));
    says.push_back(report::new_item_text(made.back()));
    if (auto remark = near_remark(named); !remark.empty()) says.push_back(std::move(remark));
    return named.name;
}

} // namespace lotwort::verbs
