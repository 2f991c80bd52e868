#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/exchange/record_json.hpp>
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
    if (m.brew) return *m.brew;
    if (const auto lot = moved_into(m); !lot.empty()) return fmt::format("lot {}", lot);
    return std::string(word(m.kind));
}

std::string where_text(const TraceStep& step) {
    if (step.movement.kind == MovementKind::move) return "";
    if (step.movement.kind == MovementKind::unused) return "came back unused";
    if (!step.movement.brew) return step.movement.reason.value_or("");
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

std::string brew_text(const TracedBrew& traced) {
    const Brew& brew = traced.brew;
    std::string text = fmt::format("{}: {}\n", brew.code, brew.recipe.value_or("no recipe"));
    text += line("brewed", fmt::format("on {} in {}", to_iso(brew.date), brew.brewhouse));
    if (brew.abandoned) text += line("given up", *brew.abandoned);
    for (const Lot& harvested : traced.harvested)
        text += line("harvested", fmt::format("{} of {} as {}, generation {}", to_text(harvested.received_amount),
                                              harvested.item, harvested.code, harvested.generation.value_or(1)));
    if (!traced.parts.empty()) text += line("cost", cost_text(traced.cost));
    if (traced.parts.empty()) return text + "\nNothing is booked as weighed into it.\n";
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
    return text + "\n" + table_text(table) + unused_text(traced.brew);
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

void reached_json(JsonWriter& w, const std::vector<Reached>& all) {
    w.key("reached").begin_array();
    for (const Reached& reached : all) {
        w.begin_object(JsonWriter::Layout::one_line);
        if (reached.lot) {
            const LotState& state = reached.lot->state;
            w.field("lot", state.lot.code).field("by", reached.of).field("item", state.lot.item);
            write_amount_field(w, "on_hand", state.on_hand);
            w.field("held", state.lot.held);
        } else {
            w.field("brew", reached.brew->code).field("by", reached.of).field("date", reached.brew->date);
            w.field("recipe", reached.brew->recipe).field("abandoned", reached.brew->abandoned);
        }
        w.end_object();
    }
    w.end_array();
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
    w.end_array().end_object();
}

} // namespace

std::string trace_text(const TraceAnswer& answer) {
    std::string text;
    if (answer.by_supplier_lot)
        text = fmt::format("Their lot {} came as {} {}\n\n", answer.asked, answer.lots.size(),
                           answer.lots.size() == 1 ? "lot" : "lots");
    for (std::size_t i = 0; i < answer.lots.size(); ++i) text += (i == 0 ? "" : "\n") + lot_text(answer.lots[i]);
    text += reached_text(answer);
    if (answer.brew) text += brew_text(*answer.brew);
    if (answer.booked) text += "\n" + booked_line(*answer.booked);
    return text;
}

std::string trace_csv(const TraceAnswer& answer) {
    std::string csv = csv_row({"lot", "item", "supplier", "supplier_lot", "on", "kind", "brew", "recipe", "stage",
                               "unit", "change", "reason"});
    const auto row = [&](const Lot& lot, Date on, std::string_view kind, const std::string& brew,
                         const std::string& recipe, const std::optional<Stage>& stage, Amount change,
                         const std::string& reason) {
        csv += csv_row({lot.code, lot.item, lot.supplier.value_or(""), lot.supplier_lot.value_or(""), to_iso(on),
                        std::string(kind), brew, recipe, stage ? std::string(word(*stage)) : "", amount_unit(change),
                        amount_number(change), reason});
    };
    const auto rows = [&](const TracedLot& traced) {
        const Lot& lot = traced.state.lot;
        row(lot, lot.received, word(MovementKind::receipt), "", "", {}, lot.received_amount, "");
        for (const TraceStep& step : traced.steps)
            row(lot, step.movement.on, word(step.movement.kind), step.movement.brew.value_or(""), step.recipe,
                step.movement.stage, step.movement.change, step.movement.reason.value_or(""));
    };
    for (const TracedLot& traced : answer.lots) rows(traced);
    for (const Reached& reached : answer.reached)
        if (reached.lot) rows(*reached.lot);
    if (answer.brew)
        for (const TracedPart& part : answer.brew->parts)
            row(part.lot, part.addition.on.value_or(answer.brew->brew.date), word(MovementKind::brew),
                answer.brew->brew.code, answer.brew->brew.recipe.value_or(""), part.addition.stage,
                -part.addition.amount, "");
    return csv;
}

std::string trace_json(const TraceAnswer& answer) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/trace/1").field("asked", answer.asked);
    w.key("lots").begin_array();
    for (const TracedLot& lot : answer.lots) lot_json(w, lot);
    w.end_array();
    if (!answer.brew) reached_json(w, answer.reached);
    if (answer.brew) brew_json(w, *answer.brew);
    if (answer.booked) booked_fields(w, *answer.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
