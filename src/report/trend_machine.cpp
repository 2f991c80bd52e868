#include "trend_words.hpp"
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/trend.hpp>

namespace lotwort::report {

namespace {

void figures(JsonWriter& w, const Estimate& e) {
    w.field("value", e.value).field("mean", e.value).field("sd", e.sd).field("low", e.low).field("high", e.high);
}

void level_json(JsonWriter& w, const BrewLevel& at) {
    w.begin_object(JsonWriter::Layout::one_line).field("brew", at.brew).field("date", at.date);
    w.field("brewhouse", at.brewhouse);
    const auto level = [&](const std::string& name, const std::string& short_name, const Estimate& e) {
        w.field(name + "_level", e.value).field(name + "_level_sd", e.sd);
        w.field(short_name + "_low", e.low).field(short_name + "_high", e.high);
    };
    level("conversion", "conversion", at.conversion);
    level("lauter", "lauter", at.lauter);
    level("brewhouse", "brewhouse", at.brewhouse_level);
    w.field("conversion", at.this_conversion.value).field("lauter", at.this_lauter.value).end_object();
}

void causes_json(JsonWriter& w, const char* name, const std::vector<PossibleCause>& causes) {
    w.key(name).begin_array();
    for (const auto& cause : causes)
        w.begin_object(JsonWriter::Layout::one_line)
            .field("what", cause.what)
            .field("probability", cause.probability)
            .end_object();
    w.end_array();
}

void drift_json(JsonWriter& w, const Drift& d) {
    w.begin_object().field("quantity", d.quantity).field("brewhouse", d.brewhouse).field("from_brew", d.from_brew);
    w.field("signalled_at", d.signalled_at).field("change", d.change).field("sd", d.sd);
    w.field("low", d.low).field("high", d.high).field("probability", d.probability).field("by", d.by);
    w.field("of_malt", d.is_of_malt);
    causes_json(w, "causes", d.causes);
    w.field("hints", d.hints).end_object();
}

void score_json(JsonWriter& w, const char* name, const FigureScore& score) {
    w.key(name).begin_object(JsonWriter::Layout::one_line).field("of", score.of).field("held", score.held);
    w.field("mean_error", score.mean_error).field("rms_error", score.rms_error).end_object();
}

void foretold_json(JsonWriter& w, const std::string& name, const std::optional<ForetoldFigure>& figure) {
    if (!figure) return;
    w.field(name, figure->came).field(name + "_foretold", figure->foretold.value);
    w.field(name + "_low", figure->foretold.low).field(name + "_high", figure->foretold.high);
}

void forecasts_json(JsonWriter& w, const ForecastScore& score) {
    w.key("forecasts").begin_object();
    score_json(w, "gravity", score_of(score, &ForetoldBrew::gravity_sg));
    score_json(w, "volume", score_of(score, &ForetoldBrew::volume_l));
    w.key("brews").begin_array();
    for (const auto& brew : score.brews) {
        w.begin_object(JsonWriter::Layout::one_line).field("brew", brew.brew).field("date", brew.date);
        w.field("brewhouse", brew.brewhouse).field("learned_from", brew.learned_from);
        foretold_json(w, "gravity_sg", brew.gravity_sg);
        foretold_json(w, "volume_l", brew.volume_l);
        w.end_object();
    }
    w.end_array().end_object();
}

} // namespace

void instrument_json(JsonWriter& w, const LearnedInstrument& i) {
    w.begin_object().field("instrument", i.name);
    if (!i.brewhouse.empty()) w.field("brewhouse", i.brewhouse);
    w.field("unit", i.unit);
    figures(w, i.offset);
    w.field("stated_sd", i.stated_sd)
        .field("brews", i.brews)
        .field("checks", i.checks)
        .field("probability", i.probability);
    w.field("told", i.is_told);
    if (i.correction) w.field("correction", *i.correction);
    causes_json(w, "or_else", i.or_else);
    w.field("would_tell", would_tell(i)).end_object();
}

std::string trend_json(const Trend& trend) {
    const Learning& l = trend.learned;
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/trend/1").key("lots").begin_array();
    for (const auto& lot : l.lots) {
        w.begin_object(JsonWriter::Layout::one_line)
            .field("lot", lot.lot)
            .field("item", lot.item)
            .field("uses", lot.uses);
        figures(w, lot.difference);
        w.field("odd", lot.is_odd).field("p_value", lot.p_value).field("probability_off", lot.probability_off);
        w.field("against_malt", lot.against_malt.value).field("against_malt_low", lot.against_malt.low);
        w.field("against_malt_high", lot.against_malt.high).end_object();
    }
    w.end_array().key("items").begin_array();
    for (const auto& item : l.items) {
        w.begin_object(JsonWriter::Layout::one_line).field("item", item.item).field("lots", item.lots);
        figures(w, item.difference);
        w.end_object();
    }
    w.end_array().field("brews", l.brews).key("brewhouse").begin_array();
    for (const auto& level : l.levels) level_json(w, level);
    w.end_array().key("drift").begin_array();
    for (const auto& d : l.drift) drift_json(w, d);
    w.end_array().key("power").begin_array();
    for (const auto& p : l.power)
        w.begin_object(JsonWriter::Layout::one_line)
            .field("brewhouse", p.brewhouse)
            .field("began_ago", p.began_ago)
            .field("least", p.least)
            .field("with_four_more", p.with_four_more)
            .end_object();
    w.end_array().key("instruments").begin_array();
    for (const auto& i : l.instruments) instrument_json(w, i);
    w.end_array().key("undecided").begin_array();
    for (const auto& u : l.undecided)
        w.begin_object()
            .field("between", u.between)
            .field("correlation", u.correlation)
            .field("would_tell", u.would_tell)
            .end_object();
    w.end_array().key("others").begin_array();
    for (const auto& [name, e] : l.others) {
        w.begin_object(JsonWriter::Layout::one_line).field("figure", name);
        figures(w, e);
        w.end_object();
    }
    w.end_array().key("scales").begin_array();
    for (const auto& s : l.scales) {
        w.begin_object(JsonWriter::Layout::one_line).field("scale", s.name).field("value", s.value);
        w.field("low", s.low).field("high", s.high).field("prior", s.prior).field("prior_low", s.prior_low);
        w.field("prior_high", s.prior_high).end_object();
    }
    w.end_array();
    forecasts_json(w, trend.forecasts);
    w.field("remarks", l.remarks).end_object();
    return std::move(w).text();
}

std::string trend_csv(const Trend& trend) {
    const Learning& l = trend.learned;
    std::string csv = csv_row({"kind", "name", "brew", "date", "mean", "sd", "low", "high"});
    const auto row = [&](const char* kind, const std::string& name, const std::string& brew, const std::string& date,
                         const Estimate& e) {
        csv += csv_row({kind, name, brew, date, shortest(e.value), shortest(e.sd), shortest(e.low), shortest(e.high)});
    };
    for (const auto& at : l.levels) {
        row("brewhouse", "conversion", at.brew, to_iso(at.date), at.conversion);
        row("brewhouse", "lauter", at.brew, to_iso(at.date), at.lauter);
        row("brewhouse", "brewhouse", at.brew, to_iso(at.date), at.brewhouse_level);
    }
    for (const auto& lot : l.lots) row("lot", lot.lot, "", "", lot.difference);
    for (const auto& item : l.items) row("item", item.item, "", "", item.difference);
    for (const auto& i : l.instruments) row("instrument", instrument_words(i), "", "", i.offset);
    for (const auto& [name, e] : l.others) row("other", name, "", "", e);
    const auto foretold = [&](const ForetoldBrew& brew, const char* name, const std::optional<ForetoldFigure>& at) {
        if (!at) return;
        row("forecast", name, brew.brew, to_iso(brew.date), at->foretold);
        row("came", name, brew.brew, to_iso(brew.date), {at->came, 0.0, at->came, at->came});
    };
    for (const auto& brew : trend.forecasts.brews) {
        foretold(brew, "gravity", brew.gravity_sg);
        foretold(brew, "volume", brew.volume_l);
    }
    return csv;
}

} // namespace lotwort::report
