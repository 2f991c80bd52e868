// A count sheet that came back filled in.
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/movement.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

Amount difference(const CountedLot& row) {
    return row.counted - row.booked;
}

// With its sign, for a column that has both: -800 g, +50 g.
std::string signed_text(Amount amount) {
    return amount.units < 0 ? "-" + to_text(-amount) : "+" + to_text(amount);
}

// What all differences come to, and the lots whose worth nobody knows.
std::string worth_text(const SheetCount& count) {
    Money sum;
    std::vector<std::string> unknown;
    for (const auto& row : count.rows) {
        if (difference(row).units == 0) continue;
        if (row.worth)
            sum.minor += row.worth->minor;
        else
            unknown.push_back(row.lot.code);
    }
    const std::string without =
        unknown.empty() ? "" : fmt::format(", without {}: no price is known", fmt::join(unknown, ", "));
    return wrapped(fmt::format("together {} at cost{}", money_text(sum, count.currency), without), 2);
}

} // namespace

std::string sheet_count_text(const SheetCount& count) {
    Table table{{{"LOT"},
                 {"ITEM", Align::left, true},
                 {"BOOKED", Align::right},
                 {"COUNTED", Align::right},
                 {"DIFFERS", Align::right},
                 {"WORTH", Align::right},
                 {"WHY", Align::left, true}},
                {}};
    for (const auto& row : count.rows)
        if (difference(row).units != 0)
            table.rows.push_back({row.lot.code, row.lot.item, to_text(row.booked), to_text(row.counted),
                                  signed_text(difference(row)), row.worth ? money_text(*row.worth) : "", row.reason});
    const auto as_booked = count.rows.size() - table.rows.size();
    std::string text;
    if (!table.rows.empty()) text = table_text(table) + worth_text(count);
    if (as_booked > 0) text += fmt::format("{} {} as booked\n", as_booked, as_booked == 1 ? "lot is" : "lots are");
    if (!count.not_counted.empty())
        text += wrapped(fmt::format("not counted: {}", fmt::join(count.not_counted, ", ")), 2);
    return text + booked_line(count.booked);
}

std::string sheet_count_csv(const SheetCount& count) {
    std::string csv = csv_row({"lot", "item", "unit", "booked", "counted", "difference", "worth", "reason"});
    for (const auto& row : count.rows)
        csv += csv_row({row.lot.code, row.lot.item, amount_unit(row.booked), amount_number(row.booked),
                        amount_number(row.counted), amount_number(difference(row)),
                        row.worth ? money_text(*row.worth) : "", row.reason});
    return csv;
}

std::string sheet_count_json(const SheetCount& count) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/counts/1").field("currency", count.currency).key("lots").begin_array();
    for (const auto& row : count.rows) {
        w.begin_object(JsonWriter::Layout::one_line).field("lot", row.lot.code).field("item", row.lot.item);
        write_amount_field(w, "before", row.booked);
        write_amount_field(w, "change", difference(row));
        write_amount_field(w, "after", row.counted);
        if (!row.reason.empty()) w.field("reason", row.reason);
        if (row.worth) write_money_field(w, "worth", *row.worth);
        w.end_object();
    }
    w.end_array().field("not_counted", count.not_counted);
    booked_fields(w, count.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
