#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/substitute.hpp>
#include <utility>

namespace lotwort::report {

namespace {

void shortage_json(JsonWriter& w, const plan::Shortage& s) {
    w.begin_object().field("brew", s.brew).field("date", s.date).field("line", s.line).field("item", s.item);
    write_amount_field(w, "needed", s.needed);
    write_amount_field(w, "from_orders", s.from_orders);
    write_amount_field(w, "missing", s.missing);
    w.key("passed_over").begin_array();
    for (const auto& lot : s.passed_over) {
        w.begin_object(JsonWriter::Layout::one_line).field("lot", lot.lot).field("why", lot.why);
        write_amount_field(w, "amount", lot.amount);
        w.end_object();
    }
    w.end_array().field("more_due", s.more_due).end_object();
}

// The mean under its plain name, its standard uncertainty and 90 % interval beside it.
void estimate_json(JsonWriter& w, const std::string& name, const Estimate& e) {
    w.field(name, e.value).field(name + "_sd", e.sd).field(name + "_low", e.low).field(name + "_high", e.high);
}

void effects_json(JsonWriter& w, std::string_view name, const std::map<std::string, plan::Effect>& effects) {
    w.key(name).begin_object();
    for (const auto& [brew, e] : effects) {
        w.key(brew).begin_object();
        estimate_json(w, "original_gravity_sg", e.original_gravity_sg);
        estimate_json(w, "volume_l", e.volume_l);
        estimate_json(w, "colour_ebc", e.colour_ebc);
        estimate_json(w, "bitterness_ibu", e.bitterness_ibu);
        estimate_json(w, "final_gravity_sg", e.final_gravity_sg);
        estimate_json(w, "alcohol_abv_pct", e.alcohol_abv_pct);
        estimate_json(w, "diastatic_power_wk", e.diastatic_power_wk);
        estimate_json(w, "extract_kg", e.extract_kg);
        w.field("hop_oil_ml", e.hop_oil_ml);
        if (!e.to_notice.empty()) w.field("to_notice", e.to_notice);
        w.end_object();
    }
    w.end_object();
}

void purchase_json(JsonWriter& w, const plan::Purchase& p) {
    w.begin_object().field("item", p.item);
    write_amount_field(w, "missing", p.amount);
    w.field("date", p.wanted);
    if (p.supplier) {
        w.field("supplier", *p.supplier).field("packs", p.packs);
        write_amount_field(w, "pack", p.pack);
        w.field("cost", static_cast<double>(p.cost.minor) / 100.0);
        w.field("delivery", static_cast<double>(p.delivery.minor) / 100.0).field("arrives", p.arrives);
    }
    w.end_object();
}

void answer_json(JsonWriter& w, const plan::SubstituteAnswer& answer) {
    w.begin_object().field("number", number_of(answer.kind)).field("kind", word(answer.kind));
    w.field("objective", answer.objective).field("bound", answer.bound).field("gap", answer.gap);
    w.field("proven_optimal", answer.proven_optimal).field("cost", answer.cost);
    w.field("sentence", answer.sentence);
    w.key("also").begin_array(JsonWriter::Layout::one_line);
    for (const plan::AnswerKind kind : answer.also) w.value(word(kind));
    w.end_array();
    w.key("lines").begin_array();
    for (const auto& take : answer.lines) {
        w.begin_object(JsonWriter::Layout::one_line).field("brew", take.brew).field("line", take.line);
        w.field("recipe_item", take.recipe_item).field("lot", take.lot).field("mass_kg", take.mass_kg);
        w.field("changed", take.changed).end_object();
    }
    w.end_array().key("scale").begin_object(JsonWriter::Layout::one_line);
    for (const auto& [brew, scale] : answer.scale) w.field(brew, scale);
    w.end_object();
    effects_json(w, "effect", answer.effect);
    w.field("crumbs", answer.crumbs).field("left", answer.left).field("opened", answer.opened);
    w.key("to_get").begin_array();
    for (const auto& one : answer.to_get) {
        w.begin_object().field("brew", one.brew).field("line", one.line).field("item", one.item);
        write_amount_field(w, "missing", one.missing);
        w.end_object();
    }
    w.end_array().key("moves").begin_array();
    for (const auto& move : answer.moves) {
        w.begin_object(JsonWriter::Layout::one_line).field("brew", move.brew);
        w.field("from", move.from).field("to", move.to).end_object();
    }
    w.end_array().key("to_buy").begin_array();
    for (const auto& p : answer.to_buy) purchase_json(w, p);
    w.end_array().field("says", answer.says).end_object();
}

} // namespace

std::string substitute_json(const ShownSubstitution& shown) {
    const plan::Substitution& found = *shown.found;
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/substitute/1").field("currency", shown.currency);
    w.key("shortages").begin_array();
    for (const auto& s : found.shortages.lines) shortage_json(w, s);
    w.end_array();
    effects_json(w, "recipe", found.recipe);
    w.key("answers").begin_array();
    for (const auto& answer : found.answers) answer_json(w, answer);
    w.end_array().key("none").begin_array();
    for (const auto& missing : found.none)
        w.begin_object()
            .field("number", number_of(missing.kind))
            .field("kind", word(missing.kind))
            .field("reason", missing.reason)
            .end_object();
    w.end_array().field("remarks", shown.remarks);
    if (shown.booked != nullptr) booked_fields(w, *shown.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
