#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/exchange/record_json.hpp>
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

// What came in, and everything that became of it: the two must meet.
struct Account {
    Amount received;
    Amount into_brews;
    Amount otherwise; // counts, discards and what else left or was found
    Amount left;
    std::size_t brews = 0;
};

Account account_of(const TracedLot& traced) {
    const Amount none{traced.state.on_hand.measure, 0};
    Account sum{traced.state.lot.received_amount, none, none, traced.state.on_hand};
    std::vector<std::string> brews;
    for (const TraceStep& step : traced.steps) {
        Amount& into = step.movement.brew ? sum.into_brews : sum.otherwise;
        into = into + step.movement.change;
        if (!step.movement.brew) continue;
        if (std::find(brews.begin(), brews.end(), *step.movement.brew) == brews.end())
            brews.push_back(*step.movement.brew);
    }
    sum.brews = brews.size();
    return sum;
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

std::string package_text(const Package& package) {
    std::string text = fmt::format("{}: {}\n", package.code, filled_text(package));
    text += line("beer of", fmt::format("{}, filled on {}", package.brew, to_iso(package.on)));
    text += line("best before", date_text(package.best_before));
    text += line("accounted for", fmt::format("{} filled - {} out = {} here", package.count, sent_out(package),
                                              package.count - sent_out(package)));
    if (package.sent.empty()) return text + "\nNone of it has gone anywhere.\n";
    Table table{{{"ON"}, {"WENT TO", Align::left, true}, {"HOW MANY", Align::right}}, {}};
    for (const Sent& sent : package.sent) table.rows.push_back({to_iso(sent.on), sent.to, std::to_string(sent.count)});
    return text + "\n" + table_text(table);
}

std::string brew_text(const TracedBrew& traced) {
    const Brew& brew = traced.brew;
    std::string text = fmt::format("{}: {}\n", brew.code, brew.recipe.value_or("no recipe"));
    text += line("brewed", fmt::format("on {} in {}", to_iso(brew.date), brew.brewhouse));
    if (brew.abandoned) text += line("given up", *brew.abandoned);
    for (const Lot& harvested : traced.harvested)
        text += line("harvested", fmt::format("{} of {} as {}, generation {}", to_text(harvested.received_amount),
                                              harvested.item, harvested.code, harvested.generation.value_or(1)));
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

void lot_fields(JsonWriter& w, const Lot& lot) {
    w.field("lot", lot.code).field("item", lot.item).field("supplier", lot.supplier);
    w.field("supplier_lot", lot.supplier_lot);
}

void lot_json(JsonWriter& w, const TracedLot& traced) {
    const Lot& lot = traced.state.lot;
    const Account sum = account_of(traced);
    w.begin_object();
    lot_fields(w, lot);
    w.field("received", lot.received).field("held", lot.held);
    w.field("harvested_from", lot.harvested_from).field("generation", lot.generation);
    if (!lot.made_from.empty()) {
        w.key("made_from").begin_array();
        for (const Portion& source : lot.made_from) {
            w.begin_object(JsonWriter::Layout::one_line).field("lot", source.lot);
            write_amount_field(w, "amount", source.amount);
            w.end_object();
        }
        w.end_array();
    }
    write_amount_field(w, "received", sum.received);
    write_amount_field(w, "into_brews", -sum.into_brews);
    write_amount_field(w, "otherwise", sum.otherwise);
    write_amount_field(w, "on_hand", sum.left);
    w.key("steps").begin_array();
    for (const TraceStep& step : traced.steps) {
        w.begin_object(JsonWriter::Layout::one_line).field("on", step.movement.on);
        w.field("kind", word(step.movement.kind)).field("brew", step.movement.brew);
        if (!step.recipe.empty()) w.field("recipe", step.recipe);
        if (step.movement.stage) w.field("stage", word(*step.movement.stage));
        write_amount_field(w, "change", step.movement.change);
        w.field("reason", step.movement.reason).end_object();
    }
    w.end_array().end_object();
}

void reached_json(JsonWriter& w, std::string_view name, const std::vector<Reached>& all) {
    w.key(name).begin_array();
    for (const Reached& reached : all) {
        w.begin_object(JsonWriter::Layout::one_line);
        if (reached.lot) {
            const LotState& state = reached.lot->state;
            w.field("lot", state.lot.code).field("by", reached.of).field("item", state.lot.item);
            write_amount_field(w, "on_hand", state.on_hand);
            w.field("held", state.lot.held);
            w.field("supplier", state.lot.supplier).field("supplier_lot", state.lot.supplier_lot);
        } else {
            w.field("brew", reached.brew->code).field("by", reached.of).field("date", reached.brew->date);
            w.field("recipe", reached.brew->recipe).field("abandoned", reached.brew->abandoned);
        }
        w.end_object();
    }
    w.end_array();
}

void package_json(JsonWriter& w, const Package& package, const std::string& by) {
    w.begin_object().field("package", package.code);
    if (!by.empty()) w.field("by", by);
    w.field("brew", package.brew).field("packaged", package.on).field("container", package.container);
    w.field("count", package.count).field("each_l", package.each).field("best_before", package.best_before);
    w.field("here", package.count - sent_out(package)).key("sent").begin_array();
    for (const Sent& sent : package.sent)
        w.begin_object(JsonWriter::Layout::one_line)
            .field("on", sent.on)
            .field("to", sent.to)
            .field("count", sent.count)
            .end_object();
    w.end_array().end_object();
}

void brew_json(JsonWriter& w, const TracedBrew& traced) {
    w.key("brew").begin_object().field("code", traced.brew.code).field("date", traced.brew.date);
    w.field("recipe", traced.brew.recipe).field("brewhouse", traced.brew.brewhouse);
    w.field("abandoned", traced.brew.abandoned);
    cost_fields(w, traced.cost);
    w.key("harvested").begin_array();
    for (const Lot& lot : traced.harvested) w.value(lot.code);
    w.end_array();
    w.key("parts").begin_array();
    for (const TracedPart& part : traced.parts) {
        w.begin_object(JsonWriter::Layout::one_line);
        lot_fields(w, part.lot);
        w.field("stage", word(part.addition.stage)).field("on", part.addition.on);
        write_amount_field(w, "amount", part.addition.amount);
        w.end_object();
    }
    w.end_array().key("unused").begin_array();
    for (const Unused& unused : traced.brew.unused) {
        w.begin_object(JsonWriter::Layout::one_line).field("lot", unused.lot).field("on", unused.on);
        write_amount_field(w, "amount", unused.amount);
        w.end_object();
    }
    w.end_array().key("packages").begin_array();
    for (const Package& package : traced.packages) package_json(w, package, package.brew);
    w.end_array().end_object();
}

} // namespace

std::string trace_text(const TraceAnswer& answer) {
    std::string text;
    if (answer.by_supplier_lot)
        text = fmt::format("Their lot {} came as {} {}\n\n", answer.asked, answer.lots.size(),
                           answer.lots.size() == 1 ? "lot" : "lots");
    for (std::size_t i = 0; i < answer.lots.size(); ++i) text += (i == 0 ? "" : "\n") + lot_text(answer.lots[i]);
    if (!answer.lots.empty()) text += reached_text(answer) + packages_text(answer.packages);
    if (answer.brew) text += brew_text(*answer.brew);
    if (answer.package) text += package_text(*answer.package);
    if (answer.lots.empty()) text += origins_text(answer);
    if (answer.booked) text += "\n" + booked_line(*answer.booked);
    return text;
}

std::string trace_csv(const TraceAnswer& answer) {
    std::string csv = csv_row({"lot", "item", "supplier", "supplier_lot", "on", "kind", "brew", "recipe", "stage",
                               "unit", "change", "reason", "package", "to"});
    const auto row = [&](const Lot& lot, const Movement& m, const std::string& recipe) {
        csv += csv_row({lot.code, lot.item, lot.supplier.value_or(""), lot.supplier_lot.value_or(""), to_iso(m.on),
                        std::string(word(m.kind)), m.brew.value_or(""), recipe,
                        m.stage ? std::string(word(*m.stage)) : "", amount_unit(m.change), amount_number(m.change),
                        m.reason.value_or(""), m.package.value_or(""), ""});
    };
    const auto receipt = [&](const Lot& lot) {
        Movement received;
        received.on = lot.received;
        received.kind = MovementKind::receipt;
        received.change = lot.received_amount;
        row(lot, received, "");
    };
    const auto rows = [&](const TracedLot& traced) {
        receipt(traced.state.lot);
        for (const TraceStep& step : traced.steps) row(traced.state.lot, step.movement, step.recipe);
    };
    // a run as it was filled, then where it went
    const auto run = [&](const Package& package) {
        const auto of_run = [&](Date on, std::string_view kind, int count, const std::string& to) {
            csv += csv_row({"", "", "", "", to_iso(on), std::string(kind), package.brew, "", "", "count",
                            std::to_string(count), filled_text(package), package.code, to});
        };
        of_run(package.on, "package", package.count, "");
        for (const Sent& sent : package.sent) of_run(sent.on, "sent", -sent.count, sent.to);
    };
    for (const TracedLot& traced : answer.lots) rows(traced);
    for (const Reached& reached : answer.reached)
        if (reached.lot && !answer.brew) rows(*reached.lot);
    if (answer.brew) {
        for (const TracedPart& part : answer.brew->parts) {
            Movement into;
            into.on = part.addition.on.value_or(answer.brew->brew.date);
            into.kind = MovementKind::brew;
            into.brew = answer.brew->brew.code;
            into.stage = part.addition.stage;
            into.change = -part.addition.amount;
            into.package = part.addition.package;
            row(part.lot, into, answer.brew->brew.recipe.value_or(""));
        }
        for (const Reached& reached : answer.reached)
            if (reached.lot && reached.of != answer.brew->brew.code) rows(*reached.lot);
        for (const Package& package : answer.brew->packages) run(package);
    }
    for (const ReachedPackage& reached : answer.packages) run(reached.package);
    if (answer.package) run(*answer.package);
    return csv;
}

std::string trace_json(const TraceAnswer& answer) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/trace/1").field("asked", answer.asked);
    w.key("lots").begin_array();
    for (const TracedLot& lot : answer.lots) lot_json(w, lot);
    w.end_array();
    if (!answer.lots.empty()) {
        reached_json(w, "reached", answer.reached);
        w.key("packages").begin_array();
        for (const auto& [of, package] : answer.packages) package_json(w, package, of);
        w.end_array();
    }
    if (answer.brew) brew_json(w, *answer.brew);
    if (answer.package) {
        w.key("package");
        package_json(w, *answer.package, "");
    }
    if (answer.lots.empty()) reached_json(w, "made_of", answer.reached);
    if (answer.booked) booked_fields(w, *answer.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
