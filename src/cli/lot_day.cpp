#include "lot_day.hpp"
#include "stock_list.hpp"
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

Amount parse_amount_of(const Lot& lot, const std::string& typed) {
    const Amount amount = parse_amount(typed);
    const Measure kept = lot.received_amount.measure;
    if (amount.measure == kept) return amount;
    const char* by = kept == Measure::mass     ? "mass: 5kg or 500g"
                     : kept == Measure::volume ? "volume: 5L"
                                               : "pieces: 3pieces";
    throw Error(ErrorKind::refused, fmt::format("`{}`: {} is kept by another measure", typed, lot.code),
                fmt::format("write a {}", by));
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
