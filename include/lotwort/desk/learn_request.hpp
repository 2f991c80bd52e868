// What the ledger's brews teach, for the verbs that forecast.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/desk/reconcile_input.hpp>
#include <lotwort/infer/learn.hpp>

namespace lotwort::report {
struct Trend;
}

namespace lotwort {

// All brews of the ledger, all malts on hand; the forecast's brewhouse where one is meant. until: only brews
// until that day; of that day itself, where one is left out, those booked before it.
struct LearnScope {
    std::optional<std::string> brewhouse;
    bool only_this_brewhouse = false;
    std::optional<Date> until;
    std::string without_brew;
};
[[nodiscard]] LearnRequest learn_request(const Desk& desk, const Book& book, const LearnScope& scope);

// The inputs, each with what the request's other brews lead to expect of it (infer/learn.hpp, learned_elsewhere); those
// that are not of the request, being older than what is learned from, as they are.
void teach_from_others(const LearnRequest& request, std::vector<ReconcileInput>& inputs);
// The same of all brews of the ledger, by what the desk keeps.
void teach_from_others(const Desk& desk, const Book& book, std::vector<ReconcileInput>& inputs);

// What all brews of the ledger say of their malt lots, by what the desk keeps.
[[nodiscard]] std::vector<LearnedLot> learned_lots(const Desk& desk, const Book& book);

// What they teach, brew by brew, and how the last so many forecasts did.
[[nodiscard]] report::Trend learned_trend(const Desk& desk, const Book& book, const LearnScope& scope, int forecasts);

// What past brews teach of this brewhouse and of the malts on hand, for a forecast; none while there are no brews, with
// what those that cannot be learned from have wrong.
[[nodiscard]] std::optional<Learned> learned_for(const Desk& desk, const Book& book, const std::string& brewhouse);

} // namespace lotwort
