// The whole brewery on a page: what needs somebody first.
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include "reconcile_words.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/report/units.hpp>

namespace lotwort::report {

namespace {

// Of the last twenty brews that agree one is called odd by chance on one page in ten, and not on every other one.
constexpr double least_chance = 0.005;

std::string to_do(std::string_view why, std::string_view command) {
    return html::element("li", html::running(html::with_minus_signs(as_answered(why))) + "<br/>" +
                                   html::of_text("code", command));
}

std::string attention(const BreweryPage& page) {
    std::string items;
    for (const NextStep& step : page.next) items += to_do(step.why, step.command);
    for (const ReconciledBrew& brew : page.contradictory)
        if (brew.result.test.p_value.value_or(1.0) < least_chance)
            items += to_do(fmt::format("{} of {}: {} {}", brew.result.brew, to_iso(brew.date),
                                       agreement_sentence(brew.result), suspect_sentence(brew.result)),
                           "lotwort reconcile " + shell_word(brew.result.brew));
    return items.empty() ? html::of_text("p", "Nothing needs you today.") : html::element("ul", items);
}

std::string figure(const std::optional<double>& value, int decimals) {
    return value ? fixed(*value, decimals) : std::string("-");
}

std::string brews_table(const BreweryPage& page) {
    Table table{{{"Brew"},
                 {"Date"},
                 {"Recipe"},
                 {"OG", Align::right},
                 {"FG", Align::right},
                 {"ABV, %", Align::right},
                 {"Eff., %", Align::right},
                 {"Cost", Align::right},
                 {"Odd reading"}},
                {}};
    for (const ListedBrew& listed : page.last_brews) {
        const Brew& brew = listed.brew;
        const auto odd = std::ranges::find(page.contradictory, brew.code,
                                           [](const ReconciledBrew& r) -> const std::string& { return r.result.brew; });
        const bool is_odd = odd != page.contradictory.end() && !odd->result.suspects.empty();
        const auto cost = listed.whole_cost();
        const auto efficiency = listed.efficiency ? std::optional(100.0 * *listed.efficiency) : std::nullopt;
        table.rows.push_back({brew.code, to_iso(brew.date),
                              brew.recipe.value_or("") + (brew.abandoned ? " (given up)" : ""),
                              figure(listed.original_sg, 3), figure(listed.final_sg, 3), figure(listed.abv_pct, 1),
                              figure(efficiency, 0), cost ? money_text(*cost) : "-",
                              is_odd ? subject(odd->result.suspects.front()) : ""});
    }
    const std::size_t shown = page.last_brews.size();
    return html::table(table, shown < page.brews ? fmt::format("The last {} of {} brews, as read", shown, page.brews)
                              : shown == 1       ? std::string("The one brew so far, as read")
                                                 : fmt::format("All {} brews, the last first, as read", shown));
}

} // namespace

std::string brewery_page(const BreweryPage& page) {
    return html::whole({"The brewery", "as of " + to_iso(page.stock.items.today),
                        html::section("What needs you", attention(page)) +
                            html::section("The brewhouse", trend_parts(page.trend)) +
                            html::section("The stock", stock_parts(page.stock)) +
                            html::section("Brews", brews_table(page)) + learned_parts(page.trend)});
}

} // namespace lotwort::report
