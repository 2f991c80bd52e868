// A reconciliation for machines: JSON and CSV.
#include "reconcile_words.hpp"
#include "remedies.hpp"
#include "trend_words.hpp"
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/reconcile.hpp>
#include <lotwort/report/table.hpp>

namespace lotwort::report {

namespace {

void estimated_json(JsonWriter& w, std::string_view name, const Estimated& estimated) {
    w.key(name).begin_object(JsonWriter::Layout::one_line);
    if (estimated.estimate) {
        const auto& e = *estimated.estimate;
        w.field("value", e.value).field("sd", e.sd).field("low", e.low).field("high", e.high);
    } else {
        w.key("value").null().key("sd").null().key("low").null().key("high").null().field("reason", estimated.reason);
    }
    w.end_object();
}

void efficiencies_json(JsonWriter& w, const Efficiencies& efficiencies) {
    w.key("efficiencies").begin_object();
    for (const auto& [name, said, estimated] : named(efficiencies)) estimated_json(w, name, estimated);
    w.end_object();
}

void test_json(JsonWriter& w, const GlobalTest& test) {
    w.key("test").begin_object(JsonWriter::Layout::one_line).field("statistic", test.statistic);
    w.field("degrees_of_freedom", test.degrees_of_freedom).key("p_value");
    if (test.p_value)
        w.value(*test.p_value);
    else
        w.null();
    w.field("passed", test.passed).end_object();
}

void reading_json(JsonWriter& w, const ReconciledEquation& r) {
    w.begin_object(JsonWriter::Layout::one_line).field("id", r.id).field("point", r.point).field("kind", r.kind);
    w.field("unit", r.unit).field("read", r.read).field("reconciled", r.reconciled).field("sd", r.sd);
    w.key("standardised_residual");
    if (r.standardised_residual)
        w.value(*r.standardised_residual);
    else
        w.null();
    w.field("is_expectation", r.is_expectation).end_object();
}

void suspect_json(JsonWriter& w, const Suspect& s) {
    w.begin_object().field("reading", s.reading).field("point", s.point).field("kind", s.kind);
    w.field("likely_error", said_of(s, s.likely_error)).field("likely_error_sd", said_of(s, s.likely_error_sd));
    w.field("unit", s.unit).field("p_value", said_of(s, s.p_value)).field("is_expectation", s.is_expectation);
    if (!s.impossible.empty()) w.field("impossible", s.impossible);
    w.field("cannot_be_told_from", s.cannot_be_told_from).field("looks_like", s.looks_like);
    w.key("without_suspect").begin_object();
    efficiencies_json(w, s.efficiencies_without);
    test_json(w, s.test_without);
    w.end_object().end_object();
}

void body_json(JsonWriter& w, const ReconciledBrew& brew) {
    const auto& result = brew.result;
    w.field("brew", result.brew).field("date", brew.date);
    if (!brew.recipe.empty()) w.field("recipe", brew.recipe);
    w.field("brewhouse", brew.brewhouse);
    efficiencies_json(w, result.efficiencies);
    w.field("redundancy", result.test.degrees_of_freedom);
    test_json(w, result.test);
    if (!result.answered_without.empty()) w.field("answered_without", result.answered_without);
}

std::string optional_text(const std::optional<double>& value) {
    return value ? shortest(*value) : "";
}

std::vector<std::string> figures(const Estimated& estimated) {
    if (!estimated.estimate) return {"", "", "", ""};
    const auto& e = *estimated.estimate;
    return {shortest(e.value), shortest(e.sd), shortest(e.low), shortest(e.high)};
}

} // namespace

std::string reconcile_json(const ReconciledBrew& brew) {
    const auto& result = brew.result;
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/reconcile/1");
    body_json(w, brew);
    w.key("quantities").begin_object();
    for (const auto& [name, estimated] : result.quantities) estimated_json(w, name, estimated);
    w.end_object().key("readings").begin_array();
    for (const auto& reading : result.readings) reading_json(w, reading);
    w.end_array().key("suspects").begin_array();
    for (const auto& suspect : result.suspects) suspect_json(w, suspect);
    w.end_array().key("measure_next").begin_array();
    for (const auto& next : result.measure_next) {
        w.begin_object(JsonWriter::Layout::one_line).field("point", next.point).field("kind", next.kind);
        w.field("about", next.about).field("sd_now", next.sd_now).field("sd_then", next.sd_then).end_object();
    }
    w.end_array().field("readings_used", result.readings_used).field("other_brews", result.others);
    if (!result.beyond_original.empty()) w.field("beyond_original", result.beyond_original);
    w.field("textbook_yield_pct", result.textbook_yield_pct).field("remarks", reconcile_remarks(brew)).end_object();
    return std::move(w).text();
}

std::string reconcile_csv(const ReconciledBrew& brew) {
    std::string csv = csv_row({"brew", "figure", "value", "sd", "low", "high"});
    const auto row = [&](const std::string& name, const Estimated& estimated) {
        std::vector<std::string> cells{brew.result.brew, name};
        for (auto& cell : figures(estimated)) cells.push_back(std::move(cell));
        csv += csv_row(cells);
    };
    for (const auto& [name, said, estimated] : named(brew.result.efficiencies)) row(std::string(name), estimated);
    for (const auto& [name, estimated] : brew.result.quantities) row(name, estimated);
    return csv;
}

std::string reconcile_all_csv(const AllReconciled& all) {
    std::vector<std::string> heading{"brew", "date", "recipe", "brewhouse"};
    for (const auto& [name, said, estimated] : named(Efficiencies{}))
        for (const char* part : {"", "_sd", "_low", "_high"}) heading.push_back(std::string(name) + part);
    for (const char* more : {"degrees_of_freedom", "statistic", "p_value", "passed", "suspect", "fault"})
        heading.emplace_back(more);
    std::string csv = csv_row(heading);
    for (const auto& brew : all.brews) {
        const auto& test = brew.result.test;
        std::vector<std::string> row{brew.result.brew, to_iso(brew.date), brew.recipe, brew.brewhouse};
        for (const auto& [name, said, estimated] : named(brew.result.efficiencies))
            for (auto& cell : figures(estimated)) row.push_back(std::move(cell));
        row.push_back(std::to_string(test.degrees_of_freedom));
        row.push_back(shortest(test.statistic));
        row.push_back(optional_text(test.p_value));
        row.emplace_back(test.passed ? "true" : "false");
        row.push_back(brew.result.suspects.empty() ? "" : brew.result.suspects.front().reading);
        row.push_back(brew.fault);
        csv += csv_row(row);
    }
    return csv;
}

std::string reconcile_all_json(const AllReconciled& all) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/reconciliations/1").key("brews").begin_array();
    for (const auto& brew : all.brews) {
        w.begin_object();
        body_json(w, brew);
        if (!brew.result.suspects.empty()) w.field("suspect", brew.result.suspects.front().reading);
        if (!brew.fault.empty()) w.field("fault", brew.fault);
        w.end_object();
    }
    w.end_array().key("instruments").begin_array();
    for (const auto& i : all.instruments) instrument_json(w, i);
    w.end_array().end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
