#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/item.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/stock/kinds.hpp>
#include <lotwort/stock/yeast.hpp>

namespace lotwort::report {

namespace {

template <class Quantity>
std::string number(const std::optional<Quantity>& quantity, std::string_view unit = {}) {
    if (!quantity) return "";
    return readable(quantity->value()) + (unit.empty() ? "" : " ") + std::string(unit);
}

std::string extract(const Item& item) {
    return item.extract ? extract_text(*item.extract, item.extract_basis) : "";
}

std::string stand_ins(const Item& item, Allowed allowed) {
    std::string text;
    for (const StandIn& other : item.stands_for) {
        if (other.allowed.value_or(Allowed::yes) != allowed) continue;
        if (!text.empty()) text += ", ";
        text += other.item;
        if (other.preference) text += fmt::format(" ({})", shortest(*other.preference));
    }
    return text;
}

std::string kind_words(const Item& item) {
    const std::string kind(word(item.kind));
    return item.malt_class ? *item.malt_class + " " + kind : kind;
}

std::string unstated(const Item& item) {
    if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar && item.kind != ItemKind::hop) return "";
    const KindOfItem* kind = kind_of(item);
    if (kind == nullptr) return "What is not stated is taken as typical of its class, with a wide margin.\n";
    return wrapped(fmt::format("What is not stated is taken as typical of {}; lotwort item kinds {} shows it.",
                               kind->name, shell_word(item.name)),
                   2);
}

} // namespace

std::string new_item_text(const Item& item) {
    return fmt::format("{} is new: kept as {}", item.name, kind_words(item));
}

std::string item_text(const Item& item) {
    std::string text = fmt::format("{}: {}\n", item.name, kind_words(item));
    const auto line = [&](std::string_view what, const std::string& value) {
        if (!value.empty()) text += fmt::format("  {:<16} {}\n", what, value);
    };
    line("extract", extract(item));
    line("  sd of its lots", number(item.extract_sd, "points"));
    line("moisture", number(item.moisture, "%"));
    line("colour", number(item.colour, "EBC"));
    line("diastatic power", number(item.diastatic_power, "WK"));
    line("largest share", number(item.max_share, "%"));
    line("alpha acids", number(item.alpha, "%"));
    line("group", item.group.value_or(""));
    line("stands in for", stand_ins(item, Allowed::yes));
    line("  but never for", stand_ins(item, Allowed::never));
    if (item.cells_billion)
        line("cells", fmt::format("{} billion {}, fresh", readable(*item.cells_billion),
                                  unit_of_cells(measure_of(item.cells_per.value_or(CellsPer::pack)))));
    line("  that die", item.cells_loss ? number(item.cells_loss, "% a month") : "");
    if (item.pitch_rate) line("pitched", fmt::format("{} million per mL and °P", readable(*item.pitch_rate)));
    line("shelf life", item.shelf_life_days ? counted(*item.shelf_life_days, "day") : "");
    return text + unstated(item);
}

std::string item_list_text(const std::vector<Item>& items) {
    if (items.empty()) return "no items yet; receiving a delivery makes one\n";
    Table table{{{"ITEM", Align::left, true},
                 {"KIND"},
                 {"CLASS"},
                 {"EXTRACT", Align::right},
                 {"COLOUR EBC", Align::right},
                 {"ALPHA %", Align::right}},
                {}};
    for (const Item& item : items)
        table.rows.push_back({item.name, std::string(word(item.kind)), item.malt_class.value_or(""), extract(item),
                              number(item.colour), number(item.alpha)});
    return table_text(table);
}

std::string item_list_csv(const std::vector<Item>& items) {
    std::string csv = csv_row({"item", "kind", "class", "extract_pct", "extract_basis", "moisture_pct", "colour_ebc",
                               "diastatic_power_wk", "alpha_pct", "shelf_life_days"});
    for (const Item& item : items)
        csv += csv_row({item.name, std::string(word(item.kind)), item.malt_class.value_or(""), number(item.extract),
                        item.extract_basis ? std::string(word(*item.extract_basis)) : "", number(item.moisture),
                        number(item.colour), number(item.diastatic_power), number(item.alpha),
                        item.shelf_life_days ? std::to_string(*item.shelf_life_days) : ""});
    return csv;
}

std::string item_list_json(const std::vector<Item>& items) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/item/1").key("items").begin_array();
    for (const Item& item : items) write_json(w, item);
    w.end_array().end_object();
    return std::move(w).text();
}

std::string item_booked_text(const Item& item, const Booked& booked, const std::string& remark) {
    return item_text(item) + (remark.empty() ? "" : wrapped(remark, 2)) + booked_line(booked);
}

std::string item_booked_json(const Item& item, const Booked& booked, const std::string& remark) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/item/1").key("items").begin_array();
    write_json(w, item);
    w.end_array();
    if (!remark.empty()) w.field("remark", remark);
    booked_fields(w, booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
