// One step forward and one back as a page, for a recall.
#include "../trace_tables.hpp"
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/package.hpp>
#include <set>

namespace lotwort::report {

namespace {

std::string nowhere() {
    return html::of_text("p", "None of it has gone anywhere.");
}

// How far its beer has gone: "3 packaging runs; 96 of 400 are still here."
std::string packaged_words(const std::vector<ReachedPackage>& packages) {
    if (packages.empty()) return "None of the beer is packaged.";
    int filled = 0, here = 0;
    for (const auto& [of, package] : packages) {
        filled += package.count;
        here += package.count - sent_out(package);
    }
    return fmt::format("{}; {} of {} are still here.", counted(std::ssize(packages), "packaging run"), here, filled);
}

std::string lead(const TraceAnswer& answer) {
    std::string text;
    if (answer.by_supplier_lot)
        text += fmt::format("Their lot {} came as {}. ", answer.asked, counted(std::ssize(answer.lots), "lot"));
    if (!answer.lots.empty())
        text += answer.reached.empty()
                    ? "None of it has gone anywhere."
                    : fmt::format("It is in {}. {}", reached_words(answer), packaged_words(answer.packages));
    if (answer.brew) {
        std::set<std::string> lots;
        for (const TracedPart& part : answer.brew->parts) lots.insert(part.lot.code);
        text +=
            fmt::format("Made of {}. {}", counted(std::ssize(lots), "lot"), packaged_words(packages_of(*answer.brew)));
    }
    if (answer.package)
        text += fmt::format("{} of {} are still here.", answer.package->count - sent_out(*answer.package),
                            answer.package->count);
    return html::of_text("p", text, "class=\"lead\"");
}

std::string packages_part(const std::vector<ReachedPackage>& packages) {
    return html::section("Packages", html::table(as_headings(packages_table(packages)),
                                                 counted(std::ssize(packages), "run") + " of its beer"));
}

std::string of_lot(const TracedLot& traced) {
    const Lot& lot = traced.state.lot;
    return html::section(
        fmt::format("Lot {}: {}", lot.code, lot.item),
        facts(lot_facts(traced), "Where it came from") +
            (traced.steps.empty() ? nowhere() : html::table(as_headings(steps_table(traced)), "Where it went")));
}

std::string of_brew(const TracedBrew& traced, const TraceAnswer& answer) {
    return facts(brew_facts(traced, answer), "The brew") +
           (traced.parts.empty() ? html::of_text("p", "Nothing is booked as weighed into it.")
                                 : html::section("What went in", html::table(as_headings(parts_table(traced)),
                                                                             "Lots, and whose they were"))) +
           packages_part(packages_of(traced));
}

std::string of_package(const Package& package, const TraceAnswer& answer) {
    return facts(package_facts(package, answer), filled_text(package)) +
           (package.sent.empty() ? nowhere() : html::table(as_headings(sent_table(package)), "Where it went"));
}

} // namespace

std::string trace_page(const TraceAnswer& answer) {
    std::string body = lead(answer);
    for (const TracedLot& traced : answer.lots) body += of_lot(traced);
    if (!answer.lots.empty())
        body += html::section("All that is made of it",
                              html::table(as_headings(reached_table(answer)), reached_words(answer))) +
                packages_part(answer.packages);
    if (answer.brew) body += of_brew(*answer.brew, answer);
    if (answer.package) body += of_package(*answer.package, answer);
    body +=
        html::section("All that it was made of", html::table(as_headings(origins_table(answer)), "The nearest first"));
    return html::whole({"Trace of " + answer.asked, "as of " + to_iso(answer.today), body});
}

} // namespace lotwort::report
