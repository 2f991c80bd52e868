#include "brew_reconcile.hpp"
#include <algorithm>

namespace lotwort::cli {

LotBook lot_book(const std::vector<LotState>& lots, const Book& book) {
    std::map<std::string, const Item*> items;
    for (const auto& item : book.items) items[item.name] = &item;
    LotBook out;
    for (const auto& state : lots) {
        const auto item = items.find(state.lot.item);
        LOTWORT_CHECK(item != items.end());
        out.emplace(state.lot.code, UsedLot{*item->second, state.lot});
    }
    return out;
}

LotBook lots_of(const Ledger& ledger, const Brew& brew, const Book& book) {
    std::vector<LotState> used;
    for (const auto& addition : brew.additions)
        if (auto state = ledger.lot(addition.lot)) used.push_back(*std::move(state));
    return lot_book(used, book);
}

ReconcileInput reconcile_input(const Brew& brew, const Book& book, const LotBook& lots) {
    ReconcileInput input;
    input.brew = brew;
    input.brewhouse = known_brewhouse(book, brew.brewhouse);
    input.instruments = book.instruments;
    for (const auto& addition : brew.additions) {
        const auto lot = lots.find(addition.lot);
        if (lot != lots.end()) input.lots.insert(*lot);
    }
    if (brew.recipe) {
        const auto recipe = std::ranges::find(book.recipes, *brew.recipe, &Recipe::name);
        if (recipe != book.recipes.end()) input.recipe = *recipe;
    }
    return input;
}

} // namespace lotwort::cli
