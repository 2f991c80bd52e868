#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/ageing.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string alpha_text(const std::optional<Figure>& alpha) {
    return alpha ? fixed(alpha->value, 1) + " %" : "";
}

Table ageing_table(const AgeingList& list) {
    bool any_hop = false;
    for (const AgeingLine& line : list.lines) any_hop = any_hop || line.alpha_now;
    Table table{
        {{"LOT"}, {"ITEM", Align::left, true}, {"ON HAND", Align::right}, {"BEST BEFORE"}, {"DAYS", Align::right}}, {}};
    if (any_hop) table.columns.push_back({"ALPHA", Align::right});
    if (any_hop) table.columns.push_back({fmt::format("+{} D", ageing_days), Align::right});
    table.columns.push_back({"AT STAKE", Align::right});
    for (const AgeingLine& line : list.lines) {
        std::vector<std::string> row{line.lot, line.item, to_text(line.on_hand), date_text(line.best_before),
                                     line.days_left ? std::to_string(*line.days_left) : ""};
        if (any_hop) row.push_back(alpha_text(line.alpha_now));
        if (any_hop) row.push_back(alpha_text(line.alpha_then));
        row.push_back(line.at_stake && line.at_stake->minor != 0 ? money_text(*line.at_stake) : "");
        table.rows.push_back(std::move(row));
    }
    return table;
}

// Below the table: a column more would be wider than the terminal.
std::string opened_text(const AgeingList& list) {
    std::string text;
    for (const AgeingLine& line : list.lines)
        if (line.opened)
            text += fmt::format("{}{} on {}", text.empty() ? "opened: " : ", ", line.lot, to_iso(*line.opened));
    return text.empty() ? text : wrapped(text, 2);
}

std::string lots_text(std::size_t count, std::string_view one, std::string_view more) {
    return fmt::format("{} {}", count, count == 1 ? one : more);
}

void alpha_fields(JsonWriter& w, std::string_view name, const std::optional<Figure>& alpha) {
    if (!alpha) return;
    w.field(fmt::format("{}_pct", name), alpha->value).field(fmt::format("{}_sd_pct", name), alpha->sd);
}

std::string optional_money(const std::optional<Money>& money) {
    return money ? money_text(*money) : "";
}

} // namespace

std::string ageing_text(const AgeingList& list) {
    std::string text = list.lines.empty() ? "nothing in stock is known to age\n" : table_text(ageing_table(list));
    std::string last =
        fmt::format("at stake within {} days: {}", ageing_days, money_text(list.at_stake, list.currency));
    if (list.lots_without_price > 0)
        last += "; " + lots_text(list.lots_without_price, "lot has no price", "lots have no price");
    if (!list.lines.empty()) text += opened_text(list) + wrapped(last, 2);
    if (list.lots_without_date > 0)
        text += wrapped("not listed: " + lots_text(list.lots_without_date, "lot", "lots") +
                            " with no best before, no analysed alpha and no day of opening",
                        2);
    return text;
}

std::string ageing_csv(const AgeingList& list) {
    std::string csv = csv_row({"lot", "item", "kind", "unit", "on_hand", "best_before", "days_left", "alpha_pct",
                               fmt::format("alpha_in_{}_days_pct", ageing_days), "weak_from", "opened", "held", "value",
                               "at_stake", "currency"});
    for (const AgeingLine& line : list.lines)
        csv += csv_row(
            {line.lot, line.item, std::string(word(line.kind)), amount_unit(line.on_hand), amount_number(line.on_hand),
             date_text(line.best_before), line.days_left ? std::to_string(*line.days_left) : "",
             line.alpha_now ? fixed(line.alpha_now->value, 2) : "",
             line.alpha_then ? fixed(line.alpha_then->value, 2) : "", date_text(line.weak_from), date_text(line.opened),
             line.held.value_or(""), optional_money(line.value), optional_money(line.at_stake), list.currency});
    return csv;
}

std::string ageing_json(const AgeingList& list) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/ageing/1").field("on", list.today).field("days", ageing_days);
    w.field("currency", list.currency);
    write_money_field(w, "at_stake", list.at_stake);
    w.field("lots_without_price", list.lots_without_price).field("lots_without_date", list.lots_without_date);
    w.key("ageing").begin_array();
    for (const AgeingLine& line : list.lines) {
        w.begin_object(JsonWriter::Layout::one_line).field("lot", line.lot).field("item", line.item);
        w.field("kind", word(line.kind));
        write_amount_field(w, "on_hand", line.on_hand);
        w.field("best_before", line.best_before).field("days_left", line.days_left);
        alpha_fields(w, "alpha", line.alpha_now);
        alpha_fields(w, "alpha_then", line.alpha_then);
        w.field("weak_from", line.weak_from).field("opened", line.opened).field("held", line.held);
        if (line.value) write_money_field(w, "value", *line.value);
        if (line.at_stake) write_money_field(w, "at_stake", *line.at_stake);
        if (!line.assumed.empty()) w.field("assumed", line.assumed);
        w.end_object();
    }
    w.end_array().end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
