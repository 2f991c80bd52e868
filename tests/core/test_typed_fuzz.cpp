#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/typed.hpp>
#include <random>
#include <regex>
#include <string>
#include <vector>

using namespace lotwort;

// What breaks if this breaks: a slip of the finger crashes the program, or is booked as something else.

namespace {

// The grammar of typed.hpp written a second time, as a regular expression.
const std::regex& grammar() {
    static const std::string number = R"(-?([0-9]+([.,' ][0-9]+)*\.?|\.[0-9]+)([eE][-+]?[0-9]+)?)";
    static const std::string degree = "(\xC2\xB0)?";
    static const std::string country = R"((gal|qt|pt|floz|bbl)(\((us|uk)\)|us|uk))";
    static const std::string mass = "(kgs?|kilos?|g|grams?|lbs?|pounds?|ozs?|ounces?|mg|t)";
    static const std::string volume = "(l|lit(re|er)s?|ml|hl|dl|cl|" + country + ")";
    static const std::string hours = "(min|mins|minutes?|h|hrs?|hours?)";
    static const std::string units =
        "(" + mass + "|" + volume + "|" + volume + "/" + mass + "|" + volume + "/" + hours + "|pieces?|pcs?|" + degree +
        "p|plato|" + degree + "bx|brix|sg|kg/m3|g/ml|" + degree + "c|" + degree +
        "f|ebc|srm|\xC2\xB0l|lov|lovibond|%|" + hours + "|d|days?|weeks?|cm|mm|m|in|ft|l(\xC2\xB0)?/kg|ppg|wk|ibu|ebu)";
    static const std::string sign = "(\xC2\xB1|\\+-|\\+/-)";
    static const std::string behind = "( *" + sign + " *" + number + " *(" + units + ")?)?"; // 11%±0.3
    static const std::regex whole("^ *" + number + " *(" + sign + " *" + number + " *)?((" + units + behind +
                                      ")|h[0-5][0-9](min)?)?( *@ *" + number + " *" + degree + "[cf])? *$",
                                  std::regex::ECMAScript | std::regex::icase | std::regex::optimize);
    return whole;
}

std::string random_text(std::mt19937& random) {
    static const std::vector<std::string> pieces{
        "1",     "250", "0.5", "1.048", "-",     ".",  ",",   "e",        "E5", "kg",
        "g",     "L",   "gal", "(US)",  "galUS", "P",  "Bx",  "C",        "F",  "@",
        "±",     "+-",  "%",   "min",   "h",     "30", "EBC", "\xC2\xB0", " ",  "\xC3",
        "nan",   "inf", "0x",  "\n",    "lb",    "oz", "/h",  "/kg",      "pt", "999999999999999999999",
        "e-400", "d",   "\\",  "'",     "days",  "x"};
    // half of them begin well, so that the end of the grammar is reached too
    std::string text = random() % 2 == 0 ? "25" : "";
    const auto length = std::uniform_int_distribution<int>(0, 6)(random);
    for (int i = 0; i < length; ++i) {
        if (std::uniform_int_distribution<int>(0, 9)(random) == 0)
            text += static_cast<char>(std::uniform_int_distribution<int>(1, 255)(random));
        else
            text += pieces[std::uniform_int_distribution<std::size_t>(0, pieces.size() - 1)(random)];
    }
    return text;
}

} // namespace

TEST_CASE("20,000 random strings: nothing crashes, and what is taken is in the grammar") {
    const unsigned seed = std::random_device{}();
    CAPTURE(seed);
    std::mt19937 random(seed);
    int taken = 0;
    for (int i = 0; i < 20'000; ++i) {
        const std::string text = random_text(random);
        const auto expected = i % 2 == 0 ? Dimension::any : static_cast<Dimension>(i % 15);
        try {
            (void)parse_typed(text, expected);
            ++taken;
            const bool lovibond = expected == Dimension::colour && std::regex_search(text, std::regex("[lL]"));
            CHECK_MESSAGE((lovibond || std::regex_match(text, grammar())), text);
        } catch (const Error& e) {
            CHECK(e.kind() == ErrorKind::refused);
        }
    }
    CHECK(taken > 200); // else the strings are too wild to try anything
}
