// What to type about what an answer remarks. The arithmetic rooms say what is so; the program's commands are said here.
#pragma once

#include <lotwort/brew/planned.hpp>
#include <lotwort/report/reconcile.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

// The answer's own remarks, and those that name a command.
[[nodiscard]] std::vector<std::string> plan_remarks(const PlannedBrew& planned);
[[nodiscard]] std::vector<std::string> reconcile_remarks(const ReconciledBrew& brew);

} // namespace lotwort::report
