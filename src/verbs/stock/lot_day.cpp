#include "lot_day.hpp"
#include "shared.hpp"
#include "yeast.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/typed.hpp>
#include <lotwort/desk/stock_list.hpp>

namespace lotwort::verbs {

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
    return parse_pieces(lot, packs_counted(typed));
}

OfLot parse_of_lot(const std::string& typed, const std::vector<LotState>& lots) {
    const bool is_code = std::ranges::any_of(lots, [&](const LotState& s) { return s.lot.code == typed; });
    const auto equals = is_code ? std::string::npos : typed.rfind('=');
    const Lot& lot = lot_among(lots, typed.substr(0, equals)).lot;
    OfLot of{lot.code, std::nullopt};
    if (equals != std::string::npos) of.amount = parse_amount_of(lot, typed.substr(equals + 1));
    return of;
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

} // namespace lotwort::verbs
