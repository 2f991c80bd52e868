// A brew's readings against its balance, and its outcome against its forecast.
#include "../explain_words.hpp"
#include "brew_charts.hpp"
#include "parts.hpp"
#include "reconcile_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>

namespace lotwort::report {

namespace {

std::string figure(double value, const std::string& unit) {
    const std::string shown = shown_unit(unit);
    return fixed(value, decimals_of_unit(unit)) + (shown.empty() ? "" : " " + shown);
}

std::string name_of(const ReconciledEquation& e) {
    return e.is_expectation ? "expected " + e.point : fmt::format("{} {} {}", e.id, e.point, e.kind);
}

// Its place among the suspects, from 1; none where it is not one.
std::optional<std::size_t> rank_of(const ReconciledEquation& e, const std::vector<Suspect>& suspects) {
    const auto found = std::ranges::find_if(
        suspects, [&](const Suspect& s) { return s.reading == e.id && s.point == e.point && s.kind == e.kind; });
    if (found == suspects.end()) return std::nullopt;
    return static_cast<std::size_t>(found - suspects.begin()) + 1;
}

RangeRow row_of(const ReconciledEquation& e, std::optional<std::size_t> rank) {
    const double residual = e.standardised_residual.value_or(0.0);
    RangeRow row{rank ? fmt::format("{}. {}", *rank, name_of(e)) : name_of(e),
                 e.standardised_residual ? fixed(residual, 1) : "cannot be told", residual, residual, residual};
    row.is_odd = rank == 1U;
    row.is_drawn = e.standardised_residual.has_value();
    return row;
}

// Suspects that the balance has no equation of: no brew can have given them.
void add_impossible(const Reconciliation& result, RangeChart& chart) {
    for (std::size_t i = 0; i < result.suspects.size(); ++i) {
        const Suspect& s = result.suspects[i];
        if (std::ranges::any_of(result.readings, [&](const auto& e) { return rank_of(e, {s}).has_value(); })) continue;
        RangeRow row{fmt::format("{}. {} {} {}", i + 1, s.reading, s.point, s.kind), "it cannot be"};
        row.is_odd = i == 0;
        row.is_drawn = false;
        chart.rows.push_back(row);
    }
}

} // namespace

std::string residuals_chart(const Reconciliation& result) {
    RangeChart chart;
    Table figures{{{"Reading"},
                   {"Read", Align::right},
                   {"Balanced", Align::right},
                   {"± one sd", Align::right},
                   {"Residual", Align::right}},
                  {}};
    double farthest = 0.0;
    add_impossible(result, chart);
    for (const auto& e : result.readings) {
        const auto rank = rank_of(e, result.suspects);
        if (e.is_expectation && !rank) continue;
        const auto residual = e.standardised_residual;
        figures.rows.push_back({name_of(e), figure(e.read, e.unit), figure(e.reconciled, e.unit),
                                fixed(e.sd, decimals_of_unit(e.unit)), residual ? fixed(*residual, 1) : "none"});
        if (!residual && !rank) continue;
        chart.rows.push_back(row_of(e, rank));
        farthest = std::max(farthest, std::abs(residual.value_or(0.0)));
    }
    if (chart.rows.empty() || figures.rows.empty()) return "";
    chart.words = {"residuals", "Readings against the balance",
                   fmt::format("{}, each as far from the balance of all as it was read, in its own standard "
                               "deviations; the farthest by {}.{}",
                               counted(std::ssize(chart.rows), "row"), fixed(farthest, 1),
                               result.suspects.empty()
                                   ? ""
                                   : " The strongest suspect is " + subject(result.suspects.front()) + "."),
                   "Dotted: what the balance says should have been read.", std::move(figures)};
    if (!result.suspects.empty())
        chart.words.note += result.suspects.size() == 1
                                ? " In bold red: the suspect."
                                : " Numbered: the suspects, the strongest in bold red. It is not always the farthest "
                                  "from a balance that it has bent itself.";
    constexpr double least = 3.0, widest = 8.0;
    const double most = std::clamp(farthest, least, widest);
    chart.axis = number_axis("read less balanced, standard deviations", -most, most, 6);
    chart.reference = 0.0;
    chart.from_reference = true;
    return range_chart(chart);
}

std::string parts_chart(const ExplainedOutcome& o) {
    if (o.parts.empty()) return "";
    const OutcomeWords words = words_of_outcome(o.quantity);
    const auto said = [&](double value) { return with_sign(value, words.decimals) + words.unit; };
    RangeChart chart;
    Table figures{{{"Cause"}, {"Part", Align::right}, {"9 times in 10", Align::right}}, {}};
    double low = std::min(0.0, o.difference), high = std::max(0.0, o.difference);
    RangeRow whole{"all of it", said(o.difference), o.difference, o.difference, o.difference};
    whole.is_answer = true;
    chart.rows.push_back(whole);
    for (const ExplainedPart& part : o.parts) {
        const Estimate& e = part.difference;
        RangeRow row{part.cause, said(e.value), e.value, e.low, e.high};
        row.is_faint = !part.told;
        chart.rows.push_back(row);
        figures.rows.push_back({part.cause, part.told ? said(e.value) : "(" + said(e.value) + ")",
                                fmt::format("{} to {}", with_sign(e.low, words.decimals), said(e.high))});
        low = std::min(low, e.low);
        high = std::max(high, e.high);
    }
    figures.rows.push_back({"all of it", said(o.difference)});
    chart.words = {"parts-" + o.quantity,
                   fmt::format("{}: {} against the forecast", capitalised(words.name), said(o.difference)),
                   fmt::format("The difference of {} to the forecast, split over {}; the parts sum to it.",
                               said(o.difference), counted(std::ssize(o.parts), "cause")),
                   "Dotted: as forecast. Faint, in brackets: smaller than what your readings can tell. The parts sum "
                   "to the whole.",
                   std::move(figures)};
    chart.axis = number_axis(fmt::format("against the forecast{}{}", *words.unit == '\0' ? "" : ",", words.unit), low,
                             high, words.decimals > 2 ? 3 : 5);
    chart.reference = 0.0;
    chart.from_reference = true;
    return range_chart(chart);
}

} // namespace lotwort::report
