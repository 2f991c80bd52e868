#include "lot_day.hpp"
#include "shared.hpp"
#include "stock_list.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/typed.hpp>

namespace lotwort::cli {

Amount on_hand_at(const std::vector<Movement>& movements, Measure measure, Date day) {
    Amount sum{measure, 0};
    for (const Movement& movement : movements)
        if (movement.on <= day) sum = sum + movement.change;
    return sum;
}

const LotState& lot_among(const std::vector<LotState>& lots, const std::string& code) {
    const auto found = std::ranges::find(lots, code, [](const LotState& s) { return s.lot.code; });
    if (found != lots.end()) return *found;
    std::vector<std::string> codes;
    for (const auto& state : lots) codes.push_back(state.lot.code);
    refuse_unknown("lot", code, codes, "lotwort stock --lots");
}

namespace {

Amount parse_pieces(const Lot& lot, const std::string& typed) {
    constexpr const char* hint = "count them: a whole number of pieces, such as 3pieces";
    const TypedValue value = parse_typed(typed).value;
    if (std::holds_alternative<Bare>(value) ||
        std::holds_alternative<SpecificGravity>(value)) { // 1 alone is read as one
        const bool is_whole = typed.find_first_not_of("0123456789") == std::string::npos;
        throw Error(ErrorKind::refused, fmt::format("`{}` has no unit", typed),
                    is_whole ? fmt::format("write {}pieces", typed) : hint);
    }
    const Amount amount = parse_amount(typed);
    if (amount.measure != Measure::count)
        throw Error(ErrorKind::refused,
                    fmt::format("`{}` is a {}, and {} is counted in pieces", typed,
                                amount.measure == Measure::mass ? "mass" : "volume", lot.code),
                    hint);
    return amount;
}

} // namespace

Amount parse_amount_of(const Lot& lot, const std::string& typed) {
    switch (lot.received_amount.measure) {
    case Measure::mass:
        return Amount::of(parse_mass(typed));
    case Measure::volume:
        return Amount::of(parse_volume(typed));
    case Measure::count:
        break;
    }
    return parse_pieces(lot, typed);
}

void demand_arrived(const Lot& lot, Date on) {
    if (on >= lot.received) return;
    throw Error(ErrorKind::refused,
                fmt::format("{} arrived on {}, after {}", lot.code, to_iso(lot.received), to_iso(on)),
                "date it on a later day with --on, or look at the lot");
}

void refuse_shortage(Ledger& ledger, const Lot& lot, Amount wanted, Amount there, const std::string& when) {
    std::string elsewhere;
    for (const StockRow& row : ledger.stock()) {
        const bool usable = row.item == lot.item && row.lot != lot.code && !row.held;
        if (!usable || row.on_hand.measure != wanted.measure || !(row.promised < row.on_hand)) continue;
        elsewhere +=
            fmt::format("{}{} in {}", elsewhere.empty() ? "" : ", ", to_text(row.on_hand - row.promised), row.lot);
    }
    const std::string hint = elsewhere.empty() ? fmt::format("no other lot of {} has any free", lot.item)
                                               : fmt::format("free of {}: {}", lot.item, elsewhere);
    throw Error(ErrorKind::shortage,
                fmt::format("{} of {} is more than the {} there{}", to_text(wanted), lot.code, to_text(there), when),
                hint);
}

} // namespace lotwort::cli
