#include <fmt/format.h>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/stock.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string if_any(Amount amount) {
    return amount.units == 0 ? "-" : on_the_scale(amount);
}

std::string ageing(const StockLine& line, Date today) {
    if (!line.best_before) return "";
    return to_iso(*line.best_before) + (*line.best_before < today ? " past" : "");
}

Table stock_table(const StockList& list) {
    Table table;
    if (list.by_lot) table.columns.push_back({"LOT"});
    table.columns.push_back({"ITEM", Align::left, true});
    for (const char* heading : {"ON HAND", "PROMISED", "FREE"}) table.columns.push_back({heading, Align::right});
    table.columns.push_back({"BEST BEFORE"});
    table.columns.push_back({"VALUE", Align::right});
    if (list.by_lot) table.columns.push_back({"HELD", Align::left, true});
    for (const StockLine& line : list.lines) {
        std::vector<std::string> row;
        if (list.by_lot) row.push_back(line.lot);
        row.push_back(line.item);
        row.push_back(on_the_scale(line.on_hand));
        row.push_back(if_any(line.promised));
        row.push_back(on_the_scale(line.free));
        row.push_back(ageing(line, list.today));
        row.push_back(line.value ? money_text(*line.value) : "");
        if (list.by_lot) row.push_back(line.held.value_or(""));
        table.rows.push_back(std::move(row));
    }
    return table;
}

} // namespace

std::string stock_text(const StockList& list) {
    std::string late;
    for (const std::string& order : list.overdue) late += wrapped(order, 2);
    for (const std::string& said : list.says) late += wrapped(said, 2);
    if (list.lines.empty() && !list.says.empty()) return "nothing was in stock\n" + late;
    if (list.lines.empty())
        return "nothing in stock; next: lotwort receive \"pale ale malt\" 25kg\n" + late + lacks_text(list.lacks);
    Table table = stock_table(list);
    if (list.by_lot) {
        bool held = false;
        for (const StockLine& line : list.lines) held = held || line.held;
        if (!held) { // an empty column only takes room
            table.columns.pop_back();
            for (auto& row : table.rows) row.pop_back();
        }
    }
    std::string text = table_text(table);
    text += fmt::format("value at cost {}", money_text(list.value, list.currency));
    if (list.lots_without_price > 0)
        text += fmt::format("; {} {} no price", list.lots_without_price,
                            list.lots_without_price == 1 ? "lot has" : "lots have");
    return text + "\n" + late + lacks_text(list.lacks);
}

std::string stock_csv(const StockList& list) {
    std::string csv = csv_row(
        {"item", "kind", "lot", "unit", "on_hand", "promised", "free", "best_before", "value", "currency", "held"});
    for (const StockLine& line : list.lines)
        csv += csv_row({line.item, std::string(word(line.kind)), line.lot, amount_unit(line.on_hand),
                        amount_number(line.on_hand), amount_number(line.promised), amount_number(line.free),
                        date_text(line.best_before), line.value ? money_text(*line.value) : "", list.currency,
                        line.held.value_or("")});
    return csv;
}

std::string stock_json(const StockList& list) {
    JsonWriter w;
    w.begin_object()
        .field("schema", list.by_lot ? "lotwort/lots/1" : "lotwort/stock/1")
        .field("on", list.today)
        .field("currency", list.currency);
    write_money_field(w, "value", list.value);
    w.field("lots_without_price", list.lots_without_price);
    w.key(list.by_lot ? "lots" : "items").begin_array();
    for (const StockLine& line : list.lines) {
        w.begin_object(JsonWriter::Layout::one_line);
        if (list.by_lot) w.field("lot", line.lot);
        w.field("item", line.item).field("kind", word(line.kind));
        if (!list.by_lot) w.field("lots", line.lots);
        write_amount_field(w, "on_hand", line.on_hand);
        write_amount_field(w, "promised", line.promised);
        write_amount_field(w, "free", line.free);
        w.field("best_before", line.best_before);
        if (line.value) write_money_field(w, "value", *line.value);
        if (!list.by_lot && line.lots_without_price > 0) w.field("lots_without_price", line.lots_without_price);
        w.field("held", line.held).end_object();
    }
    w.end_array();
    if (!list.says.empty()) w.field("says", list.says);
    if (!list.overdue.empty()) w.field("overdue", list.overdue);
    if (!list.lacks.empty()) lacks_json(w, list.lacks);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
