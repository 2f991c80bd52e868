#include "trace_account.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/report/package.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/report/trace.hpp>
#include <lotwort/stock/worth.hpp>

namespace lotwort::report {

namespace {

std::string line(std::string_view what, const std::string& value) {
    return value.empty() ? "" : wrapped(fmt::format("  {:<14} {}", what, value), 17, line_width);
}

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

std::string lot_text(const TracedLot& traced) {
    const Lot& lot = traced.state.lot;
    std::string text = fmt::format("{}: {}\n", lot.code, lot.item);
    const bool of_own = !lot.made_from.empty() || lot.harvested_from;
    if (!of_own)
        text += line("came from", lot.supplier.value_or("an unnamed supplier") +
                                      (lot.supplier_lot ? ", their lot " + *lot.supplier_lot : std::string()));
    text += line("received", fmt::format("{} on {}", to_text(lot.received_amount), to_iso(lot.received)));
    for (const Portion& source : lot.made_from)
        text += line("made from", fmt::format("{} of {}", to_text(source.amount), source.lot));
    if (lot.harvested_from)
        text +=
            line("harvested", fmt::format("from {}, generation {}", *lot.harvested_from, lot.generation.value_or(1)));
    text += line("on hold", lot.held.value_or(""));
    text += line("accounted for", account_text(traced));
    if (traced.steps.empty()) return text + "\nNone of it has gone anywhere.\n";
    Table table{{{"ON"}, {"WENT INTO"}, {"AMOUNT", Align::right}, {"WHERE", Align::left, true}}, {}};
    for (const TraceStep& step : traced.steps)
        table.rows.push_back(
            {to_iso(step.movement.on), into_text(step.movement), to_text(-step.movement.change), where_text(step)});
    return text + "\n" + table_text(table);
}

std::string counted(std::size_t number, std::string_view one, std::string_view several) {
    return fmt::format("{} {}", number, number == 1 ? one : several);
}

// All that hangs on the lots. Where that is their own brews alone, their own tables have said it.
std::string reached_text(const TraceAnswer& answer) {
    const auto lots = static_cast<std::size_t>(
        std::ranges::count_if(answer.reached, [](const Reached& r) { return r.lot.has_value(); }));
    const bool beyond = lots > 0 || std::ranges::any_of(answer.reached, &Reached::beside);
    if (!beyond) return "";
    Table table{{{"CODE"}, {"WHAT", Align::left, true}, {"BY"}, {"ON HAND", Align::right}}, {}};
    for (const Reached& reached : answer.reached) {
        if (reached.lot) {
            const Lot& lot = reached.lot->state.lot;
            table.rows.push_back({lot.code, lot.item + (lot.held ? ", on hold: " + *lot.held : ""), reached.of,
                                  to_text(reached.lot->state.on_hand)});
            continue;
        }
        const Brew& brew = *reached.brew;
        table.rows.push_back({brew.code,
                              fmt::format("brew of {}{}{}", to_iso(brew.date), brew.recipe ? ": " + *brew.recipe : "",
                                          reached.beside ? ", in one fermenter" : ""),
                              reached.of, ""});
    }
    return fmt::format("\nAll that is made of it: {} and {}\n", counted(lots, "lot", "lots"),
                       counted(answer.reached.size() - lots, "brew", "brews")) +
           table_text(table);
}

// Runs of packages, and whom each went to; `of`: the brew or lot it was reached by.
std::string packages_text(const std::vector<ReachedPackage>& packages) {
    if (packages.empty()) return "";
    Table table{{{"RUN"}, {"FILLED"}, {"BY"}, {"WHAT"}, {"HERE", Align::right}, {"WENT TO", Align::left, true}}, {}};
    for (const auto& [of, package] : packages)
        table.rows.push_back({package.code, to_iso(package.on), of, filled_text(package),
                              std::to_string(package.count - sent_out(package)), sent_text(package)});
    return fmt::format("\nPackages of it: {}\n", counted(packages.size(), "run", "runs")) + table_text(table);
}

// The lots on hold that beer was made of.
std::string held_line(const TraceAnswer& answer) {
    std::string text;
    for (const Reached& reached : answer.reached)
        if (reached.lot && reached.lot->state.lot.held)
            text += line("made of",
                         fmt::format("{}, on hold: {}", reached.lot->state.lot.code, *reached.lot->state.lot.held));
    return text;
}

// What beer was made of, beyond what its own table says.
std::string origins_text(const TraceAnswer& answer) {
    const auto is_beyond = [&](const Reached& reached) {
        return answer.package || reached.brew || !answer.brew || reached.of != answer.brew->brew.code;
    };
    if (std::ranges::none_of(answer.reached, is_beyond)) return "";
    Table table{{{"CODE"},
                 {"WHAT", Align::left, true},
                 {"IN"},
                 {"SUPPLIER", Align::left, true},
                 {"THEIR LOT", Align::left, true}},
                {}};
    for (const Reached& reached : answer.reached) {
        if (reached.lot) {
            const Lot& lot = reached.lot->state.lot;
            table.rows.push_back(
                {lot.code, lot.item, reached.of, lot.supplier.value_or(""), lot.supplier_lot.value_or("")});
            continue;
        }
        const Brew& brew = *reached.brew;
        table.rows.push_back({brew.code,
                              fmt::format("brew of {}{}{}", to_iso(brew.date), brew.recipe ? ": " + *brew.recipe : "",
                                          reached.beside ? ", in one fermenter" : ""),
                              reached.of});
    }
    return "\nAll that it was made of, the nearest first\n" + table_text(table);
}

std::string package_text(const Package& package, const std::string& held) {
    std::string text = fmt::format("{}: {}\n", package.code, filled_text(package));
    text += line("beer of", fmt::format("{}, filled on {}", package.brew, to_iso(package.on)));
    text += line("best before", date_text(package.best_before));
    text += line("accounted for", fmt::format("{} filled - {} out = {} here", package.count, sent_out(package),
                                              package.count - sent_out(package)));
    text += held;
    if (package.sent.empty()) return text + "\nNone of it has gone anywhere.\n";
    Table table{{{"ON"}, {"WENT TO", Align::left, true}, {"HOW MANY", Align::right}}, {}};
    for (const Sent& sent : package.sent) table.rows.push_back({to_iso(sent.on), sent.to, std::to_string(sent.count)});
    return text + "\n" + table_text(table);
}

std::string brew_text(const TracedBrew& traced, const std::string& held) {
    const Brew& brew = traced.brew;
    std::string text = fmt::format("{}: {}\n", brew.code, brew.recipe.value_or("no recipe"));
    text += line("brewed", fmt::format("on {} in {}", to_iso(brew.date), brew.brewhouse));
    if (brew.abandoned) text += line("given up", *brew.abandoned);
    for (const Lot& harvested : traced.harvested)
        text += line("harvested", fmt::format("{} of {} as {}, generation {}", to_text(harvested.received_amount),
                                              harvested.item, harvested.code, harvested.generation.value_or(1)));
    text += held;
    if (!traced.parts.empty()) text += line("cost", cost_text(traced.cost));
    std::vector<ReachedPackage> packages;
    for (const Package& package : traced.packages) packages.push_back({package.brew, package});
    if (traced.parts.empty()) return text + "\nNothing is booked as weighed into it.\n" + packages_text(packages);
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
    return text + "\n" + table_text(table) + unused_text(traced.brew) + packages_text(packages);
}

} // namespace

std::string trace_text(const TraceAnswer& answer) {
    std::string text;
    if (answer.by_supplier_lot)
        text = fmt::format("Their lot {} came as {} {}\n\n", answer.asked, answer.lots.size(),
                           answer.lots.size() == 1 ? "lot" : "lots");
    for (std::size_t i = 0; i < answer.lots.size(); ++i) text += (i == 0 ? "" : "\n") + lot_text(answer.lots[i]);
    if (!answer.lots.empty()) text += reached_text(answer) + packages_text(answer.packages);
    if (answer.brew) text += brew_text(*answer.brew, held_line(answer));
    if (answer.package) text += package_text(*answer.package, held_line(answer));
    if (answer.lots.empty()) text += origins_text(answer);
    if (answer.booked) text += "\n" + booked_line(*answer.booked);
    return text;
}

} // namespace lotwort::report
