#include <algorithm>
#include <lotwort/core/natural_order.hpp>
#include <lotwort/desk/stock_list.hpp>
#include <lotwort/stock/worth.hpp>
#include <tuple>

namespace lotwort {

namespace {

using report::StockLine;
using report::StockList;

Amount free_of(const StockRow& row) {
    return row.held ? Amount{row.on_hand.measure, 0} : row.on_hand - row.promised;
}

StockLine line_of(StockRow&& row) {
    StockLine line;
    line.free = free_of(row);
    line.item = std::move(row.item);
    line.kind = row.kind;
    line.lot = std::move(row.lot);
    line.on_hand = row.on_hand;
    line.promised = row.promised;
    line.best_before = row.best_before;
    line.held = std::move(row.held);
    if (row.price)
        line.value = value_at_cost(*row.price, row.on_hand, row.received_amount);
    else
        line.lots_without_price = 1;
    return line;
}

void add(StockLine& sum, const StockRow& row) {
    ++sum.lots;
    sum.on_hand = sum.on_hand + row.on_hand;
    sum.promised = sum.promised + row.promised;
    sum.free = sum.free + free_of(row);
    if (row.on_hand.units > 0 && row.best_before && (!sum.best_before || *row.best_before < *sum.best_before))
        sum.best_before = row.best_before;
    if (row.price)
        sum.value = Money{sum.value.value_or(Money{}).minor +
                          value_at_cost(*row.price, row.on_hand, row.received_amount).minor};
    else
        ++sum.lots_without_price;
}

bool comes_before(const StockRow* a, const StockRow* b) {
    constexpr Date never = Date::max();
    const auto key = [&](const StockRow* row) {
        return std::tuple(row->kind, std::string_view(row->item), row->on_hand.measure,
                          row->best_before.value_or(never), NaturalOrder{row->lot});
    };
    return key(a) < key(b);
}

// Enough where lots are added up by item, and the order that the ledger gives.
bool is_of_earlier_item(const StockRow* a, const StockRow* b) {
    return std::tuple(a->kind, std::string_view(a->item), a->on_hand.measure) <
           std::tuple(b->kind, std::string_view(b->item), b->on_hand.measure);
}

std::vector<StockLine> lines_by_lot(const std::vector<StockRow*>& rows) {
    std::vector<StockLine> lines;
    lines.reserve(rows.size());
    for (StockRow* row : rows) lines.push_back(line_of(std::move(*row)));
    return lines;
}

std::vector<StockLine> lines_by_item(const std::vector<StockRow*>& rows) {
    std::vector<StockLine> lines;
    for (StockRow* row : rows) {
        if (!lines.empty() && lines.back().item == row->item && lines.back().on_hand.measure == row->on_hand.measure) {
            add(lines.back(), *row);
        } else {
            lines.push_back(line_of(std::move(*row)));
            if (lines.back().on_hand.units <= 0) lines.back().best_before.reset(); // an empty lot spoils no more
            lines.back().lot.clear();
            lines.back().held.reset();
        }
    }
    return lines;
}

} // namespace

StockList stock_list(std::vector<StockRow> rows, const StockChoice& choice, Date today, std::string currency) {
    std::vector<StockRow*> chosen; // sorted by pointer: a row is long
    for (StockRow& row : rows) {
        if (choice.item && row.item != *choice.item) continue;
        if (!choice.all && row.on_hand.units == 0) continue;
        chosen.push_back(&row);
    }
    const auto before = choice.by_lot ? comes_before : is_of_earlier_item;
    if (!std::is_sorted(chosen.begin(), chosen.end(), before)) std::stable_sort(chosen.begin(), chosen.end(), before);
    StockList list;
    list.by_lot = choice.by_lot;
    list.today = today;
    list.currency = std::move(currency);
    list.lines = choice.by_lot ? lines_by_lot(chosen) : lines_by_item(chosen);
    for (const StockLine& line : list.lines) {
        list.value.minor += line.value.value_or(Money{}).minor;
        list.lots_without_price += line.lots_without_price;
    }
    return list;
}

} // namespace lotwort
