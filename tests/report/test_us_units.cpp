// The figures of an answer in pounds, gallons and degrees Fahrenheit. What breaks if this breaks: a brewer in the
// United States weighs, strikes or pitches another amount than was worked out.
#include "../golden_table.hpp"
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/report/units.hpp>

using namespace lotwort::report;
using namespace lotwort::test;

namespace {

std::string us(std::string_view text, std::vector<std::string> names = {}) {
    const AnswersIn in(Units::us, std::move(names));
    return as_answered(text);
}

std::string us_refusal(std::string_view text) {
    const AnswersIn in(Units::us);
    return refusal_as_answered(text);
}

} // namespace

TEST_CASE("the factors are the published ones") {
    const AnswersIn in(Units::us);
    check_golden_table("us_units.tsv", {{"in_us", [](const GoldenRow& r) {
                                             return as_answered(r.arg("of"), r.words.at("unit")).value;
                                         }}});
}

TEST_CASE("an amount is told as the trade writes it, and no finer than it is known") {
    CHECK(us("25 kg") == "55.12 lb");
    CHECK(us("11.339809 kg") == "25 lb");
    CHECK(us("42.524 g") == "1.50 oz");
    CHECK(us("0.5 g") == "0.018 oz");
    CHECK(us("500 g") == "1.10 lb");
    CHECK(us("23 L") == "6.08 gal(US)");
    CHECK(us("200 ml") == "6.76 fl oz");
    CHECK(us("2 hl") == "52.83 gal(US)");
    CHECK(us("66 °C") == "151 °F");
    CHECK(us("65.5 °C") == "149.9 °F");
    CHECK(us("12.3 EBC") == "6.2 SRM");
    CHECK(us("3 L/kg") == "1.44 qt/lb");
    CHECK(us("4.0 L/h") == "1.06 gal(US)/h");
}

TEST_CASE("figures that share a unit go together, and a ± is of the same unit") {
    CHECK(us("24.12 to 26.30 L") == "6.37 to 6.95 gal(US)");
    CHECK(us("28.40 ± 0.22 L") == "7.50 ± 0.06 gal(US)");
    CHECK(us("1230 ± 120 L") == "325 ± 32 gal(US)");
    CHECK(us("66.0 ± 0.5 °C") == "150.8 ± 0.9 °F");
    CHECK(us("0.07 L low (-0.22 to +0.06 L)") == "2.4 fl oz low (-7.4 to +2.0 fl oz)");
}

TEST_CASE("a difference in temperature has no 32") {
    CHECK(us("0.5 °C high (-0.1 to +1.0 °C)") == "0.9 °F high (-0.2 to +1.8 °F)");
    CHECK(us("strike 2 °C warmer") == "strike 4 °F warmer");
    CHECK(us("walls swell by 0.0001 per °C") == "walls swell by 5.55556e-05 per °F");
}

TEST_CASE("money by the unit is by the other unit") {
    CHECK(us("0.56 a litre of beer") == "2.12 a gallon of beer");
    CHECK(us("2.20 a kilogram") == "1.00 a pound");
}

TEST_CASE("what somebody called so stays, and so do codes, days and gravities") {
    CHECK(us("\"5 kg sack\" and `12 L keg`") == "\"5 kg sack\" and `12 L keg`");
    CHECK(us("4 kg of malt 5 kg", {"malt 5 kg"}) == "8.82 lb of malt 5 kg");
    CHECK(us("B12 on 2026-03-05, 1.048 at 20 °C") == "B12 on 2026-03-05, 1.048 at 68 °F");
    CHECK(us("oil 1.2 ml/100 g") == "oil 1.2 ml/100 g");
    CHECK(us("300 L°/kg") == "300 L°/kg");
}

TEST_CASE("a command has as many digits as it takes to mean the same milligram") {
    CHECK(us("next: lotwort brew P1 --add PAM-1=11.339809kg") == "next: lotwort brew P1 --add PAM-1=25lb");
    CHECK(us("lotwort count A 25kg") == "lotwort count A 55.115566lb");
    CHECK(us("lotwort order add X --line \"pale=4x22.679619kg@120\"") ==
          "lotwort order add X --line \"pale=4x50lb@120\"");
    CHECK(us("`lotwort measure B1 final 20L@25C`") == "`lotwort measure B1 final 5.283441galUS@77F`");
    CHECK(us("add --mash-rest 65C") == "add --mash-rest 149F");
    CHECK(us("--boil-off 2.88L/h") == "--boil-off 0.761galUS/h");
    CHECK(us("corrected r1 by r4: 20.8198L@95C") == "corrected r1 by r4: 5.5galUS@203F");
}

TEST_CASE("a refusal keeps the spellings that it offers") {
    CHECK(us_refusal("write 25kg or 25lb") == "write 25kg or 25lb");
    CHECK(us_refusal("a mass is written in kg, g, lb or oz") == "a mass is written in kg, g, lb or oz");
    CHECK(us_refusal("A holds 25 kg; lotwort count A 11.339809kg") == "A holds 55.12 lb; lotwort count A 25lb");
}

TEST_CASE("a column of bare numbers follows its heading, in one unit all the way down") {
    const AnswersIn in(Units::us);
    const Table table{{{"BREW"}, {"LITRES", Align::right}, {"EBC", Align::right}, {"NOTE"}},
                      {{"B1", "23.0", "12.0", "5 kg short"}, {"B2", "+0.5", "(-2.0)", ""}}};
    CHECK(table_text(table) == "BREW  GALLONS     SRM  NOTE\n"
                               "B1       6.08     6.1  5 kg short\n"
                               "B2      +0.13  (-1.0)\n");
    const Table scales{{{"INSTRUMENT"}, {"UNIT"}, {"BIAS"}}, {{"marks", "l", "± 0.5"}, {"stem", "sg", "± 0.001"}}};
    CHECK(table_text(scales) == "INSTRUMENT  UNIT     BIAS\n"
                                "marks       gal(US)  ± 0.13\n"
                                "stem        sg       ± 0.001\n");
}

TEST_CASE("what was put into other units stays when it is laid out again, and ends with the answer") {
    const std::string once = us("25 kg at 20 °C, lotwort count A 25kg");
    CHECK(us(once) == once);
    CHECK(as_answered("25 kg") == "25 kg");
    const AnswersIn in(Units::us);
    {
        const AnswersIn inner(Units::metric);
        CHECK(as_answered("25 kg") == "25 kg");
    }
    CHECK(wrapped("25 kg", 2) == "55.12 lb\n");
}
