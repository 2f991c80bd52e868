// The sentence, the bars and the line ends of a reconciliation.
#include "flowing.hpp"
#include <doctest/doctest.h>
#include <lotwort/report/reconcile.hpp>
#include <lotwort/report/text.hpp>

using namespace lotwort;
using namespace lotwort::report;
using lotwort::test::flowing;

namespace {

Estimated share(double value, double sd) {
    return {normal_estimate(value, sd), {}};
}

ReconciledBrew brew() {
    ReconciledBrew b;
    b.date = *parse_iso_date("2026-03-14");
    b.recipe = "pale ale";
    b.brewhouse = "garage";
    b.result.brew = "B1";
    b.result.readings_used = 4;
    b.result.efficiencies = {share(0.92, 0.03), share(0.85, 0.02), share(0.78, 0.02), share(0.95, 0.02),
                             share(0.743, 0.018)};
    b.result.test = {3.0, 4, 0.56, true};
    b.result.readings = {{"r3", "kettle-full", "volume", "l", 31.4, 29.0, 0.5, 4.8, false}};
    return b;
}

} // namespace

TEST_CASE("a bar spans the interval on its axis, with the value in it") {
    // 50 to 100 % over 11 characters: 5 points each
    CHECK(interval_bar({0.75, 0.0, 0.65, 0.85}, 50, 100, 11) == "   |-o-|   ");
    CHECK(interval_bar({0.50, 0.0, 0.40, 0.60}, 50, 100, 11) == "o-|        ");
    CHECK(interval_bar({0.95, 0.0, 0.90, 1.20}, 50, 100, 11) == "        |o>");
    CHECK(interval_bar({0.75, 0.0, 0.75, 0.75}, 50, 100, 11) == "     o     ");
}

TEST_CASE("the first sentence is the answer: the efficiency with its interval, then whether the readings agree") {
    // 0.743 +- 1.645 * 0.018 = 71.3 to 77.3 %
    const std::string text = reconcile_text(brew());
    CHECK(text.find("Brewhouse efficiency 74.3 %: 9 times in 10 it lies within 71.3 to 77.3 %.\n") !=
          std::string::npos);
    CHECK(text.find("The 4 readings and what the brewhouse is expected to do agree (p = 0.56).\n") !=
          std::string::npos);
    CHECK(text.find("badly") == std::string::npos);
}

TEST_CASE("what is known badly says so, and what is not known says why") {
    auto b = brew();
    b.result.efficiencies.brewhouse = share(0.743, 0.08);
    b.result.efficiencies.transfer = {std::nullopt, "no reading speaks of it"};
    const std::string text = reconcile_text(b);
    CHECK(flowing(text).find("so it is known badly") != std::string::npos);
    CHECK(text.find("transfer: no reading speaks of it\n") != std::string::npos);
    const std::string json = reconcile_json(b);
    CHECK(json.find("\"value\": null") != std::string::npos);
    CHECK(json.find("\"reason\": \"no reading speaks of it\"") != std::string::npos);
}

TEST_CASE("a suspect is named with its error in its own unit, and with what it cannot be told from") {
    auto b = brew();
    b.result.test = {40.0, 4, 1e-7, false};
    Suspect s;
    s.reading = "r3";
    s.point = "kettle-full";
    s.kind = "volume";
    s.unit = "l";
    s.likely_error = 2.43;
    s.likely_error_sd = 0.51;
    s.cannot_be_told_from = {"expect:boil-off volume"};
    s.efficiencies_without = b.result.efficiencies;
    b.result.suspects = {s};
    const std::string text = reconcile_text(b);
    CHECK(text.find("The readings contradict each other (p below 0.0001).\n") != std::string::npos);
    CHECK(flowing(text).find("the kettle-full volume (r3), likely read 2.43 ± 0.51 L") != std::string::npos);
    CHECK(flowing(text).find("cannot be told from expect:boil-off volume") != std::string::npos);
    // an expectation errs the other way round: expected 2.43 too high is 2.43 less in truth
    b.result.suspects[0].is_expectation = true;
    b.result.suspects[0].point = "boil-off";
    CHECK(flowing(reconcile_text(b)).find("what is expected of boil-off: likely 2.43 ± 0.51 L less than expected") !=
          std::string::npos);
}

TEST_CASE("a reading that cannot be is said first, with what the figures are without") {
    auto b = brew();
    Suspect s;
    s.reading = "r3";
    s.point = "kettle-full";
    s.kind = "volume";
    s.impossible = "75 cm lies outside the vessel's dip table";
    s.efficiencies_without = b.result.efficiencies;
    b.result.suspects = {s};
    b.result.answered_without = {"r3"};
    const std::string text = flowing(reconcile_text(b));
    CHECK(text.find("Strongest suspect: the kettle-full volume (r3), it cannot be: 75 cm lies outside the vessel's dip "
                    "table. To leave it out: lotwort measure") != std::string::npos);
    CHECK(text.find("No brew fits all of it. Without r3: Brewhouse efficiency") != std::string::npos);
    const std::string json = reconcile_json(b);
    CHECK(json.find("\"impossible\": \"75 cm lies outside the vessel's dip table\"") != std::string::npos);
    CHECK(json.find("likely_error") == std::string::npos);
    CHECK(json.find("\"answered_without\": [\"r3\"]") != std::string::npos);
}

TEST_CASE("text is wrapped between words, and keeps its line ends") {
    CHECK(wrapped("one two three", 2, 8) == "one two\n  three\n");
    CHECK(wrapped("a\nb", 2, 8) == "a\nb\n");
    CHECK(wrapped("± ± ±", 0, 5) == "± ± ±\n"); // characters count, not bytes
    CHECK(wrapped("show \"old brew house\" now", 2, 8) == "show\n  \"old brew house\"\n  now\n"); // it is to be typed
    CHECK(wrapped("the brewers' own", 2, 12) == "the brewers'\n  own\n");
    CHECK(wrapped("unbreakableword x", 0, 5) == "unbreakableword\nx\n");
}
