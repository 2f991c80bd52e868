#include "shelf.hpp"
#include <lotwort/core/nearest.hpp>

namespace lotwort::verbs {

void NameIndex::add(const std::string& name, std::size_t place) {
    exact_.emplace(name, place);
    lowered_[lowered(name)].push_back(place);
}

std::optional<std::size_t> NameIndex::find(std::string_view typed) const {
    if (const auto found = exact_.find(std::string(typed)); found != exact_.end()) return found->second;
    const auto alike = lowered_.find(lowered(typed));
    if (alike == lowered_.end() || alike->second.size() > 1) return std::nullopt;
    return alike->second.front();
}

Shelf::Shelf(const Ledger& ledger) : ledger_(ledger), currency_(ledger.currency()) {
    for (const Item& item : ledger.definitions().items) make(item);
    known_ = items_.size();
}

const Item* Shelf::item(std::string_view name) const {
    const auto found = item_names_.find(name);
    return found ? &items_[*found] : nullptr;
}

const Item& Shelf::make(Item item) {
    item_names_.add(item.name, items_.size());
    return items_.emplace_back(std::move(item));
}

std::vector<std::string> Shelf::item_names() const {
    std::vector<std::string> names;
    for (const Item& item : items_) names.push_back(item.name);
    return names;
}

std::vector<std::string> Shelf::near(std::string_view name) const {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < known_; ++i) names.push_back(items_[i].name);
    return nearest(name, names, 2);
}

std::optional<std::string> Shelf::lot(std::string_view code) {
    read_codes();
    const auto found = lots_.find(code);
    return found ? std::optional(codes_[*found]) : std::nullopt;
}

std::string Shelf::free_code(std::string_view item) {
    read_codes();
    return numbers_.next(item);
}

void Shelf::give(const std::string& code, const std::string& item) {
    given_.add(code, 0);
    numbers_.take(code, item);
}

// Not before they are asked for: most lots that are typed are told theirs.
void Shelf::read_codes() {
    if (std::exchange(codes_are_read_, true)) return;
    for (const StockRow& row : ledger_.stock()) {
        lots_.add(row.lot, codes_.size());
        numbers_.take(row.lot, row.item);
        codes_.push_back(row.lot);
    }
}

} // namespace lotwort::verbs
