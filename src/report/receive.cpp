#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/item.hpp>
#include <lotwort/report/receive.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/stock/typical.hpp>

namespace lotwort::report {

namespace {

constexpr std::size_t most_shown = 20; // of a note's lots; `lotwort stock --lots` has them all

// What is taken of a new item until somebody states it, in the figures that matter of its kind and that the lot's own
// certificate does not state.
std::string typical_text(const Item& item, const Certificate& stated) {
    const Typical typical = typical_of(item);
    const bool is_malt = item.kind == ItemKind::malt, has_extract = is_malt || item.kind == ItemKind::sugar;
    std::vector<std::string> taken;
    if (has_extract && !stated.extract)
        taken.push_back("extract " + with_sd(typical.extract_fine_dry_pct, typical.extract_sd_pct,
                                             is_malt ? "% fine-dry" : "% dry"));
    if (has_extract && !stated.moisture)
        taken.push_back("moisture " + with_sd(typical.moisture_pct, typical.moisture_sd_pct, "%"));
    if (is_malt && !stated.colour)
        taken.push_back("colour " + with_sd(typical.colour_ebc, typical.colour_sd_ebc, "EBC"));
    if (item.kind == ItemKind::hop && !stated.alpha)
        taken.push_back("alpha acids " + with_sd(typical.alpha_pct, typical.alpha_sd_pct, "%"));
    return fmt::format("{}", fmt::join(taken, ", "));
}

// A slip of the finger makes a new item, too.
std::string slip_text(const Received& received) {
    if (received.near.empty()) return "";
    std::string names;
    for (const std::string& name : received.near) names += (names.empty() ? "`" : ", `") + name + "`";
    const std::string undo =
        received.booked.dry_run ? "" : fmt::format("lotwort reverse {}, and ", received.booked.entry.number);
    return fmt::format("there is {} already; if that was meant: {}receive it under that name\n", names, undo);
}

} // namespace

std::string receive_text(const Received& received) {
    std::string text;
    if (received.made) {
        text = new_item_text(*received.made) + "\n";
        const std::string typical = typical_text(*received.made, received.lot.certificate.value_or(Certificate{}));
        if (!typical.empty())
            text += wrapped(fmt::format("where nothing else is stated, as is typical: {}", typical), 2);
    }
    for (const std::string& remark : received.remarks) text += wrapped(remark, 2);
    return text + slip_text(received) + booked_line(received.booked);
}

std::string receive_note_text(const ReceivedNote& received) {
    std::string text;
    for (const Item& item : received.part.items) text += new_item_text(item) + "\n";
    Table table{{{"LOT"}, {"ITEM", Align::left, true}, {"AMOUNT", Align::right}, {"THEIR LOT", Align::left, true}}, {}};
    for (const Lot& lot : received.part.lots) {
        if (table.rows.size() == most_shown) break;
        table.rows.push_back({lot.code, lot.item, on_the_scale(lot.received_amount), lot.supplier_lot.value_or("")});
    }
    if (!table.rows.empty()) text += table_text(table);
    if (const auto others = received.part.lots.size() - table.rows.size(); others > 0)
        text += fmt::format("and {} more\n", others);
    for (const std::string& sentence : received.says) text += sentence + "\n";
    for (const std::string& remark : received.remarks) text += wrapped(remark, 2);
    return text + booked_line(received.booked);
}

std::string receive_note_json(const ReceivedNote& received) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/receive/1").key("lots").begin_array();
    for (const Lot& lot : received.part.lots) write_json(w, lot);
    w.end_array().key("new_items").begin_array();
    for (const Item& item : received.part.items) w.value(item.name);
    w.end_array();
    if (!received.part.orders.empty()) w.field("differences", received.says);
    if (!received.remarks.empty()) w.field("remarks", received.remarks);
    booked_fields(w, received.booked);
    w.end_object();
    return std::move(w).text();
}

std::string receive_json(const Received& received) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/receive/1").key("lots").begin_array();
    write_json(w, received.lot);
    w.end_array().key("new_items").begin_array();
    if (received.made) w.value(received.made->name);
    w.end_array().key("lot");
    write_json(w, received.lot);
    if (received.made) {
        w.key("item_made");
        write_json(w, *received.made);
    }
    if (!received.near.empty()) w.field("near", received.near);
    booked_fields(w, received.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
