// Stock: what there is, a delivery of many lines, a count.
#include "pages.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/pages.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/pages.hpp>

namespace lotwort::serve {

namespace {

constexpr int lines_of_a_delivery = 12, lines_in_sight = 4;

// Values that a field offers, under that id.
std::string offered(const std::string& id, const std::vector<std::string>& values) {
    std::string options;
    for (const std::string& value : values)
        options += fmt::format("<option value=\"{}\"></option>", html::escaped(value));
    return html::element("datalist", options, "id=\"" + id + "\"");
}

std::vector<std::string> suppliers_of(const Book& book) {
    std::vector<std::string> names;
    for (const Supplier& supplier : book.suppliers) names.push_back(supplier.name);
    return names;
}

std::string lot_said(const LotState& state) {
    std::string text = fmt::format("{}: {} of {}", state.lot.code, to_text(state.on_hand), state.lot.item);
    if (state.free().units != state.on_hand.units) text += fmt::format(", {} free", to_text(state.free()));
    if (state.lot.best_before) text += ", best before " + to_iso(*state.lot.best_before);
    if (state.lot.held) text += ", on hold: " + *state.lot.held;
    return text;
}

// The supplier's note as it comes by mail.
std::string note_form(const Visit& visit) {
    Form form(visit, "receive", "note");
    form.hidden("delivery", "-");
    form.file("sent", "The note", "a table as CSV: a lot for each row; headings item, amount, price, best-before, ...");
    form.row_begins();
    form.field({.name = "supplier", .label = "Who delivered it", .list = "suppliers"});
    form.field(
        {.name = "columns", .label = "Their headings, where they differ", .ghost = "item=Article,amount=Quantity"});
    form.row_ends();
    form.check("again", "The same delivery came once more");
    return form.folded("A delivery note as a file", "Book the note", true);
}

} // namespace

std::pair<std::string, std::string> scale_of(Amount amount) {
    const std::string shown = report::on_the_scale(amount);
    const auto blank = std::min(shown.find(' '), shown.size());
    return {shown.substr(0, blank), blank < shown.size() ? shown.substr(blank + 1) : ""};
}

Page stock_page(const Desk& desk, const Visit& visit) {
    std::string doing;
    if (!visit.read_only)
        doing =
            html::element("p", link("/receive", "Receive a delivery", "go") + " " + link("/count", "Count", "go") +
                                   " " + link("/ask/item", "Items", "go") + " " + link("/page/labels", "Labels", "go"));
    return {"Stock", "as booked on " + to_iso(desk.today),
            doing + html::element(
                        "div", with_commands_linked(html::main_of(report::stock_page(stock_for_page(desk))), "/stock"),
                        "class=\"touched\"")};
}

Page item_page(const Desk& desk, const Visit& visit, const std::string& name) {
    const Book book = desk.ledger.definitions();
    const std::string item = known_item(book, name).name;
    std::string items;
    for (const LotState& state : desk.ledger.lots()) {
        if (state.lot.item != item || state.on_hand.units == 0) continue;
        items += html::element(
            "li", html::of_text("span", lot_said(state)) + link("/lots/" + in_address(state.lot.code), "The lot", "go"),
            "class=\"fine\"");
    }
    if (items.empty()) items = html::of_text("li", "Nothing of it is on hand.");
    std::string more = link("/ask/item?ACTION=show&ITEM=" + in_address(item), "The item", "go");
    if (!visit.read_only) more += " " + link("/receive", "Receive a delivery", "go");
    return {item, "its lots", html::element("ul", items, "class=\"todo\"") + html::element("p", more)};
}

Page lot_page(const Desk& desk, const Visit& visit, const std::string& code) {
    const LotState state = known_lot(desk.ledger, code);
    std::string forms;
    if (!visit.read_only) {
        Form count(visit, "count", "count");
        count.hidden("LOT", state.lot.code);
        const auto [on_hand, unit] = scale_of(state.on_hand);
        const std::string amount = fmt::format("{{.amount|{}}}", unit);
        count.compose("AMOUNT", amount);
        count.field({.name = ".amount",
                     .label = "All that is there",
                     .ghost = on_hand,
                     .unit = unit,
                     .number = true,
                     .required = true});
        count.field({.name = "reason", .label = "Why, where it differs", .ghost = "spilled"});
        Form discard(visit, "discard", "discard");
        discard.hidden("LOT", state.lot.code);
        discard.compose("AMOUNT", amount);
        discard.field({.name = ".amount", .label = "How much, or all", .ghost = "all", .unit = unit, .required = true});
        discard.field({.name = "reason", .label = "Why", .ghost = "mouldy", .required = true});
        forms = html::element(
            "div",
            html::element("section", html::of_text("h3", "Count it") + count.html("Book the count", true),
                          "class=\"card\"") +
                html::element("section", html::of_text("h3", "Discard") + discard.html("Book it as gone", true),
                              "class=\"card\""),
            "class=\"cards\"");
    }
    const std::string in = in_address(state.lot.code);
    return {state.lot.code, lot_said(state),
            forms +
                html::element("p", link("/ask/trace?run=&CODE=" + in, "Where it went", "go") + " " +
                                       link("/ask/lot?LOT=" + in, "Split, retest, open", "go")) +
                html::main_of(report::lot_page(lot_for_page(desk, state.lot.code)))};
}

Page receive_page(const Desk& desk, const Visit& visit) {
    const Book book = desk.ledger.definitions();
    Form form(visit, "receive", "delivery");
    form.hidden("delivery", "-");
    form.hidden(".columns", "item,amount,lot,price,best-before,supplier-lot");
    form.raw("<div class=\"row\">");
    form.field({.name = "supplier", .label = "Who delivered it", .list = "suppliers"});
    form.field({.name = "on", .label = "On", .ghost = to_iso(desk.today)});
    form.raw("</div>\n");
    for (int line = 2; line < 2 + lines_of_a_delivery; ++line) {
        const auto name = [&](std::string_view column) { return fmt::format(".row{}.{}", line, column); };
        if (line == 2 + lines_in_sight) form.fold_begins("More lines");
        form.group_begins(fmt::format("Line {}", line - 1));
        form.field({.name = name("item"), .label = "What", .ghost = "pale ale malt", .list = "items"});
        form.field({.name = name("amount"), .label = "How much", .ghost = "25kg"});
        form.fold_begins("Price, date, codes");
        form.raw("<div class=\"row\">");
        form.field({.name = name("price"), .label = "Price", .ghost = "32.50", .number = true});
        form.field({.name = name("best-before"), .label = "Best before", .ghost = "2027-03-01"});
        form.field({.name = name("lot"), .label = "Your code", .ghost = "PAM-1"});
        form.field({.name = name("supplier-lot"), .label = "Their lot"});
        form.raw("</div>\n");
        form.fold_ends();
        form.group_ends();
    }
    form.fold_ends();
    form.check("again", "The same delivery came once more");
    form.check("sure", "It is so, however unlikely");
    return {"Receive a delivery", "All lines are booked as one entry, or none.",
            offered("items", item_names(book)) + offered("suppliers", suppliers_of(book)) +
                form.html("Book the delivery", true) + note_form(visit) +
                html::element("p", link("/ask/receive", "One lot with its certificate", "go"))};
}

Page count_page(const Desk& desk, const Visit& visit) {
    Form form(visit, "count", "sheet");
    form.hidden("from", "-");
    form.hidden(".columns", "lot,counted,unit,reason");
    form.raw(html::of_text("p", "Fill in what is there; what is left empty is not counted."));
    int line = 1;
    for (const LotState& state : desk.ledger.lots()) {
        if (state.on_hand.units == 0) continue;
        ++line;
        const auto name = [&](std::string_view column) { return fmt::format(".row{}.{}", line, column); };
        const auto [booked, unit] = scale_of(state.on_hand);
        form.group_begins(fmt::format("{}: {}, {}", line - 1, state.lot.code, state.lot.item));
        form.hidden(name("lot"), state.lot.code);
        form.hidden(name("unit"), unit);
        form.field({.name = name("counted"), .label = "Counted", .ghost = booked, .unit = unit, .number = true});
        form.field({.name = name("reason"), .label = "Why it differs"});
        form.group_ends();
    }
    if (line == 1)
        return {"Count", "nothing is in stock to be counted",
                html::element("p", link("/receive", "Receive a delivery", "go"))};
    form.field({.name = "tolerance", .label = "A difference so small needs no reason", .ghost = "1%"});
    return {"Count", "what is booked stands in the empty fields", form.html("Book the count", true)};
}

} // namespace lotwort::serve
