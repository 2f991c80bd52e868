// What a trace tells, as facts and tables; shared by its text and its page.
#pragma once

#include <lotwort/report/table.hpp>
#include <lotwort/report/trace.hpp>
#include <string>
#include <utility>
#include <vector>

namespace lotwort::report {

using Facts = std::vector<std::pair<std::string, std::string>>; // those without a value are not told

[[nodiscard]] Facts lot_facts(const TracedLot& traced);
[[nodiscard]] Facts brew_facts(const TracedBrew& traced, const TraceAnswer& answer);
[[nodiscard]] Facts package_facts(const Package& package, const TraceAnswer& answer);

// Each without rows where there is nothing to tell.
[[nodiscard]] Table steps_table(const TracedLot& traced);
[[nodiscard]] Table parts_table(const TracedBrew& traced);
[[nodiscard]] Table sent_table(const Package& package);
// All that hangs on the lots. Where that is their own brews alone, their own tables have said it.
[[nodiscard]] Table reached_table(const TraceAnswer& answer);
// "3 lots and 1 brew"
[[nodiscard]] std::string reached_words(const TraceAnswer& answer);
// Runs of packages, and whom each went to.
[[nodiscard]] Table packages_table(const std::vector<ReachedPackage>& packages);
[[nodiscard]] std::vector<ReachedPackage> packages_of(const TracedBrew& traced);
// What beer was made of, beyond what its own table says.
[[nodiscard]] Table origins_table(const TraceAnswer& answer);

} // namespace lotwort::report
