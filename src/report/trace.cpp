#include "trace_tables.hpp"
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/package.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string facts_text(const Facts& facts) {
    std::string text;
    for (const auto& [what, value] : facts)
        if (!value.empty()) text += wrapped(fmt::format("  {:<14} {}", what, value), 17, line_width());
    return text;
}

// Below a line that says what it is; nothing where it has no rows.
std::string headed(const std::string& heading, const Table& table) {
    return table.rows.empty() ? "" : "\n" + heading + (heading.empty() ? "" : "\n") + table_text(table);
}

std::string packages_text(const std::vector<ReachedPackage>& packages) {
    return headed("Packages of it: " + counted(std::ssize(packages), "run"), packages_table(packages));
}

std::string lot_text(const TracedLot& traced) {
    const Lot& lot = traced.state.lot;
    return fmt::format("{}: {}\n", lot.code, lot.item) + facts_text(lot_facts(traced)) +
           (traced.steps.empty() ? "\nNone of it has gone anywhere.\n" : headed("", steps_table(traced)));
}

std::string package_text(const Package& package, const TraceAnswer& answer) {
    return fmt::format("{}: {}\n", package.code, filled_text(package)) + facts_text(package_facts(package, answer)) +
           (package.sent.empty() ? "\nNone of it has gone anywhere.\n" : headed("", sent_table(package)));
}

std::string brew_text(const TracedBrew& traced, const TraceAnswer& answer) {
    const Brew& brew = traced.brew;
    return fmt::format("{}: {}\n", brew.code, brew.recipe.value_or("no recipe")) +
           facts_text(brew_facts(traced, answer)) +
           (traced.parts.empty() ? "\nNothing is booked as weighed into it.\n"
                                 : headed("", parts_table(traced)) + unused_text(brew)) +
           packages_text(packages_of(traced));
}

} // namespace

std::string trace_text(const TraceAnswer& answer) {
    std::string text;
    if (answer.by_supplier_lot)
        text = fmt::format("Their lot {} came as {}\n\n", answer.asked, counted(std::ssize(answer.lots), "lot"));
    for (std::size_t i = 0; i < answer.lots.size(); ++i) text += (i == 0 ? "" : "\n") + lot_text(answer.lots[i]);
    if (!answer.lots.empty())
        text += headed("All that is made of it: " + reached_words(answer), reached_table(answer)) +
                packages_text(answer.packages);
    if (answer.brew) text += brew_text(*answer.brew, answer);
    if (answer.package) text += package_text(*answer.package, answer);
    text += headed("All that it was made of, the nearest first", origins_table(answer));
    if (answer.booked) text += "\n" + booked_line(*answer.booked);
    return text;
}

} // namespace lotwort::report
