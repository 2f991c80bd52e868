#include <fmt/format.h>
#include <lotwort/report/next.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

std::string next_text(const std::string& ledger, const std::vector<NextStep>& steps) {
    if (steps.empty()) return fmt::format("\nNothing in {} asks for anything today.\n", ledger);
    std::string text = fmt::format("\nWhat {} needs next\n", ledger);
    for (const NextStep& step : steps) text += wrapped("  " + step.why, 4) + wrapped("      " + step.command, 8);
    return text;
}

} // namespace lotwort::report
