// One brew as a page.
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include "reconcile_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/recipe.hpp>

namespace lotwort::report {

namespace {

std::string efficiencies_chart(const Reconciliation& result) {
    RangeChart chart;
    double low = 0.6, high = 1.0;
    Table figures{{{"Efficiency"}, {"Value, %", Align::right}, {"9 times in 10", Align::right}}, {}};
    std::string unknown;
    for (const auto& [name, said, estimated] : named(result.efficiencies)) {
        if (!estimated.estimate) {
            unknown += fmt::format(" {}: {}.", said, estimated.reason);
            figures.rows.push_back({std::string(said), "not known"});
            continue;
        }
        const Estimate& e = *estimated.estimate;
        chart.rows.push_back({std::string(said), share_said(e), 100.0 * e.value, 100.0 * e.low, 100.0 * e.high, false});
        figures.rows.push_back({std::string(said), with_sd(100.0 * e.value, 100.0 * e.sd, {}, 1),
                                fmt::format("{} to {}", fixed(100.0 * e.low, 1), fixed(100.0 * e.high, 1))});
        low = std::min(low, e.low);
        high = std::max(high, e.high);
    }
    if (chart.rows.empty()) return "";
    chart.words = {"efficiencies", "Efficiencies",
                   fmt::format("The efficiency of each step with the interval that holds it nine times in ten, of {} "
                               "readings and what the brewhouse is expected to do.",
                               result.readings_used),
                   "Point: the value; line: where it lies nine times in ten." + unknown, std::move(figures)};
    chart.axis = number_axis("of the extract before the step, %", std::max(100.0 * low, 0.0), 100.0 * high);
    return range_chart(chart);
}

std::optional<Estimate> quantity(const Reconciliation& result, std::string_view name) {
    const auto found = std::ranges::find(result.quantities, name, &std::pair<std::string, Estimated>::first);
    return found == result.quantities.end() ? std::nullopt : found->second.estimate;
}

struct Stop {
    std::string_view quantity; // its name in the reconciliation
    std::string_view said;
    std::string_view lost, added; // on the way to the next
};

constexpr Stop stops[] = {
    {"extract_grist_kg", "in the grist", "not dissolved", "more than certified"},
    {"extract_mash_kg", "in the mash", "left in the grains", "won besides"},
    {"extract_kettle_kg", "in the kettle", "lost in the boil", "sugar added"},
    {"extract_cast_out_kg", "at cast-out", "left with trub and hops", "added"},
    {"extract_fermenter_kg", "in the fermenter", "", ""},
};

std::string flow_of_extract(const Reconciliation& result) {
    FlowChart chart;
    Table figures{{{"Extract"}, {"Mass, kg", Align::right}, {"Of the grist, %", Align::right}}, {}};
    for (const Stop& stop : stops) {
        const auto e = quantity(result, stop.quantity);
        if (!e || e->value <= 0.0) return "";
        chart.stages.push_back({std::string(stop.said), with_sd(e->value, e->sd, "kg", 3), e->value, "", ""});
    }
    const double grist = chart.stages.front().amount;
    for (std::size_t i = 0; i < chart.stages.size(); ++i) {
        FlowStage& stage = chart.stages[i];
        figures.rows.push_back(
            {stage.name, stage.said.substr(0, stage.said.find(" kg")), fixed(100.0 * stage.amount / grist, 1)});
        if (i + 1 == chart.stages.size()) break;
        const double lost = stage.amount - chart.stages[i + 1].amount;
        if (std::abs(lost) < 0.0005 * grist) continue;
        stage.lost = lost > 0.0 ? stops[i].lost : stops[i].added;
        stage.lost_said = part_said(std::abs(lost), grist, "kg");
        figures.rows.push_back({stage.lost, fixed(-lost, 3), fixed(-100.0 * lost / grist, 1)});
    }
    const FlowStage& end = chart.stages.back();
    chart.words = {"extract", "Where the extract went",
                   fmt::format("Of {} of extract in the grist, {} came into the fermenter; what was lost between is "
                               "named at each step.",
                               chart.stages.front().said, end.said),
                   "As wide as its mass. Per cent are of the grist's extract.", std::move(figures)};
    return flow_chart(chart);
}

std::string figure(double value, const std::string& unit) {
    const std::string shown = shown_unit(unit);
    return fixed(value, decimals_of_unit(unit)) + (shown.empty() ? "" : " " + shown);
}

// How far each reading is from the balance, in its own standard deviations.
std::string residuals_chart(const Reconciliation& result) {
    RangeChart chart;
    Table figures{{{"Reading"},
                   {"Read", Align::right},
                   {"Balanced", Align::right},
                   {"± one sd", Align::right},
                   {"Residual", Align::right}},
                  {}};
    double farthest = 0.0;
    for (const auto& r : result.readings) {
        if (r.is_expectation) continue;
        const auto residual = r.standardised_residual;
        const std::string name = fmt::format("{} {} {}", r.id, r.point, r.kind);
        figures.rows.push_back({name, figure(r.read, r.unit), figure(r.reconciled, r.unit),
                                fixed(r.sd, decimals_of_unit(r.unit)), residual ? fixed(*residual, 1) : "none"});
        if (!residual) continue;
        chart.rows.push_back({name, fixed(*residual, 1), *residual, *residual, *residual, std::abs(*residual) > 3.0});
        farthest = std::max(farthest, std::abs(*residual));
    }
    if (chart.rows.empty()) return "";
    chart.words = {"residuals", "Readings against the balance",
                   fmt::format("{}, each as far from the balance of all as it was read, in its own standard "
                               "deviations; the farthest by {}.",
                               counted(std::ssize(chart.rows), "reading"), fixed(farthest, 1)),
                   "Dotted: what the balance says should have been read. Beyond 3 a reading is worth a doubt.",
                   std::move(figures)};
    const double most = std::max(3.0, farthest);
    chart.axis = number_axis("read less balanced, standard deviations", -most, most, 6);
    chart.reference = 0.0;
    chart.from_reference = true;
    return range_chart(chart);
}

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
        line.points.push_back({place, points, points, points, points});
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
                suspects(result) + next_time(result);
    body += went_in(page.shown) + fermentation(page.shown) + was_read(page.shown);
    if (page.reconciled.fault.empty() && !brew.abandoned) body += quantities(result);
    return html::whole({fmt::format("{}{}", brew.code, brew.recipe ? ": " + *brew.recipe : ""),
                        fmt::format("brewed on {}, {}{}", to_iso(brew.date), brew.brewhouse,
                                    brew.plan ? ", from plan " + *brew.plan : ""),
                        body});
}

} // namespace lotwort::report
