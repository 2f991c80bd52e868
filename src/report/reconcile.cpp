#include "reconcile_words.hpp"
#include "remedies.hpp"
#include "trend_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/reconcile.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <span>

namespace lotwort::report {

namespace {

constexpr std::size_t bar_width = 22;
constexpr double badly_known_share = 0.05; // of an efficiency, one standard deviation

struct Axis {
    double from = 50.0, to = 100.0;
};

// Whole tens around every interval, 50 to 100 % at least.
Axis axis_of(const Efficiencies& efficiencies) {
    Axis axis;
    for (const auto& [name, said, estimated] : named(efficiencies)) {
        if (!estimated.estimate) continue;
        axis.from = std::min(axis.from, 10.0 * std::floor(10.0 * estimated.estimate->low));
        // a transfer of all of it ends a hair above 100
        if (estimated.estimate->high > 1.01)
            axis.to = std::max(axis.to, 10.0 * std::ceil(10.0 * estimated.estimate->high));
    }
    return {std::max(axis.from, 0.0), std::min(axis.to, 120.0)};
}

std::string share(const Estimate& e) {
    if (e.sd <= 0.0) return fixed(100.0 * e.value, 1) + " %"; // held by a limit
    return with_sd(100.0 * e.value, 100.0 * e.sd, "%", 1);
}

std::string efficiencies_text(const Efficiencies& efficiencies) {
    const Axis axis = axis_of(efficiencies);
    const std::string left = fixed(axis.from, 0), right = fixed(axis.to, 0) + " %";
    const std::string scale = left + std::string(bar_width - left.size() - right.size(), ' ') + right;
    Table table{{{"EFFICIENCY"}, {"VALUE", Align::right}, {"9 TIMES IN 10", Align::right}, {scale}}, {}};
    std::string reasons;
    for (const auto& [name, said, estimated] : named(efficiencies)) {
        if (!estimated.estimate) {
            table.rows.push_back({std::string(said), "not known"});
            reasons += fmt::format("{}: {}\n", said, estimated.reason);
            continue;
        }
        const auto& e = *estimated.estimate;
        std::string bar = interval_bar(e, axis.from, axis.to, bar_width);
        if (e.sd > badly_known_share) reasons += fmt::format("{} is poorly known: measure more\n", said);
        table.rows.push_back({std::string(said), share(e),
                              interval(100.0 * e.low, 100.0 * e.high, std::max(100.0 * e.sd, 1.0), "%"), bar});
    }
    return table_text(table) + reasons;
}

std::string quantities_text(const Reconciliation& result) {
    Table table{{{"QUANTITY"}, {"VALUE", Align::right}, {""}}, {}};
    for (const auto& [name, estimated] : result.quantities) {
        const auto [said, unit] = words_of_quantity(name);
        if (!estimated.estimate) {
            table.rows.push_back({said, "not known"});
            continue;
        }
        const auto& e = *estimated.estimate;
        const bool badly = unit != "sg" && e.sd > 0.25 * std::abs(e.value) && e.sd > 0.1;
        table.rows.push_back(
            {said, with_sd(e.value, e.sd, shown_unit(unit), decimals_of_unit(unit)), badly ? "poorly known" : ""});
        if (name == "original_gravity_sg") {
            const Estimate plato = in_plato(e);
            table.rows.push_back({"the same in plato", with_sd(plato.value, plato.sd, "°P", 2)});
        }
    }
    return table_text(table) + "(litres at 20 °C; extract in kilograms)\n";
}

std::string figure(double value, const std::string& unit) {
    const std::string shown = shown_unit(unit);
    return fixed(value, decimals_of_unit(unit)) + (shown.empty() ? "" : " " + shown);
}

std::string residual_text(const std::optional<double>& residual) {
    if (!residual) return "none";
    const std::string size = fixed(std::abs(*residual), 1);
    return size == "0.0" ? size : (*residual > 0.0 ? "+" : "-") + size;
}

// "B1:expect:grist-2" is B1's grist-2.
std::string expectation_name(std::string id) {
    constexpr std::string_view mark = "expect:";
    if (const auto at = id.find(mark); at != std::string::npos) id.erase(at, mark.size());
    return id;
}

std::string readings_table(const Reconciliation& result, bool expectations) {
    Table table{{{expectations ? "EXPECTED" : "READING"},
                 {"OF", Align::left, true},
                 {expectations ? "EXPECTED" : "READ", Align::right},
                 {"BALANCED", Align::right},
                 {"± ONE SD", Align::right},
                 {"RESIDUAL", Align::right}},
                {}};
    if (expectations) table.columns.front().heading = "EXPECTATION";
    for (const auto& r : result.readings) {
        if (r.is_expectation != expectations) continue;
        const std::string of = expectations ? r.kind : r.point + " " + r.kind;
        table.rows.push_back({expectations ? expectation_name(r.id) : r.id, of, figure(r.read, r.unit),
                              figure(r.reconciled, r.unit), fixed(r.sd, decimals_of_unit(r.unit)),
                              residual_text(r.standardised_residual)});
    }
    return table.rows.empty() ? "" : table_text(table);
}

std::string suspects_text(const Reconciliation& result) {
    if (result.suspects.empty()) return "";
    std::string text = "\nSuspects, strongest first\n";
    for (const auto& suspect : result.suspects) {
        text += wrapped(fmt::format("  {}: {}", subject(suspect), likely_error(suspect)), 4);
        const auto& without = suspect.efficiencies_without.brewhouse.estimate;
        if (without)
            text += wrapped(
                fmt::format("    without it: brewhouse {}, {}", share(*without),
                            suspect.test_without.passed ? "and the rest agrees" : "and the rest still disagrees"),
                4);
        if (!suspect.cannot_be_told_from.empty())
            text += wrapped(fmt::format("    cannot be told from: {}", fmt::join(not_told_from(suspect), ", ")), 4);
        for (const auto& slip : suspect.looks_like) text += wrapped("    looks like: " + slip, 4);
    }
    return text;
}

// "cast-out gravity, twice (brewhouse to ± 1.17 points, not ± 1.29)": twice where there is one already.
std::string next_words(const Reconciliation& result, const NextReading& next) {
    const bool is_read = std::ranges::any_of(result.readings, [&](const ReconciledEquation& r) {
        return !r.is_expectation && r.point == next.point && r.kind == next.kind;
    });
    return fmt::format("{} {}{} ({} to ± {} points, not ± {})", next.point, next.kind, is_read ? ", twice" : "",
                       words_of_quantity(next.about + "_").first, fixed(100.0 * next.sd_then, 2),
                       fixed(100.0 * next.sd_now, 2));
}

std::string next_text(const Reconciliation& result) {
    if (result.measure_next.empty()) return "";
    std::string text = "\nWorth measuring next time\n";
    for (const auto& next : result.measure_next) text += "  " + next_words(result, next) + "\n";
    return text;
}

std::string attenuation_words(const Reconciliation& result) {
    const auto found = std::ranges::find(result.quantities, std::string_view("apparent_attenuation_pct"),
                                         [](const auto& q) { return std::string_view(q.first); });
    if (found == result.quantities.end() || !found->second.estimate) return "";
    return with_sd(found->second.estimate->value, found->second.estimate->sd, "% attenuated", 1);
}

// The beer, and where the litres went; of these what is odd is said, where something is.
std::string beer_text(const Reconciliation& result) {
    Table table{{{"BEER"}, {"VALUE", Align::right}, {""}}, {}};
    std::vector<std::string> names{"fermenter_l", "original_gravity_sg", "final_gravity_sg", "alcohol_abv_pct"};
    if (result.suspects.empty()) names.insert(names.end(), {"wort_retained_l", "boil_off_l", "kettle_loss_l"});
    for (const std::string& name : names) {
        const auto found = std::ranges::find(result.quantities, name, [](const auto& q) { return q.first; });
        if (found == result.quantities.end() || !found->second.estimate) continue;
        const auto& e = *found->second.estimate;
        const auto [said, unit] = words_of_quantity(name);
        table.rows.push_back({said, with_sd(e.value, e.sd, shown_unit(unit), decimals_of_unit(unit)), ""});
        if (found->first == "original_gravity_sg") {
            const Estimate plato = in_plato(e);
            table.rows.back()[2] = with_sd(plato.value, plato.sd, "°P", 2);
        } else if (found->first == "final_gravity_sg") {
            table.rows.back()[2] = attenuation_words(result);
        }
    }
    return table.rows.empty() ? "" : "\n" + table_text(table);
}

std::string full_text(const ReconciledBrew& brew) {
    const auto& result = brew.result;
    std::string text = "\n" + quantities_text(result);
    text += "\n" + readings_table(result, false) + "\n" + readings_table(result, true);
    text += "RESIDUAL: read less balanced, in standard deviations; none: nothing else tells.\n";
    text += suspects_text(result) + next_text(result);
    if (result.textbook_yield_pct)
        text += fmt::format("\nextract in the fermenter, of the grist's weight: {} %\n",
                            fixed(*result.textbook_yield_pct, 1));
    for (const auto& remark : reconcile_remarks(brew)) text += wrapped(remark, 2);
    return text;
}

std::string short_text(const ReconciledBrew& brew) {
    const auto& result = brew.result;
    std::string text = beer_text(result) + "\n";
    if (!result.measure_next.empty() && result.suspects.empty())
        text += wrapped("Read next time: " + next_words(result, result.measure_next.front()), 2);
    for (const auto& remark : reconcile_remarks(brew)) text += wrapped(remark, 2);
    return text + "every quantity and reading: lotwort reconcile " + shell_word(result.brew) + " --full\n";
}

// In per cent, without spaces: five of them stand in a row.
std::string short_share(const Estimate& e) {
    return fmt::format("{}±{}", fixed(100.0 * e.value, 1), fixed(100.0 * e.sd, 1));
}

// What the house came to, brew by brew: the middle one and the range.
std::string house_words(const std::vector<ReconciledBrew>& brews) {
    std::vector<double> shares;
    for (const auto& brew : brews)
        if (const auto& e = brew.result.efficiencies.brewhouse.estimate) shares.push_back(100.0 * e->value);
    if (shares.empty()) return "No brew has the readings for an efficiency of the brewhouse.";
    std::ranges::sort(shares);
    if (shares.size() == 1) return fmt::format("Brewhouse {} % in its one brew.", fixed(shares.front(), 1));
    const std::size_t half = shares.size() / 2;
    const double middle = shares.size() % 2 == 1 ? shares[half] : 0.5 * (shares[half - 1] + shares[half]);
    return fmt::format("Brewhouse {} % in the middle of {} brews, {} to {} %.", fixed(middle, 1), shares.size(),
                       fixed(shares.front(), 1), fixed(shares.back(), 1));
}

std::string odd_words(const std::vector<ReconciledBrew>& brews) {
    std::vector<std::string> odd;
    for (const auto& brew : brews)
        if (!brew.result.suspects.empty())
            odd.push_back(fmt::format("{} ({})", brew.result.brew, brew.result.suspects.front().reading));
        else if (!brew.result.test.passed)
            odd.push_back(brew.result.brew);
    if (odd.empty()) return "No brew's readings contradict each other.";
    constexpr std::size_t most_named = 8;
    const std::size_t more = odd.size() - std::min(odd.size(), most_named);
    odd.resize(odd.size() - more);
    return fmt::format("Readings contradict each other in {}{}; the first: lotwort reconcile {}", fmt::join(odd, ", "),
                       more == 0 ? "" : fmt::format(" and {} more", more),
                       shell_word(odd.front().substr(0, odd.front().rfind(" ("))));
}

std::string standing_of(const ReconciledBrew& brew) {
    if (!brew.fault.empty()) return brew.fault;
    if (!brew.result.suspects.empty()) return "odd: " + brew.result.suspects.front().reading;
    if (!brew.result.test.passed) return "disagree";
    return brew.result.readings_used == 0 ? "none" : "agree";
}

std::string brews_table(std::span<const ReconciledBrew> brews) {
    Table table{{{"BREW"},
                 {"DATE"},
                 {"CONVERSION", Align::right},
                 {"LAUTER", Align::right},
                 {"KETTLE", Align::right},
                 {"TRANSFER", Align::right},
                 {"BREWHOUSE", Align::right},
                 {"TEST", Align::left, true}},
                {}};
    for (const auto& brew : brews) {
        std::vector<std::string> row{brew.result.brew, to_iso(brew.date)};
        for (const auto& [name, said, estimated] : named(brew.result.efficiencies))
            row.push_back(estimated.estimate ? short_share(*estimated.estimate) : "");
        row.push_back(standing_of(brew));
        table.rows.push_back(std::move(row));
    }
    return table_text(table);
}

constexpr std::size_t newest_shown = 9; // with the instruments within a screen

} // namespace

std::string interval_bar(const Estimate& share, double from, double to, std::size_t width) {
    const auto column = [&](double value) {
        const double at = (100.0 * value - from) / (to - from) * static_cast<double>(width - 1);
        return static_cast<std::size_t>(std::clamp(std::round(at), 0.0, static_cast<double>(width - 1)));
    };
    std::string bar(width, ' ');
    const std::size_t low = column(share.low), high = column(share.high);
    for (std::size_t i = low; i <= high; ++i) bar[i] = '-';
    bar[low] = 100.0 * share.low < from ? '<' : '|';
    bar[high] = 100.0 * share.high > to ? '>' : '|';
    bar[column(share.value)] = 'o';
    return bar;
}

std::string reconcile_text(const ReconciledBrew& brew, bool full) {
    const auto& result = brew.result;
    std::string text = fmt::format("{}: {}{}, {}\n", result.brew, brew.recipe.empty() ? "" : brew.recipe + " on ",
                                   to_iso(brew.date), brew.brewhouse);
    text += wrapped(verdict(brew), 0);
    text += "\n" + efficiencies_text(result.efficiencies);
    if (!result.readings.empty()) return text + (full ? full_text(brew) : short_text(brew));
    for (const auto& remark : reconcile_remarks(brew)) text += wrapped(remark, 2);
    return text;
}

std::string reconcile_all_text(const AllReconciled& all, bool full) {
    if (all.brews.empty()) return "no brews yet; next: lotwort plan RECIPE --on DATE\n";
    const std::size_t shown = full ? all.brews.size() : std::min(all.brews.size(), newest_shown);
    std::string text = wrapped(house_words(all.brews), 0) + wrapped(odd_words(all.brews), 0) + "\n" +
                       brews_table(std::span(all.brews).last(shown)) + "Efficiencies in %, ± one standard deviation.\n";
    if (shown < all.brews.size())
        text += fmt::format("the {} before them: lotwort reconcile --all --full\n", all.brews.size() - shown);
    return text + instruments_text(all.instruments);
}

} // namespace lotwort::report
