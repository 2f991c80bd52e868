#include "near.hpp"
#include "typed_units.hpp"
#include <doctest/doctest.h>
#include <functional>
#include <lotwort/core/error.hpp>
#include <lotwort/core/typed.hpp>
#include <string>
#include <vector>

using namespace lotwort;
using namespace lotwort::test;

// What breaks if this breaks: a right number is booked under a wrong unit.

namespace {

template <class Value>
double as(std::string_view text, Dimension expected = Dimension::any) {
    const Typed typed = parse_typed(text, expected);
    REQUIRE_MESSAGE(std::holds_alternative<Value>(typed.value), std::string(text));
    return std::get<Value>(typed.value).value();
}

// What a refusal says: "message | hint".
std::string refusal(const std::function<void()>& read) {
    try {
        read();
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::refused);
        return std::string(e.what()) + " | " + e.hint();
    }
    return "taken";
}

std::string mass_refusal(std::string_view text) {
    return refusal([&] { (void)parse_mass(text); });
}

} // namespace

TEST_CASE("masses in the units of both trades come to kilograms") {
    CHECK(parse_mass("25kg").value() == 25.0);
    CHECK(parse_mass("1.2 kg").value() == 1.2);
    CHECK(parse_mass("500g").value() == 0.5);
    CHECK(parse_mass("1e3g").value() == 1.0);
    CHECK(parse_mass(".5kg").value() == 0.5);
    CHECK(parse_mass("1t").value() == 1000.0);
    // the international pound, 0.45359237 kg exactly, of 16 ounces
    CHECK(parse_mass("55lb").value() == near(24.94758035, 1e-12));
    CHECK(parse_mass("2oz").value() == near(0.05669904625, 1e-12));
    CHECK(parse_mass("25KG").value() == 25.0);
    CHECK(parse_mass("25kgs").value() == 25.0);
    CHECK(parse_mass("8ounces").value() == near(0.226796185, 1e-12));
}

TEST_CASE("volumes say which gallon") {
    CHECK(parse_volume("23L").value() == 23.0);
    CHECK(parse_volume("500ml").value() == 0.5);
    CHECK(parse_volume("5hl").value() == 500.0);
    CHECK(parse_volume("6gal(US)").value() == near(22.712470704, 1e-12)); // 231 cubic inches each
    CHECK(parse_volume("6galUS").value() == parse_volume("6 gal(us)").value());
    CHECK(parse_volume("5gal(UK)").value() == near(22.73045, 1e-12));
    CHECK(parse_volume("40pt(UK)").value() == near(22.73045, 1e-12)); // eight to the gallon
    CHECK(parse_volume("1floz(US)").value() == near(0.0295735295625, 1e-12));
    CHECK(parse_volume("1floz(UK)").value() == near(0.0284130625, 1e-12));
    CHECK(parse_volume("1bbl(US)").value() == near(117.347765304, 1e-12));
    CHECK(parse_volume("1bbl(UK)").value() == near(163.65924, 1e-12));
    CHECK(refusal([] { (void)parse_volume("6gal"); }) ==
          "`6gal`: which gallon, the American or the British one? | write '6gal(US)' or '6gal(UK)', in quotes; 6galUS "
          "and 6galUK need none");
    CHECK(refusal([] { (void)parse_volume("40pints"); }) ==
          "`40pints`: which pint, the American or the British one? | write '40pt(US)' or '40pt(UK)', in quotes; "
          "40ptUS and 40ptUK need none");
}

TEST_CASE("a gravity is a specific gravity, plato or Brix, and stays what it was typed as") {
    CHECK(std::get<SpecificGravity>(parse_gravity("1.048")).value() == 1.048);
    CHECK(std::get<SpecificGravity>(parse_gravity("1.048sg")).value() == 1.048);
    CHECK(std::get<SpecificGravity>(parse_gravity("0.998")).value() == 0.998);
    CHECK(std::get<Plato>(parse_gravity("12P")).value() == 12.0);
    CHECK(std::get<Plato>(parse_gravity("12°P")).value() == 12.0);
    CHECK(std::get<Brix>(parse_gravity("11.8Bx")).value() == 11.8);
    CHECK(refusal([] { (void)parse_gravity("12"); }) == "`12` has no unit | write 12P or 12Bx");
    CHECK(refusal([] { (void)parse_gravity("1048"); }) == "`1048` has no unit | write 1.048");
    CHECK(refusal([] { (void)parse_gravity("1.5"); }) ==
          "`1.5` is not a believable gravity | from 0.98 to 1.2 is taken");
    CHECK(refusal([] { (void)parse_gravity("60P"); }) ==
          "`60P` is not a believable gravity | from -5 to 45 P is taken");
}

TEST_CASE("temperatures, colours and the rest") {
    CHECK(parse_temperature("65C").value() == 65.0);
    CHECK(parse_temperature("-18°C").value() == -18.0);
    CHECK(parse_temperature("149F").value() == near(65.0, 1e-12));
    CHECK(parse_temperature("32F").value() == 0.0);
    CHECK(std::get<Ebc>(parse_colour("6EBC")).value() == 6.0);
    CHECK(std::get<Srm>(parse_colour("3.5SRM")).value() == 3.5);
    CHECK(std::get<Lovibond>(parse_colour("3L")).value() == 3.0);
    CHECK(std::get<Lovibond>(parse_colour("3°L")).value() == 3.0);
    CHECK(parse_percent("81.5%").value() == 81.5);
    CHECK(parse_minutes("60min").value() == 60.0);
    CHECK(parse_minutes("1h").value() == 60.0);
    CHECK(parse_minutes("1h30").value() == 90.0);
    CHECK(parse_minutes("1h05min").value() == 65.0);
    CHECK(parse_minutes("1.5h").value() == 90.0);
    CHECK(parse_days("14days") == 14);
    CHECK(parse_days("2weeks") == 14);
    CHECK(parse_length("12cm").value() == 12.0);
    CHECK(parse_length("5in").value() == near(12.7, 1e-12));
    CHECK(parse_litres_per_kilogram("0.96L/kg").value() == 0.96);
    CHECK(parse_litres_per_hour("3L/h").value() == 3.0);
    CHECK(parse_litres_per_hour("1galUS/h").value() == near(3.785411784, 1e-12));
    CHECK(parse_litres_per_hour("0.1 L/min").value() == near(6.0, 1e-12));
    CHECK(parse_litres_per_kilogram("1.5qtUS/lb").value() == near(3.1295267, 1e-7));
    CHECK(parse_bitterness("35IBU").value() == 35.0);
    CHECK(refusal([] { (void)parse_temperature("500C"); }) ==
          "`500C` is not a believable temperature | from -80 to 120 C is taken");
    CHECK(refusal([] { (void)parse_temperature("65"); }) == "`65` has no unit | write 65C or 65F");
    CHECK(refusal([] { (void)parse_colour("6"); }) == "`6` has no unit | write 6EBC or 6SRM");
    CHECK(refusal([] { (void)parse_percent("4.2"); }) == "`4.2` has no unit | write 4.2%");
    CHECK(refusal([] { (void)parse_minutes("60"); }) == "`60` has no unit | write 60min");
    CHECK(refusal([] { (void)parse_minutes("1h75"); }) != "taken");
    CHECK(refusal([] { (void)parse_days("1h"); }) ==
          "`1h` is not whole days | write whole days or weeks, such as 14days or 2weeks");
}

TEST_CASE("commas and thousands are taken where they mean one number, and asked about where they may be two") {
    CHECK(parse_mass("2,5kg").value() == 2.5);
    CHECK(parse_mass("0,250kg").value() == 0.25); // no thousands begin with a nought
    CHECK(parse_mass("1.250,5kg").value() == 1250.5);
    CHECK(parse_mass("1,250.5kg").value() == 1250.5);
    CHECK(parse_mass("1 250 kg").value() == 1250.0);
    CHECK(parse_mass("1'250kg").value() == 1250.0);
    CHECK(parse_mass("1.250kg").value() == 1.25);                              // the point is the decimal sign
    CHECK(parse_percent("4,250%").value() == 4.25);                            // 4250 % is no share
    CHECK(std::get<SpecificGravity>(parse_gravity("1,048")).value() == 1.048); // and 1048 no gravity
    CHECK(parse_temperature("-0,5C").value() == -0.5);
    CHECK(mass_refusal("-1,250kg") == "`-1,250kg` is below nothing | write it without the sign: 1,250kg");
    for (const char* junk : {"1,25,5kg", "12,34.5kg", "1 25kg", "1.2.3kg", "1,,5kg", "1, 5kg"})
        CHECK_MESSAGE(mass_refusal(junk) != "taken", junk);
}

TEST_CASE("an amount of stock is a mass, a volume or a number of pieces") {
    CHECK(parse_amount("25kg") == Amount::of(Kilograms(25.0)));
    CHECK(parse_amount("5L") == Amount::of(Litres(5.0)));
    CHECK(parse_amount("3pieces") == Amount::pieces(3));
    CHECK(refusal([] { (void)parse_amount("25"); }) == "`25` has no unit | write 25kg or 25L");
    CHECK(refusal([] { (void)parse_amount("2.5pieces"); }) ==
          "`2.5pieces`: pieces are counted whole | write a whole number of them, such as 3pieces");
}

TEST_CASE("a refusal shows what would be taken") {
    CHECK(refusal([] { (void)parse_days("7"); }) == "`7` has no unit | write 7days");
    CHECK(refusal([] { (void)parse_amount("4sacks"); }) ==
          "`4sacks` does not say how much is in one | write what they hold, such as 25kg; what is counted is written "
          "4pieces");
    CHECK(mass_refusal("25") == "`25` has no unit | write 25kg or 25lb");
    CHECK(mass_refusal("25kq") == "`25kq`: there is no unit `kq` | a mass is written in kg, g, lb or oz");
    CHECK(mass_refusal("24kg left") == "`24kg left`: there is no unit `kg left` | write 24kg");
    CHECK(mass_refusal("25L") == "`25L` is a volume where a mass is asked for | a mass is written in kg, g, lb or oz");
    CHECK(mass_refusal("25gal") ==
          "`25gal` is a volume where a mass is asked for | a mass is written in kg, g, lb or oz");
    CHECK(mass_refusal("1,000kg") ==
          "`1,000kg` may be either of two numbers | write 1.000kg, or 1000kg if the comma parts thousands");
    CHECK(mass_refusal("-5kg") == "`-5kg` is below nothing | write it without the sign: 5kg");
    CHECK(mass_refusal("") == "`` is not a mass | write a number and its unit, such as 25kg");
    CHECK(mass_refusal("kg") == "`kg` is not a mass | write a number and its unit, such as 25kg");
    CHECK(mass_refusal("1e999kg") ==
          "`1e999kg` holds a number too large or too small to keep | write it plainly, such as 25kg");
    for (const char* junk : {"nan kg", "inf kg", "0x10kg", "25kg!", "25 kg 3", "25kg@", "2 5kg", "+5kg", "--5kg",
                             "5kg5", "25kg@20", "25\tkg", "1.2.3kg", "1e kg", "25kg\n"})
        CHECK_MESSAGE(mass_refusal(junk) != "taken", junk);
}

TEST_CASE("a reading carries the temperature it was taken at") {
    const auto volume = parse_volume_at("28L@95C");
    CHECK(volume.value.value() == 28.0);
    CHECK(volume.at->value() == 95.0);
    CHECK(!parse_volume_at("28L").at);
    const auto gravity = parse_gravity_at("1.040@68F");
    CHECK(std::get<SpecificGravity>(gravity.value).value() == 1.040);
    CHECK(gravity.at->value() == near(20.0, 1e-12));
    CHECK(refusal([] { (void)parse_volume_at("28L@95"); }) == "`95` has no unit | write 95C or 95F");
    CHECK(refusal([] { (void)parse_volume_at("28L@950C"); }) ==
          "`950C` is not a believable temperature | from -80 to 120 C is taken");
    CHECK(refusal([] { (void)parse_volume_at("28L@20C@30C"); }) != "taken");
    CHECK(refusal([] { (void)parse_mass("28kg@95C"); }) ==
          "`28kg@95C`: no temperature is taken here | leave out what stands "
          "behind the number's unit: 28kg");
}

TEST_CASE("a value may carry its standard uncertainty, in its own unit") {
    for (const char* text : {"1.048±0.001", "1.048 ± 0.001", "1.048+-0.001", "1.048+/-0.001"}) {
        const Typed typed = parse_typed(text);
        CHECK(std::get<SpecificGravity>(typed.value).value() == 1.048);
        CHECK(*typed.sd == 0.001);
    }
    const Typed warm = parse_typed("149±1.8F@20C");
    CHECK(*warm.sd == near(1.0, 1e-12)); // a difference: 1.8 F is 1 C, without the 32
    CHECK(*parse_typed("500±5g").sd == near(0.005));
    CHECK(refusal([] { (void)parse_typed("1.048±0"); }) ==
          "`1.048±0`: an uncertainty is above nothing | write it behind the ±, such as 1.048±0.001");
    CHECK(refusal([] { (void)parse_mass("25±1kg"); }) ==
          "`25±1kg`: no uncertainty is taken here | leave the ± part out; an instrument's uncertainty is stated with "
          "the instrument");
}

TEST_CASE("where nothing is expected, the unit settles it") {
    CHECK(as<SpecificGravity>("1.048") == 1.048);
    CHECK(as<Bare>("25") == 25.0);
    CHECK(as<Litres>("3L") == 3.0);
    CHECK(as<Lovibond>("3L", Dimension::colour) == 3.0);
    CHECK(as<LitresPerKilogram>("300L/kg", Dimension::extract) == 300.0);
    CHECK(as<Percent>("81.5%", Dimension::extract) == 81.5);
    CHECK(as<PointsPerPoundGallon>("36ppg") == 36.0);
    CHECK(as<KilogramsPerCubicMetre>("1.048g/ml") == 1048.0);
    CHECK(as<WindischKolbach>("250WK") == 250.0);
}

TEST_CASE("money has two decimals at most and one currency") {
    CHECK(parse_money_minor("32.50", "EUR") == 3250);
    CHECK(parse_money_minor("32.5", "EUR") == 3250);
    CHECK(parse_money_minor("32", "EUR") == 3200);
    CHECK(parse_money_minor("32.50EUR", "EUR") == 3250);
    CHECK(parse_money_minor("32.50 EUR", "EUR") == 3250);
    CHECK(parse_money_minor("0", "EUR") == 0);
    CHECK(parse_money_minor("38,50", "EUR") == 3850);
    CHECK(parse_money_minor("1,000.00", "EUR") == 100000);
    CHECK(parse_money_minor("1.000,00", "EUR") == 100000);
    CHECK(parse_money_minor("1 000", "EUR") == 100000);
    for (const char* wrong : {"32.505", "32,505", "1.250", "1,250", "-1", "EUR", "", "32.", ".5", "32.50GBP", "1e3",
                              "1 00", "99999999999999", "1000000000.01", "3.2.1"})
        CHECK_MESSAGE(refusal([&] { (void)parse_money_minor(wrong, "EUR"); }) != "taken", wrong);
}

TEST_CASE("plain numbers are all number") {
    CHECK(parse_number("0.28", "storage index", {0.1, 3.0}) == 0.28);
    CHECK(refusal([] {
              (void)parse_number("5", "storage index", {0.1, 3.0});
          }) == "`5` is not a believable storage index | from 0.1 to 3 is taken");
    CHECK(parse_number("0,28", "storage index", {0.1, 3.0}) == 0.28);
    for (const char* wrong : {"1,280", "0.28x", "", "nan", "inf", " 1"})
        CHECK_MESSAGE(refusal([&] { (void)parse_number(wrong, "storage index", {0.1, 3.0}); }) != "taken", wrong);
    CHECK(parse_whole("12", "number of packs", 1, 100) == 12);
    CHECK(refusal([] { (void)parse_whole("1.5", "number of packs", 1, 100); }) ==
          "`1.5` is not a number of packs | write a whole number from 1 to 100");
}

TEST_CASE("an ounce is a sixteenth of a pound, and British barrels and ounces are not American ones") {
    CHECK(parse_mass("1oz").value() == near(0.028349523125, 1e-12)); // 0.45359237/16
    CHECK(parse_volume("1bblUK").value() == near(163.65924, 1e-12)); // 36 of 4.54609
    CHECK(parse_volume("1bbl(UK)").value() == near(163.65924, 1e-12));
    CHECK(parse_volume("1flozUK").value() == near(0.0284130625, 1e-12)); // 4.54609/160
    CHECK(parse_volume("1floz(UK)").value() == near(0.0284130625, 1e-12));
}

TEST_CASE("an hour has sixty minutes, and they are numbered to 59") {
    CHECK(parse_minutes("1h59").value() == 119.0);
    CHECK_THROWS_AS((void)parse_minutes("1h60"), Error);
}

TEST_CASE("a sign is blamed only where the figure would be taken without it") {
    const auto said = [](const char* text) {
        try {
            (void)parse_mass(text, {0.0, 100.0});
        } catch (const Error& error) {
            return std::string(error.what());
        }
        return std::string();
    };
    CHECK(said("-5kg") == "`-5kg` is below nothing");
    CHECK(said("-500kg") == "`-500kg` is not a believable mass");
}

TEST_CASE("48 gravity points are told from 1.48") {
    CHECK(points_as_gravity(1.48) == "48 gravity points are written 1.048");
}

TEST_CASE("the least and the most of whole numbers are taken") {
    CHECK(parse_whole("1", "mash", 1, 5) == 1);
    CHECK(parse_whole("5", "mash", 1, 5) == 5);
    CHECK_THROWS_AS((void)parse_whole("0", "mash", 1, 5), Error);
    CHECK_THROWS_AS((void)parse_whole("6", "mash", 1, 5), Error);
}

TEST_CASE("a hundred of stock without a unit may be grams, and 46.2 of extract a sugar's points") {
    const auto hint = [](auto&& parse) {
        try {
            (void)parse();
        } catch (const Error& error) {
            return error.hint();
        }
        return std::string();
    };
    CHECK(hint([] { return parse_mass("100"); }) == "write 100g, 100kg or 100lb");
    CHECK(hint([] { return parse_mass("99"); }) == "write 99kg or 99lb");
    CHECK(hint([] { return parse_typed("46.2", Dimension::extract); }) == "write 46.2% or 46.2ppg");
}

TEST_CASE("one sign parts thousands or begins decimals, and does not do both") {
    using Meanings = std::vector<std::string>;
    CHECK(typed_detail::meanings_of_number("1,250,500") == Meanings{"1250500"});
    CHECK(typed_detail::meanings_of_number("1.250.000") == Meanings{"1250000"});
    CHECK(typed_detail::meanings_of_number("1,250.5") == Meanings{"1250.5"});
}
