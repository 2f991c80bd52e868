// The items that a recipe names, made where nobody has them yet.
#pragma once

#include "new_name.hpp"
#include <lotwort/brew/recipe.hpp>

namespace lotwort::verbs {

// A lot's code in place of its item, where no item has that name: the item is taken, and said.
void take_item_of_lot(Call& call, const Book& book, std::string& name);

// Makes sure that each item named is known, under its known spelling; what is not is made from its name.
class Items {
public:
    Items(const Call& call, const Book& book) : call_(call), book_(book) {}
    void settle(std::string& name, std::optional<ItemKind> where_only);
    [[nodiscard]] std::vector<Item> made() && { return std::move(made_); }
    [[nodiscard]] std::vector<std::string> remarks() && { return std::move(remarks_); }
    [[nodiscard]] const Item& named(const std::string& name) const {
        const auto found = std::ranges::find(made_, name, &Item::name);
        return found != made_.end() ? *found : known_item(book_, name);
    }

private:
    [[nodiscard]] const Item* there(std::string_view name) const;
    [[nodiscard]] std::vector<std::string> names(std::optional<ItemKind> of_kind) const;

    const Call& call_;
    const Book& book_;
    std::vector<Item> made_;
    std::vector<std::string> remarks_; // of names that may be another item's
};

// Of every line; what stands among yeasts is one, whatever its name says.
void settle_items(Recipe& recipe, const std::vector<std::string>& yeasts, Items& items);

} // namespace lotwort::verbs
