// One lot as a page.
#include "html_page.hpp"
#include "html_text.hpp"
#include "lot_words.hpp"
#include "parts.hpp"
#include "trend_words.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/report/units.hpp>

namespace lotwort::report {

namespace {

ShownNumber of_axis(Amount amount) {
    if (amount.measure == Measure::mass) return as_answered(amount.kilograms().value(), "kg");
    if (amount.measure == Measure::volume) return as_answered(amount.litres().value(), "L");
    return {static_cast<double>(amount.units), "pieces"};
}

std::string why(const Movement& m) {
    if (!m.brew) return m.reason.value_or("");
    return *m.brew + (m.stage ? " " + std::string(word(*m.stage)) : "");
}

std::string stock_chart(const LotPage& page) {
    const auto& movements = page.answer.movements;
    if (movements.empty()) return "";
    StepChart chart;
    Table figures{{{"On"}, {"Kind"}, {"Change", Align::right}, {"Balance", Align::right}, {"Why"}}, {}};
    Amount balance{movements.front().change.measure, 0};
    for (const Movement& m : movements) {
        balance = balance + m.change;
        figures.rows.push_back({to_iso(m.on), std::string(word(m.kind)), to_text(m.change), to_text(balance), why(m)});
        if (chart.points.empty() || chart.points.back().day != m.on) chart.points.push_back({m.on});
        chart.points.back().level = of_axis(balance).value;
        chart.points.back().said = fmt::format("from {}: {}, after {}", to_iso(m.on), to_text(balance),
                                               m.brew ? why(m) : std::string(word(m.kind)));
    }
    std::ranges::reverse(figures.rows); // the newest first
    chart.from = movements.front().on;
    chart.to = std::max(page.today, movements.back().on);
    chart.axis_name = fmt::format("on hand, {}", of_axis(balance).unit);
    chart.words = {"stock", "On hand over time",
                   fmt::format("The stock of {} from {} to {}: {} movements, {} left.", page.answer.state.lot.code,
                               to_iso(chart.from), to_iso(chart.to), movements.size(), to_text(balance)),
                   "It changes on the day of a movement and stays until the next.", std::move(figures)};
    return step_chart(chart);
}

std::string learned_chart(const LotPage& page) {
    if (!page.learned) return "";
    const Estimate& e = page.learned->difference;
    RangeChart chart;
    chart.rows.push_back(
        {page.learned->lot, difference_said(e), 100.0 * e.value, 100.0 * e.low, 100.0 * e.high, page.learned->is_odd});
    chart.axis =
        number_axis("extract against the certificate, %", std::min(0.0, 100.0 * e.low), std::max(0.0, 100.0 * e.high));
    chart.reference = 0.0;
    chart.words = {"learned",
                   "Against its certificate",
                   fmt::format("{} put{} its true extract {} from what the certificate states; nine times in ten it "
                               "lies within {}.",
                               counted(page.learned->uses, "brew"), page.learned->uses == 1 ? "s" : "",
                               signed_pct(e.value), difference(e)),
                   page.learned->is_odd ? "Odd: it does not look like an ordinary lot. Dotted: as certified."
                                        : "Dotted: as certified.",
                   {{{"Lot"}, {"Brews", Align::right}, {"Difference", Align::right}, {"9 times in 10", Align::right}},
                    {{page.learned->lot, std::to_string(page.learned->uses), signed_pct(e.value), difference(e)}}}};
    return range_chart(chart);
}

// What there is of it, and whether it is what its paper says.
std::string lead(const LotPage& page) {
    const LotState& state = page.answer.state;
    const Lot& lot = state.lot;
    std::string text = lot.held ? fmt::format("On hold: {}. ", *lot.held) : "";
    if (state.on_hand.units == 0) {
        const auto& moved = page.answer.movements;
        text += "None of it left" + (moved.empty() ? "" : " since " + to_iso(moved.back().on)) + ".";
    } else {
        text += to_text(state.on_hand) + " on hand";
        if (state.promised.units != 0) text += fmt::format(", {} of it promised", to_text(state.promised));
        if (lot.best_before)
            text += fmt::format(", {}best before {}{}", *lot.best_before < page.today ? "past its " : "",
                                *lot.best_before < page.today ? "of " : "", to_iso(*lot.best_before));
        text += ".";
    }
    text = html::of_text("p", text);
    if (page.learned)
        text += html::of_text(
            "p", fmt::format("Its extract, by {}: {} against its certificate{}.", counted(page.learned->uses, "brew"),
                             difference_said(page.learned->difference), page.learned->is_odd ? ", and odd" : ""));
    return html::element("div", text, "class=\"lead\"");
}

std::string head(const LotAnswer& answer) {
    const Lot& lot = answer.state.lot;
    std::vector<std::pair<std::string, std::string>> named{
        {"received", fmt::format("{} on {}", to_text(lot.received_amount), to_iso(lot.received))},
        {"on hand", to_text(answer.state.on_hand)},
        {"promised to plans", answer.state.promised.units != 0 ? to_text(answer.state.promised) : ""},
        {"free", lot.held ? "none: on hold" : to_text(answer.state.free())},
        {"worth", answer.value ? money_text(*answer.value, answer.currency) : ""},
        {"on hold", lot.held.value_or("")},
        {"supplier", lot.supplier.value_or("")},
        {"their lot", lot.supplier_lot.value_or("")},
        {"price", lot.price ? money_text(*lot.price, answer.currency) : ""},
        {"best before", date_text(lot.best_before)},
        {"crop", lot.crop_year ? std::to_string(*lot.crop_year) : ""},
        {"kept at", lot.storage ? readable(lot.storage->value()) + " °C" : ""},
        {"packaging", lot.packaging.value_or("")},
        {"opened", date_text(lot.opened)},
        {"harvested from", lot.harvested_from.value_or("")},
        {"generation", lot.generation ? std::to_string(*lot.generation) : ""}};
    for (const Portion& source : lot.made_from)
        named.emplace_back("made from", fmt::format("{} of {}", to_text(source.amount), source.lot));
    return html::section("The lot", facts(named, "As it is booked"));
}

std::string analyses(const Lot& lot) {
    std::vector<std::pair<std::string, std::string>> named;
    if (lot.certificate) named.emplace_back("certificate", analysis_text(*lot.certificate));
    for (const Retest& retest : lot.retests)
        named.emplace_back("retest " + to_iso(retest.on), analysis_text(retest.found));
    return named.empty() ? html::of_text("p", "No certificate.") : facts(named, "What laboratories stated");
}

std::string in_use(const LotAnswer& answer) {
    Table table{{{"Figure"}, {"Value", Align::right}, {"From"}}, {}};
    const auto figure = [&](std::string_view what, const Figure& f, std::string_view unit, double scale = 1.0) {
        table.rows.push_back({std::string(what), with_sd(scale * f.value, scale * f.sd, unit),
                              f.origin == Origin::typical ? "what is typical" : std::string(word(f.origin))});
    };
    if (answer.malt) {
        figure("extract, fine grind, dry", answer.malt->extract_fine_dry_pct, "%");
        figure("moisture", answer.malt->moisture_pct, "%");
        figure("extract as is", answer.malt->extract_as_is, "%", 100.0);
        if (answer.item.kind == ItemKind::malt) {
            figure("colour", answer.malt->colour_ebc, "EBC");
            figure("diastatic power", answer.malt->diastatic_power_wk, "WK");
        }
    }
    if (answer.hop) figure("alpha acids, aged to today", answer.hop->alpha_pct, "%");
    return html::section("In use today", html::table(table, "What forecasts and balances take"));
}

} // namespace

std::string lot_page(const LotPage& page) {
    const Lot& lot = page.answer.state.lot;
    const std::string body = lead(page) + charts(stock_chart(page) + learned_chart(page)) + head(page.answer) +
                             html::section("Analyses", analyses(lot)) + in_use(page.answer);
    return html::whole({fmt::format("Lot {}: {}", lot.code, lot.item), "as of " + to_iso(page.today), body});
}

} // namespace lotwort::report
