#include "trace_tables.hpp"
#include "trace_account.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/package.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/stock/worth.hpp>

namespace lotwort::report {

namespace {

std::string account_text(const TracedLot& traced) {
    const Account sum = account_of(traced);
    std::string text = fmt::format("{} received", to_text(sum.received));
    if (sum.into_brews.units != 0)
        text += fmt::format(" - {} in {} {}", to_text(-sum.into_brews), sum.brews, sum.brews == 1 ? "brew" : "brews");
    if (sum.otherwise.units != 0)
        text += sum.otherwise.units < 0 ? fmt::format(" - {} otherwise", to_text(-sum.otherwise))
                                        : fmt::format(" + {} found", to_text(sum.otherwise));
    return text + fmt::format(" = {} on hand", to_text(sum.left));
}

std::string into_text(const Movement& m) {
    if (m.package) return *m.package;
    if (m.brew) return *m.brew;
    if (const auto lot = moved_into(m); !lot.empty()) return fmt::format("lot {}", lot);
    return std::string(word(m.kind));
}

std::string where_text(const TraceStep& step) {
    if (step.movement.kind == MovementKind::move) return "";
    if (step.movement.kind == MovementKind::unused) return "came back unused";
    if (!step.movement.brew) return step.movement.reason.value_or("");
    if (step.movement.package) return fmt::format("primed packages of {}", *step.movement.brew);
    const std::string stage = step.movement.stage ? std::string(word(*step.movement.stage)) : std::string();
    return step.recipe.empty() ? stage : fmt::format("{}, {}", step.recipe, stage);
}

std::string brew_words(const Reached& reached) {
    const Brew& brew = *reached.brew;
    return fmt::format("brew of {}{}{}", to_iso(brew.date), brew.recipe ? ": " + *brew.recipe : "",
                       reached.beside ? ", in one fermenter" : "");
}

// The lots on hold that beer was made of.
void add_held(const TraceAnswer& answer, Facts& facts) {
    for (const Reached& reached : answer.reached)
        if (reached.lot && reached.lot->state.lot.held)
            facts.emplace_back(
                "made of", fmt::format("{}, on hold: {}", reached.lot->state.lot.code, *reached.lot->state.lot.held));
}

} // namespace

Facts lot_facts(const TracedLot& traced) {
    const Lot& lot = traced.state.lot;
    Facts facts;
    if (lot.made_from.empty() && !lot.harvested_from)
        facts.emplace_back("came from", lot.supplier.value_or("an unnamed supplier") +
                                            (lot.supplier_lot ? ", their lot " + *lot.supplier_lot : std::string()));
    facts.emplace_back("received", fmt::format("{} on {}", to_text(lot.received_amount), to_iso(lot.received)));
    for (const Portion& source : lot.made_from)
        facts.emplace_back("made from", fmt::format("{} of {}", to_text(source.amount), source.lot));
    if (lot.harvested_from)
        facts.emplace_back("harvested",
                           fmt::format("from {}, generation {}", *lot.harvested_from, lot.generation.value_or(1)));
    facts.emplace_back("on hold", lot.held.value_or(""));
    facts.emplace_back("accounted for", account_text(traced));
    return facts;
}

Facts brew_facts(const TracedBrew& traced, const TraceAnswer& answer) {
    const Brew& brew = traced.brew;
    Facts facts{{"brewed", fmt::format("on {} in {}", to_iso(brew.date), brew.brewhouse)}};
    if (brew.abandoned) facts.emplace_back("given up", *brew.abandoned);
    for (const Lot& harvested : traced.harvested)
        facts.emplace_back("harvested", fmt::format("{} of {} as {}, generation {}", to_text(harvested.received_amount),
                                                    harvested.item, harvested.code, harvested.generation.value_or(1)));
    add_held(answer, facts);
    if (!traced.parts.empty()) facts.emplace_back("cost", cost_text(traced.cost));
    return facts;
}

Facts package_facts(const Package& package, const TraceAnswer& answer) {
    Facts facts{{"beer of", fmt::format("{}, filled on {}", package.brew, to_iso(package.on))},
                {"best before", date_text(package.best_before)},
                {"accounted for", fmt::format("{} filled - {} out = {} here", package.count, sent_out(package),
                                              package.count - sent_out(package))}};
    add_held(answer, facts);
    return facts;
}

Table steps_table(const TracedLot& traced) {
    Table table{{{"ON"}, {"WENT INTO"}, {"AMOUNT", Align::right}, {"WHERE", Align::left, true}}, {}};
    for (const TraceStep& step : traced.steps)
        table.rows.push_back(
            {to_iso(step.movement.on), into_text(step.movement), to_text(-step.movement.change), where_text(step)});
    return table;
}

Table parts_table(const TracedBrew& traced) {
    Table table{{{"STAGE"},
                 {"AMOUNT", Align::right},
                 {"LOT"},
                 {"ITEM", Align::left, true},
                 {"SUPPLIER", Align::left, true},
                 {"THEIR LOT", Align::left, true}},
                {}};
    for (const TracedPart& part : traced.parts)
        table.rows.push_back({std::string(word(part.addition.stage)), to_text(part.addition.amount), part.lot.code,
                              part.lot.item, part.lot.supplier.value_or(""), part.lot.supplier_lot.value_or("")});
    return table;
}

Table sent_table(const Package& package) {
    Table table{{{"ON"}, {"WENT TO", Align::left, true}, {"HOW MANY", Align::right}}, {}};
    for (const Sent& sent : package.sent) table.rows.push_back({to_iso(sent.on), sent.to, std::to_string(sent.count)});
    return table;
}

Table reached_table(const TraceAnswer& answer) {
    Table table{{{"CODE"}, {"WHAT", Align::left, true}, {"BY"}, {"ON HAND", Align::right}}, {}};
    const auto is_beyond = [](const Reached& r) { return r.lot.has_value() || r.beside; };
    if (answer.lots.empty() || std::ranges::none_of(answer.reached, is_beyond)) return table;
    for (const Reached& reached : answer.reached) {
        if (!reached.lot) {
            table.rows.push_back({reached.brew->code, brew_words(reached), reached.of, ""});
            continue;
        }
        const Lot& lot = reached.lot->state.lot;
        table.rows.push_back({lot.code, lot.item + (lot.held ? ", on hold: " + *lot.held : ""), reached.of,
                              to_text(reached.lot->state.on_hand)});
    }
    return table;
}

std::string reached_words(const TraceAnswer& answer) {
    const auto lots = std::ranges::count_if(answer.reached, [](const Reached& r) { return r.lot.has_value(); });
    const auto brews = std::ssize(answer.reached) - lots;
    if (lots == 0) return counted(brews, "brew");
    return counted(lots, "lot") + (brews == 0 ? "" : " and " + counted(brews, "brew"));
}

Table packages_table(const std::vector<ReachedPackage>& packages) {
    Table table{{{"RUN"}, {"FILLED"}, {"BY"}, {"WHAT"}, {"HERE", Align::right}, {"WENT TO", Align::left, true}}, {}};
    for (const auto& [of, package] : packages)
        table.rows.push_back({package.code, to_iso(package.on), of, filled_text(package),
                              std::to_string(package.count - sent_out(package)), sent_text(package)});
    return table;
}

std::vector<ReachedPackage> packages_of(const TracedBrew& traced) {
    std::vector<ReachedPackage> packages;
    for (const Package& package : traced.packages) packages.push_back({package.brew, package});
    return packages;
}

Table origins_table(const TraceAnswer& answer) {
    Table table{{{"CODE"},
                 {"WHAT", Align::left, true},
                 {"IN"},
                 {"SUPPLIER", Align::left, true},
                 {"THEIR LOT", Align::left, true}},
                {}};
    const auto is_beyond = [&](const Reached& reached) {
        return answer.package || reached.brew || !answer.brew || reached.of != answer.brew->brew.code;
    };
    if (!answer.lots.empty() || std::ranges::none_of(answer.reached, is_beyond)) return table;
    for (const Reached& reached : answer.reached) {
        if (!reached.lot) {
            table.rows.push_back({reached.brew->code, brew_words(reached), reached.of});
            continue;
        }
        const Lot& lot = reached.lot->state.lot;
        table.rows.push_back(
            {lot.code, lot.item, reached.of, lot.supplier.value_or(""), lot.supplier_lot.value_or("")});
    }
    return table;
}

} // namespace lotwort::report
