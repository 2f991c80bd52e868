#include "stock_list.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>
#include <tuple>

namespace lotwort::cli {

namespace {

using report::StockLine;
using report::StockList;

StockLine line_of(const StockRow& row) {
    StockLine line;
    line.item = row.item;
    line.kind = row.kind;
    line.lot = row.lot;
    line.on_hand = row.on_hand;
    line.promised = row.promised;
    line.free = row.held ? Amount{row.on_hand.measure, 0} : row.on_hand - row.promised;
    line.best_before = row.best_before;
    line.held = row.held;
    if (row.price)
        line.value = value_at_cost(*row.price, row.on_hand, row.received_amount);
    else
        line.lots_without_price = 1;
    return line;
}

void add(StockLine& sum, const StockLine& line) {
    sum.lots += line.lots;
    sum.on_hand = sum.on_hand + line.on_hand;
    sum.promised = sum.promised + line.promised;
    sum.free = sum.free + line.free;
    if (line.best_before && (!sum.best_before || *line.best_before < *sum.best_before))
        sum.best_before = line.best_before;
    if (line.value) sum.value = Money{sum.value.value_or(Money{}).minor + line.value->minor};
    sum.lots_without_price += line.lots_without_price;
}

bool comes_before(const StockLine& a, const StockLine& b) {
    constexpr Date never = Date::max();
    const auto key = [&](const StockLine& line) {
        return std::tuple(line.kind, std::string_view(line.item), line.on_hand.measure,
                          line.best_before.value_or(never), std::string_view(line.lot));
    };
    return key(a) < key(b);
}

bool same_item(const StockLine& a, const StockLine& b) {
    return a.item == b.item && a.on_hand.measure == b.on_hand.measure;
}

} // namespace

Money value_at_cost(Money price, Amount on_hand, Amount received) {
    LOTWORT_CHECK(received.units > 0 && on_hand.measure == received.measure);
    __extension__ using Wide = __int128; // hundredths times milligrams pass 64 bits
    const Wide product = Wide(price.minor) * on_hand.units;
    return {static_cast<std::int64_t>((product * 2 + received.units) / (Wide(received.units) * 2))};
}

StockList stock_list(const std::vector<StockRow>& rows, const StockChoice& choice, Date today, std::string currency) {
    StockList list;
    list.by_lot = choice.by_lot;
    list.today = today;
    list.currency = std::move(currency);
    std::vector<StockLine> lines;
    for (const StockRow& row : rows) {
        if (choice.item && row.item != *choice.item) continue;
        if (!choice.all && row.on_hand.units == 0) continue;
        lines.push_back(line_of(row));
        list.value.minor += lines.back().value.value_or(Money{}).minor;
        list.lots_without_price += lines.back().lots_without_price;
    }
    std::sort(lines.begin(), lines.end(), comes_before);
    for (StockLine& line : lines) {
        if (choice.by_lot) {
            list.lines.push_back(std::move(line));
        } else if (list.lines.empty() || !same_item(list.lines.back(), line)) {
            line.lot.clear();
            line.held.reset();
            list.lines.push_back(std::move(line));
        } else {
            add(list.lines.back(), line);
        }
    }
    return list;
}

} // namespace lotwort::cli
