#include "lot_share.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/shell_word.hpp>

namespace lotwort::verbs {

namespace {

// A certificate with what laboratories found since, as it holds on a day.
std::optional<Certificate> in_force(const Lot& lot, Date on) {
    std::optional<Certificate> held = lot.certificate;
    for (const Retest& retest : lot.retests) {
        if (retest.on > on) continue;
        if (!held) held.emplace();
        for_each_field<Certificate>([&](const auto& f) {
            if (retest.found.*f.member) (*held).*f.member = retest.found.*f.member;
        });
    }
    return held;
}

double number_of(double value) {
    return value;
}
template <class Measured>
double number_of(const Measured& value) {
    return value.value();
}

struct Share {
    Certificate certificate;
    double weight = 0.0; // of the whole
};

// One field of all certificates: the mean by mass, or of a spread the widest; none where one does not state it.
template <class Value>
std::optional<Value> together(const std::vector<Share>& shares, std::optional<Value> Certificate::*member,
                              std::string_view name) {
    double mean = 0.0;
    double widest = 0.0;
    for (const Share& share : shares) {
        const auto& value = share.certificate.*member;
        if (!value) return std::nullopt;
        mean += share.weight * number_of(*value);
        widest = std::max(widest, number_of(*value));
    }
    const bool spread = name.find("_sd") != std::string_view::npos;
    return Value(spread ? widest : mean);
}

bool one_basis(const std::vector<Share>& shares) {
    return std::ranges::all_of(shares, [&](const Share& share) {
        return share.certificate.extract_basis == shares.front().certificate.extract_basis;
    });
}

std::optional<Certificate> mean_certificate(const std::vector<Share>& shares) {
    Certificate mean;
    for_each_field<Certificate>([&]<class Value>(const Field<Certificate, Value>& f) {
        using Inner = typename Value::value_type;
        if constexpr (!std::is_same_v<Inner, Date> && !std::is_same_v<Inner, ExtractBasis>)
            mean.*f.member = together<Inner>(shares, f.member, f.name);
    });
    mean.extract_basis = shares.front().certificate.extract_basis;
    if (!one_basis(shares)) { // means of different things are no mean
        mean.extract.reset();
        mean.extract_sd.reset();
        mean.extract_basis.reset();
    }
    for (const Share& share : shares) { // aged from the oldest analysis on, on the safe side
        if (!share.certificate.analysed) {
            mean.analysed.reset();
            break;
        }
        mean.analysed = std::min(mean.analysed.value_or(Date::max()), *share.certificate.analysed);
    }
    return mean == Certificate{} ? std::nullopt : std::optional(mean);
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
        lot.silo.reset(); // it was taken out
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

Lot put_together(const std::vector<LotState>& states, Date on, LotValues& values) {
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
    std::vector<Share> shares;
    for (const LotState& state : states)
        shares.push_back({in_force(state.lot, on).value_or(Certificate{}),
                          static_cast<double>(state.on_hand.units) / static_cast<double>(lot.received_amount.units)});
    lot.certificate = mean_certificate(shares);
    return lot;
}

} // namespace lotwort::verbs
