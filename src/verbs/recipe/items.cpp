#include "items.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>

namespace lotwort::verbs {

void take_item_of_lot(Call& call, const Book& book, std::string& name) {
    if (find_item(book, name) != nullptr) return;
    for (const LotState& state : call.ledger().lots()) {
        if (lowered(state.lot.code) != lowered(name)) continue;
        call.understood(fmt::format("{} is a lot of {}: the recipe asks for the item", state.lot.code, state.lot.item));
        name = state.lot.item;
        return;
    }
}

const Item* Items::there(std::string_view name) const {
    if (const Item* known = find_item(book_, name)) return known;
    const auto made = std::ranges::find(made_, name, &Item::name);
    return made == made_.end() ? nullptr : &*made;
}

std::vector<std::string> Items::names(std::optional<ItemKind> of_kind) const {
    std::vector<std::string> names;
    for (const auto* items : {&book_.items, &made_})
        for (const Item& item : *items)
            if (!of_kind || item.kind == *of_kind) names.push_back(item.name);
    return names;
}

// where_only: what an item of that place in the recipe must be, whatever its name says (a hop among the hops).
void Items::settle(std::string& name, std::optional<ItemKind> where_only) {
    if (there(name) == nullptr) {
        const NewName named = new_name(call_, name, names(where_only));
        if (auto remark = near_remark(named); !remark.empty()) remarks_.push_back(std::move(remark));
        name = named.name;
    }
    if (const Item* known = there(name)) {
        name = known->name;
        return;
    }
    Item item = item_of_name(name);
    const bool said = name.find("malt") != std::string::npos;
    if (where_only && item.kind != *where_only) {
        item.kind = *where_only;
        item.malt_class.reset();
    } else if (!where_only && item.kind == ItemKind::malt && !said) {
        // outside the grist, a name that says nothing is not a malt
        item.kind = ItemKind::other;
        item.malt_class.reset();
    }
    made_.push_back(std::move(item));
}

void settle_items(Recipe& recipe, const std::vector<std::string>& yeasts, Items& items) {
    for (auto& line : recipe.grist) {
        const bool sugar = item_of_name(line.item).kind == ItemKind::sugar;
        items.settle(line.item, sugar ? ItemKind::sugar : ItemKind::malt);
    }
    for (auto& line : recipe.hops) items.settle(line.item, ItemKind::hop);
    for (auto& line : recipe.others) {
        const bool is_yeast = std::ranges::find(yeasts, line.item) != yeasts.end();
        items.settle(line.item, is_yeast ? std::optional(ItemKind::yeast) : std::nullopt);
    }
}

} // namespace lotwort::verbs
