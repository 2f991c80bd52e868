// Contrast of the pages' colours, worked out by the formulas of WCAG 2.1 (relative luminance, contrast ratio).
#include "near.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/report/palette.hpp>
#include <string>
#include <vector>

using namespace lotwort::test;

using namespace lotwort::report;

namespace {

double channel(std::string_view hex) {
    const double share = std::stoi(std::string(hex), nullptr, 16) / 255.0;
    return share <= 0.03928 ? share / 12.92 : std::pow((share + 0.055) / 1.055, 2.4);
}

double luminance(std::string_view colour) {
    REQUIRE(colour.size() == 7);
    return 0.2126 * channel(colour.substr(1, 2)) + 0.7152 * channel(colour.substr(3, 2)) +
           0.0722 * channel(colour.substr(5, 2));
}

double contrast(std::string_view a, std::string_view b) {
    const double one = luminance(a), other = luminance(b);
    return (std::max(one, other) + 0.05) / (std::min(one, other) + 0.05);
}

} // namespace

TEST_CASE("the formulas are those of WCAG") {
    CHECK(contrast("#000000", "#ffffff") == near(21.0));
    CHECK(contrast("#777777", "#ffffff") == near(4.48, 0.001)); // WebAIM's example of a near miss
}

TEST_CASE("text has 4.5 to 1 on all it stands on, marks 3 to 1, by day and by night") {
    for (const auto shade : {&Colour::light, &Colour::dark}) {
        std::vector<std::string_view> grounds;
        if (shade == &Colour::light) grounds.emplace_back("#ffffff"); // paper, printed
        for (const Colour& colour : palette())
            if (colour.ink == Ink::ground) grounds.push_back(colour.*shade);
        REQUIRE(grounds.size() >= 2);
        for (const Colour& colour : palette()) {
            CAPTURE(std::string(colour.name));
            for (const auto ground : grounds) {
                const double ratio = contrast(colour.*shade, ground);
                if (colour.ink == Ink::text) CHECK(ratio >= 4.5);
                if (colour.ink == Ink::mark) CHECK(ratio >= 4.5); // odd lots are written in one of them
            }
            // lines are drawn over bands too
            if (colour.ink == Ink::mark || colour.name == "copper")
                for (const Colour& fill : palette())
                    if (fill.ink == Ink::fill) CHECK(contrast(colour.*shade, fill.*shade) >= 3.0);
        }
    }
}
