// All pages of a brewery, to be found from one.
#include "html_page.hpp"
#include "html_text.hpp"
#include "links.hpp"
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/pages.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

constexpr std::size_t in_sight = 50; // rows; older ones are folded

std::string figure(const std::optional<double>& value, int decimals) {
    return value ? fixed(*value, decimals) : std::string("-");
}

std::string brews(const IndexPage& page) {
    Table table{{{"Brew"}, {"Date"}, {"Recipe"}, {"OG", Align::right}, {"ABV, %", Align::right}}, {}};
    for (const ListedBrew& listed : page.brews)
        table.rows.push_back({listed.brew.code, to_iso(listed.brew.date), listed.brew.recipe.value_or(""),
                              figure(listed.original_sg, 3), figure(listed.abv_pct, 1)});
    return html::section("Brews", html::folded_table(table, "The newest first", in_sight, "earlier brews"));
}

std::string lots(const IndexPage& page) {
    Table there{{{"Lot"}, {"Item"}, {"Received"}, {"On hand", Align::right}, {"Best before"}}, {}}, gone = there;
    for (const LotState& state : page.lots)
        (state.on_hand.units > 0 ? there : gone)
            .rows.push_back({state.lot.code, state.lot.item, to_iso(state.lot.received), to_text(state.on_hand),
                             date_text(state.lot.best_before)});
    std::string text = html::folded_table(there, "On hand", in_sight, "more");
    if (!gone.rows.empty()) text += html::folded_table(gone, "Used up", 0, "lots that are used up");
    return html::section("Lots", text);
}

std::string plans(const IndexPage& page) {
    Table table{{{"Plan"}, {"Date"}, {"Recipe"}, {"Brewhouse"}}, {}};
    for (const Plan& plan : page.plans)
        table.rows.push_back({plan.code, to_iso(plan.date), plan.recipe, plan.brewhouse.value_or("")});
    return html::section("Plans", html::table(table, "Open, by day"));
}

std::string others(const IndexPage& page) {
    std::string items;
    for (const auto& [words, file] : page.others) items += html::element("li", html::link(file, words));
    return html::section("All else", items.empty() ? "" : html::element("ul", items));
}

} // namespace

std::string index_page(const IndexPage& page) {
    return html::whole({.title = "All pages",
                        .under = "as of " + to_iso(page.today),
                        .body = plans(page) + brews(page) + lots(page) + others(page),
                        .is_searched = true});
}

} // namespace lotwort::report
