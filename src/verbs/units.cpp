#include "shared.hpp"
#include <filesystem>
#include <lotwort/core/nearest.hpp>
#include <lotwort/stock/kinds.hpp>
#include <lotwort/verbs/units.hpp>

namespace lotwort::verbs {

namespace {

report::Units parse_units(const std::string& text) {
    return parse_word<report::Units>(lowered(text), "a system of units");
}

report::Units wished(const Call& call) {
    const bool is_for_programs = call.args.holds("json") || (call.command().has_rows && call.args.holds("csv"));
    if (is_for_programs || !call.command().has_units) return report::Units::metric;
    if (const auto typed = read_option(call, "units", parse_units)) return *typed;
    try {
        return call.surroundings.units ? parse_units(*call.surroundings.units) : report::Units::metric;
    } catch (const Error& fault) {
        throw Error(fault.kind(), std::string("LOTWORT_UNITS: ") + fault.what(), fault.hint());
    }
}

// Of a ledger that can be read; where it cannot, the verb says why.
std::vector<std::string> names_in(const std::string& path) {
    std::vector<std::string> names;
    try {
        const Ledger ledger(path, Access::read);
        const Book book = ledger.definitions();
        const auto add = [&](const auto& records) {
            for (const auto& record : records) names.push_back(record.name);
        };
        add(book.items);
        add(book.recipes);
        add(book.brewhouses);
        add(book.instruments);
        add(book.suppliers);
        for (const LotState& lot : ledger.lots()) names.push_back(lot.lot.code);
    } catch (const Error&) {
        names.clear();
    }
    return names;
}

} // namespace

report::AnswersIn answers_in(const Call& call) {
    const report::Units units = call.command().ledger == LedgerUse::none ? report::Units::metric : wished(call);
    std::vector<std::string> names;
    if (units != report::Units::metric) {
        if (call.command().ledger != LedgerUse::creates) names = names_in(call.ledger_path());
        for (const KindOfItem& kind : kinds()) {
            names.emplace_back(kind.name);
            for (const std::string_view other : other_names(kind)) names.emplace_back(other);
        }
    }
    return report::AnswersIn(units, std::move(names));
}

} // namespace lotwort::verbs
