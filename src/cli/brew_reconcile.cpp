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

namespace {

// The brew whose fermenter it was in the end.
const Brew* first_in_fermenter(const Brew* brew, const std::vector<Brew>& brews) {
    for (std::size_t step = 0; step < brews.size() && brew->fermented_with; ++step) {
        const auto next = std::ranges::find(brews, *brew->fermented_with, &Brew::code);
        if (next == brews.end()) break;
        brew = &*next;
    }
    return brew;
}
const Brew* first_in_fermenter(const Brew*, const std::vector<Brew>&&) = delete;

} // namespace

std::vector<const Brew*> fermenter_of(const Brew& brew, const std::vector<Brew>& brews) {
    const auto me = std::ranges::find(brews, brew.code, &Brew::code);
    LOTWORT_CHECK(me != brews.end());
    const Brew* first = first_in_fermenter(&*me, brews);
    std::vector<const Brew*> all{first};
    for (const auto& other : brews)
        if (&other != first && other.fermented_with && first_in_fermenter(&other, brews) == first)
            all.push_back(&other);
    std::stable_sort(all.begin() + 1, all.end(), [](const Brew* a, const Brew* b) { return a->date < b->date; });
    return all;
}

ReconcileInput tied_input(const Brew& brew, const std::vector<Brew>& brews, const Book& book, const LotBook& lots) {
    ReconcileInput input = reconcile_input(brew, book, lots);
    bool earlier = true;
    for (const Brew* other : fermenter_of(brew, brews)) {
        if (other->code == brew.code)
            earlier = false;
        else
            (earlier ? input.earlier_in_fermenter : input.later_in_fermenter)
                .push_back(reconcile_input(*other, book, lots));
    }
    return input;
}

} // namespace lotwort::cli
