// Traces as CSV and JSON.
#include "sent_json.hpp"
#include "trace_account.hpp"
#include <algorithm>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/package.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

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

namespace {

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
    w.field("here", package.count - sent_out(package));
    sent_json(w, package);
    w.end_object();
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
        std::string of;
        for (const Portion& source : lot.made_from) of += (of.empty() ? "made of " : ", ") + source.lot;
        if (lot.harvested_from) of = "harvested from " + *lot.harvested_from;
        if (!of.empty()) received.reason = of;
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
