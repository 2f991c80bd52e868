#include "lot_share.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/stock/mixture.hpp>
#include <set>

namespace lotwort::verbs {

namespace {

// The lots that it came out of, and itself.
std::set<std::string> stem_of(const std::string& code, const std::vector<LotState>& all) {
    std::set<std::string> stem{code};
    for (std::vector<std::string> ahead{code}; !ahead.empty();) {
        const auto at = std::ranges::find(all, ahead.back(), [](const LotState& state) { return state.lot.code; });
        ahead.pop_back();
        if (at == all.end()) continue;
        for (const Portion& part : at->lot.made_from)
            if (stem.insert(part.lot).second) ahead.push_back(part.lot);
    }
    return stem;
}

std::vector<MixedPart> parts_of(const std::vector<LotState>& states, Amount whole, const std::vector<LotState>& all) {
    std::vector<MixedPart> parts;
    std::vector<std::set<std::string>> stems;
    for (const LotState& state : states) {
        std::set<std::string> stem = stem_of(state.lot.code, all);
        int number = static_cast<int>(parts.size());
        for (std::size_t i = 0; i < parts.size(); ++i)
            if (std::ranges::any_of(stem, [&](const std::string& code) { return stems[i].contains(code); }))
                number = parts[i].stem;
        parts.push_back(
            {state.lot, static_cast<double>(state.on_hand.units) / static_cast<double>(whole.units), number});
        stems.push_back(std::move(stem));
    }
    return parts;
}

template <class Value>
void keep_if_agreed(std::optional<Value>& kept, const std::optional<Value>& other) {
    if (kept != other) kept.reset();
}

template <class Value>
void keep_earliest(std::optional<Value>& kept, const std::optional<Value>& other) {
    if (other && (!kept || *other < *kept)) kept = other;
}

void check_fit(const LotState& first, const LotState& other) {
    if (other.lot.item != first.lot.item)
        throw Error(
            ErrorKind::refused,
            fmt::format("{} is {}, and {} is {}", first.lot.code, first.lot.item, other.lot.code, other.lot.item),
            "put lots of one item together");
    if (other.on_hand.measure != first.on_hand.measure)
        throw Error(ErrorKind::refused,
                    fmt::format("{} and {} are kept in different measures", first.lot.code, other.lot.code),
                    "put lots of one measure together");
}

void check_usable(const LotState& state, Date on) {
    if (state.lot.held)
        throw Error(ErrorKind::refused, fmt::format("lot {} is on hold: {}", state.lot.code, *state.lot.held),
                    fmt::format("lotwort trace {} --release, once it is cleared", shell_word(state.lot.code)));
    if (state.on_hand.units == 0)
        throw Error(ErrorKind::refused, fmt::format("nothing of {} is left", state.lot.code), "leave it out");
    if (on < state.lot.received)
        throw Error(ErrorKind::refused,
                    fmt::format("{} arrived on {}, after {}", state.lot.code, to_iso(state.lot.received), to_iso(on)),
                    "look at the day, or at the lot");
}

} // namespace

std::vector<Lot> share_out(const LotState& state, const std::vector<Amount>& amounts, Date on, LotValues& values) {
    Amount sum{state.on_hand.measure, 0};
    for (const Amount& amount : amounts) {
        if (amount.units == 0)
            throw Error(ErrorKind::refused, "a lot of nothing cannot be shared out", "write how much: --split 5kg");
        sum = sum + amount;
    }
    if (state.on_hand < sum)
        throw Error(
            ErrorKind::shortage,
            fmt::format("{} of {} is more than the {} there", to_text(sum), state.lot.code, to_text(state.on_hand)),
            "share out less");
    std::vector<Lot> lots;
    Amount there = state.on_hand;
    for (const Amount& amount : amounts) {
        Lot& lot = lots.emplace_back(state.lot);
        lot.received = on;
        lot.received_amount = amount;
        lot.made_from = {{state.lot.code, amount}};
        lot.silo.reset();           // it was taken out
        lot.harvested_from.reset(); // the old lot was; its generation stays
        if (lot.opened && *lot.opened < on) lot.opened = on;
        lot.price.reset();
        if (const auto change = values.change(state.lot, there, -amount)) lot.price = Money{-change->minor};
        there = there - amount;
    }
    return lots;
}

void keep_age(Lot& made, const std::vector<LotState>& of) {
    double cells = 0.0, all = 0.0;
    made.packed.reset();
    for (const LotState& state : of) {
        keep_earliest(made.packed, std::optional(state.lot.packed.value_or(state.lot.received)));
        const auto units = static_cast<double>(state.on_hand.units);
        if (state.lot.cells_billion) cells += units * *state.lot.cells_billion;
        all += state.lot.cells_billion ? units : 0.0;
    }
    made.cells_billion = all > 0.0 ? std::optional(cells / all) : std::nullopt;
}

Lot put_together(const Item& item, const std::vector<LotState>& states, const std::vector<LotState>& all, Date on,
                 LotValues& values) {
    LOTWORT_CHECK(states.size() > 1);
    Lot lot = states.front().lot;
    lot.received = on;
    lot.silo.reset();
    lot.received_amount = {states.front().on_hand.measure, 0};
    lot.made_from.clear();
    lot.retests.clear();
    lot.harvested_from.reset();
    std::optional<Money> cost = Money{};
    for (const LotState& state : states) {
        check_fit(states.front(), state);
        check_usable(state, on);
        lot.made_from.push_back({state.lot.code, state.on_hand});
        lot.received_amount = lot.received_amount + state.on_hand;
        keep_if_agreed(lot.supplier, state.lot.supplier);
        keep_if_agreed(lot.supplier_lot, state.lot.supplier_lot);
        keep_if_agreed(lot.storage, state.lot.storage);
        keep_if_agreed(lot.packaging, state.lot.packaging);
        keep_if_agreed(lot.generation, state.lot.generation);
        keep_earliest(lot.best_before, state.lot.best_before);
        keep_earliest(lot.crop_year, state.lot.crop_year);
        if (state.lot.opened) lot.opened = on;
        const auto worth = values.left(state.lot, state.on_hand);
        cost = worth && cost ? std::optional(Money{cost->minor + worth->minor}) : std::nullopt;
    }
    lot.price = cost;
    lot.certificate = mixed_certificate(item, parts_of(states, lot.received_amount, all), on);
    return lot;
}

} // namespace lotwort::verbs
