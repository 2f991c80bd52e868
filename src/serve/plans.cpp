// Plans: what is to be brewed, what it lacks, what could stand in; recipes; entries.
#include "pages.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/desk/board.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/pages.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/report/pages.hpp>

namespace lotwort::serve {

namespace {

constexpr std::int64_t most_entries = 30;

std::string plan_form(const Desk& desk, const Visit& visit) {
    if (visit.read_only) return {};
    const Book book = desk.ledger.definitions();
    std::string recipes;
    for (const Recipe& recipe : book.recipes)
        recipes += fmt::format("<option value=\"{}\"></option>", html::escaped(recipe.name));
    Form form(visit, "plan", "plan");
    form.raw("<div class=\"row\">");
    form.field({.name = "RECIPE", .label = "Recipe", .required = true, .list = "recipes"});
    form.field({.name = "on", .label = "Day", .ghost = to_iso(desk.today), .required = true});
    form.field({.name = "volume", .label = "Volume", .hint = "the recipe's unless said", .ghost = "23L"});
    if (book.brewhouses.size() > 1) form.field({.name = "brewhouse", .label = "Brewhouse"});
    form.raw("</div>\n");
    form.check("aim", "Aim at the recipe's gravity by what past brews taught");
    return html::element("section",
                         html::of_text("h3", "Plan a brew") + html::element("datalist", recipes, "id=\"recipes\"") +
                             form.html("Plan it", true),
                         "class=\"card\"");
}

} // namespace

Page plans_page(const Desk& desk, const Visit& visit) {
    const Book book = desk.ledger.definitions();
    const auto lacks = lacks_of(book, desk.ledger.lots(), desk.today);
    std::string items;
    for (const Plan& plan : book.plans) {
        std::string said = fmt::format("{}, {}: {}", plan.code, to_iso(plan.date), plan.recipe);
        if (plan.volume) said += fmt::format(", {} L", readable(plan.volume->value()));
        const auto lack =
            std::ranges::find_if(lacks, [&](const auto& l) { return l.plan == plan.code && l.missing.units > 0; });
        if (lack != lacks.end()) said += fmt::format("; lacks {} of {}", to_text(lack->missing), lack->item);
        items +=
            html::element("li", html::of_text("span", said) + link("/plans/" + in_address(plan.code), "Look", "go"),
                          lack == lacks.end() ? "class=\"fine\"" : "");
    }
    if (items.empty()) items = html::of_text("li", "No plan is open.");
    return {"Plans", "what is to be brewed, by day",
            html::element("ul", items, "class=\"todo\"") + plan_form(desk, visit) +
                html::element("p", link("/page/calendar", "Calendar", "go") + " " + link("/buy", "What to buy", "go"))};
}

Page plan_page(const Desk& desk, const Visit& visit, const std::string& code) {
    const PlannedBrew planned = plan_for_sheet(desk, code);
    const Plan& plan = planned.plan;
    const std::string in = in_address(plan.code);
    const Book book = desk.ledger.definitions();
    const SheetGuide guide = sheet_guide(planned, known_brewhouse(book, plan.brewhouse.value_or("")), {});
    std::string doing =
        link("/brew-day/" + in, "Brew it", "go") + " " + link("/page/brew-sheet/" + in, "Its sheet", "go");
    if (planned.is_short()) doing += " " + link("/plans/" + in + "/answers", "What can stand in", "go");
    std::string body = html::element("p", doing) +
                       with_commands_linked(
                           html::main_of(report::plan_page({{planned, nullptr, placed(board_of(desk), plan)}, guide})),
                           "/plans/" + in);
    if (!visit.read_only) {
        Form move(visit, "plan", "move");
        move.hidden("RECIPE", plan.code);
        move.field({.name = "move", .label = "Put it on another day", .ghost = to_iso(plan.date), .required = true});
        Form off(visit, "plan", "off");
        off.hidden("RECIPE", plan.code);
        off.field({.name = "cancel", .label = "Call it off, because", .required = true});
        body += html::element("div",
                              html::element("section", move.html("Move it", true), "class=\"card\"") +
                                  html::element("section", off.html("Call it off", true), "class=\"card\""),
                              "class=\"cards\"");
    }
    return {plan.code + ": " + plan.recipe, "for " + to_iso(plan.date), body};
}

Page history_page(const Desk& desk, const Visit& visit) {
    HistoryFilter last;
    last.last = most_entries;
    std::string items;
    for (const Entry& entry : desk.ledger.history(last)) {
        std::string inner = said(fmt::format("{}, {}{}: {}", entry.number, to_iso(entry.head.on),
                                             entry.head.by.empty() ? "" : ", " + entry.head.by, entry.head.what));
        if (entry.reversed_by)
            inner += html::of_text("span", fmt::format("taken back by {}", *entry.reversed_by), "class=\"missing\"");
        else if (!entry.reverses && entry.number > 1 && !visit.read_only) {
            Form back(visit, "reverse", fmt::format("back-{}", entry.number));
            back.hidden("ENTRY", std::to_string(entry.number));
            inner += back.folded("Take back", "Take it back");
        }
        items += html::element("li", inner, "class=\"fine\"");
    }
    return {"Entries", "the newest first", html::element("ul", items, "class=\"todo\"")};
}

} // namespace lotwort::serve
