// Words for what a reconciliation says; shared by its text, CSV and JSON.
#pragma once

#include <array>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/report/reconcile.hpp>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lotwort::report {

struct NamedEfficiency {
    std::string_view name; // for machines: kettle_yield
    std::string_view said; // for people: kettle yield
    const Estimated& estimated;
};

[[nodiscard]] std::array<NamedEfficiency, 5> named(const Efficiencies& efficiencies);

// strike_liquor_l: "strike liquor" and L; original_gravity_sg: "original gravity" and none.
[[nodiscard]] std::pair<std::string, std::string> words_of_quantity(const std::string& name);

// Decimals that a figure of this unit is read to, and the unit as people write it.
[[nodiscard]] int decimals_of_unit(std::string_view unit);
[[nodiscard]] std::string shown_unit(std::string_view unit);

// "kettle-full volume (r1)", "what is expected of boil-off".
[[nodiscard]] std::string subject(const Suspect& suspect);
// "r6 volume", "what is expected of kettle-loss".
[[nodiscard]] std::vector<std::string> not_told_from(const Suspect& suspect);
// "likely read 2.4 ± 0.5 L too high"; of an expectation "likely 1.1 ± 0.3 L more than expected".
[[nodiscard]] std::string likely_error(const Suspect& suspect);

// "by chance once in 30": a p-value in a brewer's words.
[[nodiscard]] std::string chance_text(double p);
// A figure of the suspect's likely error or its p; none where it is impossible, and has neither.
[[nodiscard]] std::optional<double> said_of(const Suspect& suspect, double figure);

// What to type about the strongest suspect, as a line of its own; empty where there is nothing.
[[nodiscard]] std::string set_aside_line(const std::string& brew, const std::vector<Suspect>& suspects);

// Whether the readings agree, with what; and which is the strongest suspect: nothing where there is none.
[[nodiscard]] std::string agreement_sentence(const Reconciliation& result);
[[nodiscard]] std::string suspect_sentence(const Reconciliation& result);
// The sentences to act on.
[[nodiscard]] std::string verdict(const ReconciledBrew& brew);

} // namespace lotwort::report
