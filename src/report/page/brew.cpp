// One brew as a page.
#include "../explain_words.hpp"
#include "brew_charts.hpp"
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include "reconcile_words.hpp"
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/recipe.hpp>

namespace lotwort::report {

namespace {

std::string suspects(const Reconciliation& result) {
    std::string items;
    for (const auto& suspect : result.suspects) {
        std::string said = fmt::format("{}: {}", subject(suspect), likely_error(suspect));
        if (const auto& without = suspect.efficiencies_without.brewhouse.estimate)
            said += "; without it the brewhouse gave " + share_said(*without);
        for (const auto& slip : suspect.looks_like) said += "; looks like: " + slip;
        items += html::of_text("li", said);
    }
    return html::section("Suspects, strongest first", items.empty() ? "" : html::element("ol", items));
}

std::string quantities(const Reconciliation& result) {
    Table table{{{"Quantity"}, {"Value", Align::right}, {"9 times in 10", Align::right}}, {}};
    for (const auto& [name, estimated] : result.quantities) {
        const auto [said, unit] = words_of_quantity(name);
        if (!estimated.estimate) {
            table.rows.push_back({said, "not known"});
            continue;
        }
        const Estimate& e = *estimated.estimate;
        table.rows.push_back({said, with_sd(e.value, e.sd, shown_unit(unit), decimals_of_unit(unit)),
                              interval(e.low, e.high, e.sd, shown_unit(unit))});
    }
    return html::section("All quantities",
                         html::table(table, "Litres at 20 °C; extract in kilograms; gravities at 20 °C"));
}

std::string went_in(const ShownBrew& shown) {
    Table table{{{"Lot"}, {"Item"}, {"Weighed", Align::right}, {"When"}}, {}};
    for (const Addition& addition : shown.brew.additions) {
        const auto item = shown.items.find(addition.lot);
        table.rows.push_back({addition.lot, item == shown.items.end() ? "" : item->second, to_text(addition.amount),
                              when_text(addition.stage, addition.minutes, std::nullopt, std::nullopt)});
    }
    std::string text = html::table(table, "Lots and weights");
    if (shown.cost && !text.empty()) text += html::of_text("p", "Cost: " + cost_text(*shown.cost));
    return html::section("What went in", text);
}

std::string was_read(const ShownBrew& shown) {
    Table table{{{"Reading"}, {"Point"}, {"Read"}, {"Note"}}, {}};
    for (const Reading& r : shown.brew.readings)
        table.rows.push_back({r.id, std::string(word(r.point)), reading_text(r), reading_note(r)});
    return html::section("Readings as they were taken", html::table(table, "Readings"));
}

// The gravity from day to day: straight between the readings, each of which is a cross.
SeriesChart curve_of(const std::vector<FermentationDay>& read) {
    SeriesChart chart;
    chart.axis_name = "gravity, points above water";
    SeriesLine& line = chart.lines.emplace_back();
    line.name = "gravity";
    for (const FermentationDay& day : read) {
        const auto place = static_cast<double>((day.on - read.front().on).count());
        const double points = 1000.0 * (*day.gravity_sg - 1.0);
        line.points.push_back(
            {place, points, points, points, points, fmt::format("{}: {}", to_iso(day.on), fixed(*day.gravity_sg, 4))});
        chart.last_place = place;
    }
    for (const double place : {0.0, chart.last_place})
        if (place > 0.0 || chart.along.empty()) chart.along.push_back({place, fmt::format("day {:.0f}", place)});
    return chart;
}

std::string fermentation(const ShownBrew& shown) {
    if (!shown.fermentation || shown.fermentation->days.empty()) return "";
    std::vector<FermentationDay> read;
    Table figures{{{"Date"}, {"Gravity", Align::right}, {"Attenuated, %", Align::right}, {"°C", Align::right}, {"pH"}},
                  {}};
    for (const FermentationDay& day : shown.fermentation->days) {
        if (day.gravity_sg) read.push_back(day);
        figures.rows.push_back({to_iso(day.on), day.gravity_sg ? fixed(*day.gravity_sg, 4) : "",
                                day.attenuation_pct ? fixed(*day.attenuation_pct, 0) : "",
                                day.temperature ? readable(day.temperature->value()) : "",
                                day.ph ? readable(*day.ph) : ""});
    }
    const std::string says = html::of_text("p", shown.fermentation->says);
    if (read.size() < 2) return html::section("Fermentation", html::table(figures, "Fermentation") + says);
    SeriesChart chart = curve_of(read);
    chart.words = {"fermentation", "Fermentation",
                   fmt::format("The gravity fell from {} to {} in {} days.", fixed(*read.front().gravity_sg, 4),
                               fixed(*read.back().gravity_sg, 4), (read.back().on - read.front().on).count()),
                   "Cross: a reading; between them the line is straight.", std::move(figures)};
    return html::section("Fermentation", charts(series_chart(chart)) + says);
}

// Forecast against outcome, and the difference split.
std::string differed(const BrewPage& page) {
    if (!page.explanation || page.explanation->outcomes.empty()) return "";
    const Explanation& explanation = *page.explanation;
    Table table{{{"Outcome"},
                 {"Forecast", Align::right},
                 {"9 times in 10", Align::right},
                 {"Came", Align::right},
                 {"Difference", Align::right}},
                {}};
    for (const ExplainedOutcome& o : explanation.outcomes) {
        const OutcomeWords words = words_of_outcome(o.quantity);
        const auto figure = [&](double value) { return fixed(value, words.decimals) + words.unit; };
        table.rows.push_back({words.name, figure(o.forecast.value),
                              fixed(o.forecast.low, words.decimals) + " to " + figure(o.forecast.high),
                              figure(o.outcome) + (o.outcome_was_read ? "" : " (balanced)"),
                              with_sign(o.difference, words.decimals) + words.unit});
    }
    std::string text = html::of_text("p", capitalised(forecast_words(explanation)) + ".");
    for (const std::string& said : explained_sentences(explanation)) text += html::of_text("p", said);
    text += html::table(table, "What was forecast, and what came");
    std::string drawings;
    for (const ExplainedOutcome& o : explanation.outcomes) drawings += parts_chart(o);
    text += charts(drawings);
    for (const std::string& remark : explanation.remarks) text += html::of_text("p", remark, "class=\"note\"");
    return html::section("Why it came otherwise than forecast", text);
}

std::string next_time(const Reconciliation& result) {
    std::string items;
    for (const auto& next : result.measure_next)
        items += html::of_text("li", fmt::format("{} {}: {} known to ± {} points instead of ± {}", next.point,
                                                 next.kind, words_of_quantity(next.about + "_").first,
                                                 fixed(100.0 * next.sd_then, 2), fixed(100.0 * next.sd_now, 2)));
    return html::section("Worth measuring next time", items.empty() ? "" : html::element("ul", items));
}

} // namespace

std::string brew_page(const BrewPage& page) {
    const Brew& brew = page.shown.brew;
    const Reconciliation& result = page.reconciled.result;
    std::string body;
    if (brew.abandoned)
        body += html::of_text("p", "Given up: " + *brew.abandoned, "class=\"lead\"");
    else if (!page.reconciled.fault.empty())
        body += html::of_text("p", "Could not be balanced: " + page.reconciled.fault, "class=\"lead\"");
    else
        body += html::element("div", html::paragraphs(verdict(page.reconciled)), "class=\"lead\"");
    if (page.reconciled.fault.empty() && !brew.abandoned)
        body += charts(efficiencies_chart(result) + residuals_chart(result) + flow_of_extract(result)) +
                suspects(result) + differed(page) + next_time(result);
    body += went_in(page.shown) + fermentation(page.shown) + was_read(page.shown);
    if (page.reconciled.fault.empty() && !brew.abandoned) body += quantities(result);
    return html::whole({fmt::format("{}{}", brew.code, brew.recipe ? ": " + *brew.recipe : ""),
                        fmt::format("brewed on {}, {}{}", to_iso(brew.date), brew.brewhouse,
                                    brew.plan ? ", from plan " + *brew.plan : ""),
                        body});
}

} // namespace lotwort::report
