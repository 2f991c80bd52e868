// The sentence, the bars and the line ends of a reconciliation.
#include "flowing.hpp"
#include <algorithm>
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
    const std::string text = reconcile_text(brew(), false);
    CHECK(text.find("Brewhouse efficiency 74.3 %: 9 times in 10 it lies within 71.3 to 77.3 %.\n") !=
          std::string::npos);
    CHECK(text.find("The 4 readings and what the brewhouse is expected to do agree.\n") != std::string::npos);
    CHECK(text.find("poorly") == std::string::npos);
}

TEST_CASE("what is poorly known says so, and what is not known says why") {
    auto b = brew();
    b.result.efficiencies.brewhouse = share(0.743, 0.08);
    b.result.efficiencies.transfer = {std::nullopt, "no reading speaks of it"};
    const std::string text = reconcile_text(b, false);
    CHECK(flowing(text).find("so it is poorly known") != std::string::npos);
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
    const std::string text = reconcile_text(b, false);
    CHECK(flowing(text).find("The readings contradict each other (by chance less than once in") != std::string::npos);
    CHECK(flowing(text).find("the kettle-full volume (r3), likely read 2.43 ± 0.51 L") != std::string::npos);
    CHECK(flowing(text).find("cannot be told from what is expected of boil-off") != std::string::npos);
    // an expectation errs the other way round: expected 2.43 too high is 2.43 less in truth
    b.result.suspects[0].is_expectation = true;
    b.result.suspects[0].point = "boil-off";
    CHECK(flowing(reconcile_text(b, true))
              .find("what is expected of boil-off: likely 2.43 ± 0.51 L less than expected") != std::string::npos);
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
    const std::string text = flowing(reconcile_text(b, false));
    CHECK(text.find("Strongest suspect: the kettle-full volume (r3), it cannot be: 75 cm lies outside the vessel's dip "
                    "table. To leave it out: lotwort measure") != std::string::npos);
    CHECK(text.find("No brew fits all of it. Without r3: Brewhouse efficiency") != std::string::npos);
    const std::string json = reconcile_json(b);
    CHECK(json.find("\"impossible\": \"75 cm lies outside the vessel's dip table\"") != std::string::npos);
    CHECK(json.find("likely_error") == std::string::npos);
    CHECK(json.find("\"answered_without\": [\"r3\"]") != std::string::npos);
}

TEST_CASE("the answer is the first lines, the beer is in it, and it fits a terminal; --full has the rest") {
    auto b = brew();
    for (const char* name : {"strike_liquor_l", "fermenter_l", "wort_retained_l", "boil_off_l", "kettle_loss_l"})
        b.result.quantities.emplace_back(name, share(20.0, 0.5));
    for (const char* name : {"original_gravity_sg", "final_gravity_sg"})
        b.result.quantities.emplace_back(name, share(1.05, 0.001));
    for (const char* name : {"apparent_attenuation_pct", "alcohol_abv_pct"})
        b.result.quantities.emplace_back(name, share(5.0, 0.1));
    const std::string text = reconcile_text(b, false), whole = reconcile_text(b, true);
    CHECK(text.starts_with("B1: pale ale on 2026-03-14, garage\nBrewhouse efficiency 74.3 %"));
    for (const char* said : {"in the fermenter", "original gravity", "final gravity", "alcohol by volume",
                             "left in the grain", "boiled off", "left in the kettle"}) {
        CHECK_MESSAGE(text.find(said) != std::string::npos, said);
        CHECK_MESSAGE(whole.find(said) != std::string::npos, said);
    }
    CHECK(text.find("strike liquor") == std::string::npos);
    CHECK(whole.find("strike liquor") != std::string::npos);
    CHECK(whole.find("kettle-full volume") != std::string::npos); // the reading's row
    CHECK(text.find("lotwort reconcile B1 --full\n") != std::string::npos);
    CHECK(std::ranges::count(text, '\n') <= 24);
}

TEST_CASE("how unlikely a contradiction is stands in a brewer's words, two digits at most") {
    auto b = brew();
    const auto said = [&](double p) {
        b.result.test = {40.0, 4, p, false};
        return flowing(reconcile_text(b, false));
    };
    CHECK(said(0.04).find("(by chance once in 25)") != std::string::npos);
    CHECK(said(0.00301).find("(by chance once in 330)") != std::string::npos);
    CHECK(said(1e-7).find("(by chance less than once in 10,000)") != std::string::npos);
}

TEST_CASE("text is wrapped between words, and keeps its line ends") {
    CHECK(wrapped("one two three", 2, 8) == "one two\n  three\n");
    CHECK(wrapped("a\nb", 2, 8) == "a\nb\n");
    CHECK(wrapped("± ± ±", 0, 5) == "± ± ±\n"); // characters count, not bytes
    CHECK(wrapped("show \"old brew house\" now", 2, 8) == "show\n  \"old brew house\"\n  now\n"); // it is to be typed
    CHECK(wrapped("the brewers' own", 2, 12) == "the brewers'\n  own\n");
    CHECK(wrapped("unbreakableword x", 0, 5) == "unbreakableword\nx\n");
}
