#include "brew_learn.hpp"
#include <algorithm>

namespace lotwort::cli {

LearnRequest learn_request(Call& call, const Book& book, const LearnScope& scope) {
    LearnRequest request;
    const auto states = call.ledger().lots();
    const LotBook lots = lot_book(states, book);
    for (const auto& brew : call.ledger().brews()) {
        if (brew.code == scope.without_brew || (scope.until && brew.date > *scope.until)) continue;
        if (scope.only_this_brewhouse && scope.brewhouse && brew.brewhouse != *scope.brewhouse) continue;
        request.brews.push_back(reconcile_input(brew, book, lots));
    }
    for (const auto& [code, used] : lots)
        if (used.item.kind == ItemKind::malt || used.item.kind == ItemKind::sugar) {
            const auto state =
                std::ranges::find(states, code, [](const LotState& s) -> const std::string& { return s.lot.code; });
            if (state->on_hand.units > 0) request.lots_on_hand.push_back(used);
        }
    for (const auto& item : book.items)
        if (item.kind == ItemKind::malt || item.kind == ItemKind::sugar) request.items.push_back(item);
    if (scope.brewhouse) request.brewhouse = known_brewhouse(book, *scope.brewhouse);
    return request;
}

} // namespace lotwort::cli
