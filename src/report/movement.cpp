#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/movement.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

double share_pct(Amount part, Amount whole) {
    return 100.0 * static_cast<double>(part.units) / static_cast<double>(whole.units);
}

std::string worth_text(const StockChange& change) {
    return change.worth ? fmt::format("  worth {} at cost\n", money_text(*change.worth, change.currency)) : "";
}

std::string change_json(const StockChange& change, std::string_view schema) {
    JsonWriter w;
    w.begin_object().field("schema", schema).field("lot", change.lot.code).field("item", change.lot.item);
    w.field("on", change.movement.on);
    write_amount_field(w, "before", change.before);
    write_amount_field(w, "change", change.movement.change);
    write_amount_field(w, "after", change.after());
    write_amount_field(w, "promised", change.promised);
    w.field("reason", change.movement.reason);
    if (change.worth) write_money_field(w, "worth", *change.worth);
    booked_fields(w, change.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace

std::string count_text(const StockChange& change) {
    const Amount difference = change.movement.change;
    std::string text;
    if (difference.units == 0)
        text = fmt::format("{}: {} counted, as booked\n", change.lot.code, to_text(change.after()));
    else {
        const bool is_short = difference.units < 0;
        const std::string share =
            change.before.units == 0 ? "" : fmt::format(" ({} %)", fixed(share_pct(difference, change.before), 1));
        text = fmt::format("{}: {} counted where {} was booked: {} {}{}\n", change.lot.code, to_text(change.after()),
                           to_text(change.before), to_text(is_short ? -difference : difference),
                           is_short ? "short" : "over", share);
        text += worth_text(change);
    }
    return text + booked_line(change.booked);
}

std::string count_sheet(const std::vector<StockRow>& rows, Date today) {
    std::string text =
        fmt::format("Stock count, printed on {}\n\nCounted on ______________  by ______________\n\n", to_iso(today));
    Table table{{{"LOT"}, {"ITEM", Align::left, true}, {"BOOKED", Align::right}, {"COUNTED"}, {"WHY IT DIFFERS"}}, {}};
    for (const StockRow& row : rows)
        table.rows.push_back({row.lot, row.item, to_text(row.on_hand), "__________", "____________________"});
    return text + table_text(table) +
           "\nWeigh what is open, count what is sealed; weigh the empty sack too, and take it\n"
           "off. What is not on the sheet, note below.\n"
           "Book each line: lotwort count LOT COUNTED --reason \"why\"; or all at once, from\n"
           "the sheet as a file (--sheet --csv): lotwort count --from FILE\n";
}

std::string count_sheet_csv(const std::vector<StockRow>& rows) {
    std::string csv = csv_row({"lot", "item", "unit", "booked", "counted", "reason"});
    for (const StockRow& row : rows)
        csv += csv_row({row.lot, row.item, amount_unit(row.on_hand), amount_number(row.on_hand), "", ""});
    return csv;
}

std::string count_json(const StockChange& change) {
    return change_json(change, "lotwort/count/1");
}

std::string discard_text(const StockChange& change) {
    return fmt::format("{}: {} of {} taken out, {} left\n", change.lot.code, to_text(-change.movement.change),
                       to_text(change.before), to_text(change.after())) +
           worth_text(change) + booked_line(change.booked);
}

std::string discard_json(const StockChange& change) {
    return change_json(change, "lotwort/discard/1");
}

} // namespace lotwort::report
