// What a brew's page marks is what its words name. What breaks if this breaks: a brewer reads in the text that the
// fermenter's volume is off, and sees the kettle's in red.
#include "infer/simulated_brew.hpp"
#include "markup.hpp"
#include "near.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/report/pages.hpp>
#include <random>

using namespace lotwort;
using namespace lotwort::report;
using namespace lotwort::test;

namespace {

Node read(const std::string& page) {
    Parsed parsed = parse_markup(page);
    REQUIRE_MESSAGE(parsed.root, parsed.fault);
    return *parsed.root;
}

const Node* figure_called(const Node& page, const std::string& title) {
    for (const Node* figure : page.all("figure"))
        if (figure->all("figcaption").front()->text == title) return figure;
    return nullptr;
}

// The names of the rows that are drawn in red.
std::vector<std::string> marked(const Node& figure) {
    std::vector<std::string> names;
    for (const Node* text : figure.all("text"))
        if (const auto style = text->attributes.find("class");
            style != text->attributes.end() && style->second == "strong odd")
            names.push_back(text->text);
    return names;
}

BrewPage page_of(const ReconcileInput& input) {
    BrewPage page;
    page.shown.brew = input.brew;
    page.reconciled.result = reconcile(input);
    return page;
}

// Brew number n: every reading a little off, one far off; each fifth has a top-up that nobody wrote down.
ReconcileInput faulty_brew(unsigned number) {
    std::mt19937 dice(number);
    const auto between = [&](double low, double high) {
        return low + (high - low) * static_cast<double>(dice() % 1000) / 999.0;
    };
    Truth truth;
    if (number % 5 == 0) truth.top_up_l = between(2.0, 5.0);
    SimulatedBrew brew = simulate(truth);
    read_everything(brew);
    auto& readings = brew.input.brew.readings;
    for (std::size_t i = 0; i < readings.size(); ++i) readings[i].id = "r" + std::to_string(i + 1);
    for (Reading& r : readings) {
        if (r.volume) r.volume = *r.volume + Litres(between(-0.25, 0.25));
        if (r.gravity_sg) r.gravity_sg = *r.gravity_sg + GravityDifference(between(-0.001, 0.001));
    }
    if (number % 5 == 0) return brew.input;
    Reading& odd = readings[dice() % readings.size()];
    const double sign = dice() % 2 == 0 ? 1.0 : -1.0;
    if (odd.volume) odd.volume = *odd.volume + Litres(sign * between(2.0, 5.0));
    if (odd.gravity_sg) odd.gravity_sg = *odd.gravity_sg + GravityDifference(sign * between(0.005, 0.012));
    return brew.input;
}

} // namespace

TEST_CASE("the row marked among the readings is the suspect that the text names") {
    int contradicting = 0, expectations = 0;
    for (unsigned number = 1; number <= 80; ++number) {
        CAPTURE(number);
        const BrewPage page = page_of(faulty_brew(number));
        const auto& suspects = page.reconciled.result.suspects;
        const Node shown = read(brew_page(page));
        const Node* figure = figure_called(shown, "Readings against the balance");
        REQUIRE(figure != nullptr);
        const auto red = marked(*figure);
        if (suspects.empty()) {
            CHECK(red.empty());
            continue;
        }
        ++contradicting;
        const Suspect& first = suspects.front();
        if (first.is_expectation) ++expectations;
        REQUIRE(red.size() == 1);
        CHECK(red.front() == (first.is_expectation ? "1. expected " + first.point
                                                   : "1. " + first.reading + " " + first.point + " " + first.kind));
        // as the page's own words and the terminal's have it
        const std::string subject = first.is_expectation
                                        ? "what is expected of " + first.point
                                        : "the " + first.point + " " + first.kind + " (" + first.reading + ")";
        std::string sentences;
        for (const Node* p : shown.all("p")) sentences += p->text + "\n";
        CHECK(sentences.find("Strongest suspect: " + subject) != std::string::npos);
        std::string flat = reconcile_text(page.reconciled, false);
        for (auto at = flat.find("\n  "); at != std::string::npos; at = flat.find("\n  ")) flat.replace(at, 3, " ");
        CHECK(flat.find("Strongest suspect: " + subject) != std::string::npos);
        // the others are numbered
        const auto texts = figure->all("text");
        for (std::size_t rank = 2; rank <= suspects.size(); ++rank)
            CHECK(std::ranges::any_of(texts,
                                      [&](const Node* t) { return t->text.starts_with(std::to_string(rank) + ". "); }));
    }
    CHECK(contradicting > 50);
    CHECK(expectations > 5);
}

TEST_CASE("a reading that no brew can have given is in the chart, and marked") {
    ReconcileInput input = faulty_brew(1);
    for (Reading& r : input.brew.readings)
        if (r.point == ReadingPoint::fermenter && r.gravity_sg) r.gravity_sg = SpecificGravity(1.150);
    BrewPage page = page_of(input);
    Suspect impossible;
    impossible.reading = "r9";
    impossible.point = "cast-out";
    impossible.kind = "volume";
    impossible.impossible = "it is more than the kettle was given";
    page.reconciled.result.suspects.insert(page.reconciled.result.suspects.begin(), impossible);
    const Node shown = read(brew_page(page));
    const Node* figure = figure_called(shown, "Readings against the balance");
    REQUIRE(figure != nullptr);
    CHECK(marked(*figure) == std::vector<std::string>{"1. r9 cast-out volume"});
}

// 0.002 lower than forecast: 0.003 lower by the conversion, 0.001 higher by the weights.
TEST_CASE("a brew's page says why it came otherwise than forecast, each part with its sign") {
    BrewPage page = page_of(faulty_brew(2));
    Explanation explanation;
    explanation.brew = "B1";
    explanation.plan = "P1";
    explanation.learned_from_brews = 3;
    ExplainedOutcome gravity{"original_gravity_sg", normal_estimate(1.050, 0.002), 1.048, true, -0.002, {}};
    gravity.parts = {{"weights", normal_estimate(0.001, 0.0002), true},
                     {"conversion", normal_estimate(-0.003, 0.0005), true},
                     {"reading error", normal_estimate(0.0, 0.001), false}};
    explanation.outcomes = {gravity};
    page.explanation = explanation;
    const Node shown = read(brew_page(page));
    const Node* figure = figure_called(shown, "Original gravity: −0.0020 against the forecast");
    REQUIRE(figure != nullptr);
    std::vector<double> centres; // of the points: the whole, then each part
    for (const Node* circle : figure->all("circle")) centres.push_back(std::stod(circle->attributes.at("cx")));
    REQUIRE(centres.size() == 4);
    const double zero = centres[3];
    CHECK((centres[1] - zero) / (centres[0] - zero) == near(-0.5, 0.02));
    CHECK((centres[2] - zero) / (centres[0] - zero) == near(1.5, 0.02));
    std::string sentences;
    for (const Node* p : shown.all("p")) sentences += p->text + "\n";
    CHECK(sentences.find("Against the forecast of its plan P1 with what 3 brews before it taught.") !=
          std::string::npos);
    CHECK(sentences.find("The gravity is lower than forecast by 0.0020: ") != std::string::npos);
}
