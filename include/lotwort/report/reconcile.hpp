// The answers of `lotwort reconcile`.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/infer/learning.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// One brew reconciled, with what is said of it in the head line.
struct ReconciledBrew {
    Date date;
    std::string recipe; // may be empty
    std::string brewhouse;
    Reconciliation result;
    std::string fault; // why it could not be reconciled; empty where it was
};

// First the sentence to act on, then the efficiencies and the beer; full: every quantity, reading and expectation
// too. Within 80 columns; within 24 lines unless full.
[[nodiscard]] std::string reconcile_text(const ReconciledBrew& brew, bool full);
[[nodiscard]] std::string reconcile_csv(const ReconciledBrew& brew);  // every figure: name, value, sd, low, high
[[nodiscard]] std::string reconcile_json(const ReconciledBrew& brew); // lotwort/reconcile/1

// Every brew, and what all of them together say of the instruments.
struct AllReconciled {
    std::vector<ReconciledBrew> brews;
    std::vector<LearnedInstrument> instruments;
};
[[nodiscard]] std::string reconcile_all_text(const AllReconciled& all, bool full);
[[nodiscard]] std::string reconcile_all_csv(const AllReconciled& all);  // a row a brew
[[nodiscard]] std::string reconcile_all_json(const AllReconciled& all); // "brews", "instruments"

// The interval of a share on an axis from `from` to `to` per cent, `width` characters: "    |----o----|   ". An end
// beyond the axis shows as < or >.
[[nodiscard]] std::string interval_bar(const Estimate& share, double from, double to, std::size_t width);

} // namespace lotwort::report
