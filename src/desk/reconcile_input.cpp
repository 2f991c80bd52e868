#include <algorithm>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/reconcile_input.hpp>

namespace lotwort {

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

Fermenters::Fermenters(const std::vector<Brew>& brews) {
    std::unordered_map<std::string_view, std::size_t> at;
    for (std::size_t i = 0; i < brews.size(); ++i) at.emplace(brews[i].code, i);
    // the brew whose fermenter it was in the end; of a ring, which no cellar has, each brew has its own
    constexpr std::size_t open = static_cast<std::size_t>(-1);
    std::vector<std::size_t> first(brews.size(), open);
    for (std::size_t i = 0; i < brews.size(); ++i) {
        std::vector<std::size_t> way;
        std::size_t here = i;
        while (first[here] == open && way.size() <= brews.size()) {
            way.push_back(here);
            const auto& into = brews[here].fermented_with;
            const auto next = into ? at.find(*into) : at.end();
            if (next == at.end()) break;
            here = next->second;
        }
        const bool ring = way.size() > brews.size();
        const std::size_t end = first[here] == open ? here : first[here];
        for (const std::size_t passed : way) first[passed] = ring ? passed : end;
    }
    std::map<std::size_t, std::size_t> group;
    for (std::size_t i = 0; i < brews.size(); ++i) {
        const auto [known, is_new] = group.emplace(first[i], all_.size());
        if (is_new) all_.push_back({&brews[first[i]]});
        if (i != first[i]) all_[known->second].push_back(&brews[i]);
        of_.emplace(brews[i].code, known->second);
    }
    for (auto& tied : all_)
        std::stable_sort(tied.begin() + 1, tied.end(), [](const Brew* a, const Brew* b) { return a->date < b->date; });
}

const std::vector<const Brew*>& Fermenters::of(const Brew& brew) const {
    const auto found = of_.find(brew.code);
    LOTWORT_CHECK(found != of_.end());
    return all_[found->second];
}

ReconcileInput tied_input(const Brew& brew, const Fermenters& fermenters, const Book& book, const LotBook& lots) {
    ReconcileInput input = reconcile_input(brew, book, lots);
    const auto& all = fermenters.of(brew);
    const auto me = std::ranges::find(all, brew.code, &Brew::code);
    if (all.size() > most_in_fermenter) {
        input.untied_before = static_cast<std::size_t>(me - all.begin());
        input.untied_after = static_cast<std::size_t>(all.end() - me) - 1;
        return input;
    }
    for (auto other = all.begin(); other != all.end(); ++other)
        if (other != me)
            (other < me ? input.earlier_in_fermenter : input.later_in_fermenter)
                .push_back(reconcile_input(**other, book, lots));
    return input;
}

} // namespace lotwort
