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

// What was asked for; none where the house is to say.
std::optional<report::Units> wished(const Call& call) {
    const bool is_for_programs = call.args.holds("json") || (call.command().has_rows && call.args.holds("csv"));
    if (is_for_programs || !call.command().has_units || call.command().ledger == LedgerUse::none)
        return report::Units::metric;
    if (const auto typed = read_option(call, "units", parse_units)) return typed;
    try {
        return call.surroundings.units ? std::optional(parse_units(*call.surroundings.units)) : std::nullopt;
    } catch (const Error& fault) {
        throw Error(fault.kind(), std::string("LOTWORT_UNITS: ") + fault.what(), fault.hint());
    }
}

// What is asked of the ledger that the verb has opened; of one that it has not, where it can be read: else the verb
// says why it cannot.
template <class Ask>
auto asked(const Call& call, const Ask& ask) -> decltype(ask(std::declval<const Ledger&>())) {
    if (call.command().ledger == LedgerUse::creates) return {};
    if (const Ledger* opened = call.opened()) return ask(*opened);
    try {
        return ask(Ledger(call.ledger_path(), Access::read));
    } catch (const Error&) {
        return {};
    }
}

std::vector<std::string> names_in(const Ledger& ledger) {
    std::vector<std::string> names = ledger.own_words();
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
    return names;
}

report::AnswersIn::Wish wish_of(const Call& call, report::Units units) {
    if (units == report::Units::metric) return {};
    report::AnswersIn::Wish wish{units, asked(call, names_in)};
    for (const KindOfItem& kind : kinds()) {
        wish.names.emplace_back(kind.name);
        for (const std::string_view other : other_names(kind)) wish.names.emplace_back(other);
    }
    return wish;
}

} // namespace

std::optional<report::Units> work_in(const std::vector<Brewhouse>& houses) {
    std::optional<report::Units> agreed;
    for (const Brewhouse& house : houses) {
        if (!house.works_in) continue;
        if (agreed && *agreed != *house.works_in) return std::nullopt;
        agreed = house.works_in;
    }
    return agreed;
}

report::AnswersIn answers_in(const Call& call, std::optional<report::Units> house) {
    const report::Units units = wished(call).value_or(house.value_or(report::Units::metric));
    return report::AnswersIn([&call, units] { return wish_of(call, units); });
}

report::AnswersIn answers_in(const Call& call) {
    return report::AnswersIn([&call, typed = wished(call)] {
        const auto house = [](const Ledger& ledger) { return work_in(ledger.brewhouses()); };
        const auto units = typed ? typed : asked(call, house);
        return wish_of(call, units.value_or(report::Units::metric));
    });
}

} // namespace lotwort::verbs
