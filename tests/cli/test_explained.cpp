// A beer that came stronger and drier than forecast: what made it so, and what the readings cannot tell.
#include "brewery.hpp"
#include "flowing.hpp"
#include "near.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace lotwort::test;

namespace {

// Five brews whose mash rests went 66, 68, 65, 67 and 69 °C, each degree about 1.7 % of attenuation; the sixth lacks a
// tenth of its malt, is mashed at 64 °C for 67, and comes at 1.0550 and 1.0100.
struct Stronger : Brewery {
    Stronger() : Brewery("2026-01-10") {
        begin({"\"pale ale malt\" 29.5kg --lot PAM-1 --extract 81.5% --basis fine-dry --moisture 4%",
               "\"pilsner malt\" 25kg --lot PSM-1", "Goldings 500g --lot GOL-1 --alpha 5% --analysed 2026-01-01",
               "\"ale yeast\" 20pieces --lot YEA-1"});
        write("bitter.toml",
              "name = \"bitter\"\nvolume_l = 23\nboil_minutes = 60\nmash_rest_c = 67\nattenuation_pct = 76\n"
              "grist = [{item = \"pale ale malt\", mass_kg = 5.0}]\n"
              "hops = [{item = \"Goldings\", minutes = 60, mass_g = 45}]\n"
              "others = [{item = \"ale yeast\", stage = \"fermenter\", count = 1}]\n");
        done("recipe add FOLDER/bitter.toml");
        const std::pair<int, const char*> before[] = {
            {66, "1.0120"}, {68, "1.0138"}, {65, "1.0105"}, {67, "1.0128"}, {69, "1.0150"}};
        int n = 0;
        for (const auto& [rest_c, final_sg] : before) {
            today(days[n++]);
            done("plan bitter --on today");
            done(fmt::format("brew P{}", n));
            done(fmt::format("measure B{} mash {}C kettle-full 28L@75C 1.0440 cast-out 25L@95C fermenter 23L 1.0520", n,
                             rest_c));
            done(fmt::format("measure B{} final {}", n, final_sg));
        }
        today(days[n]);
        (void)run("plan bitter --on today"); // it lacks malt, and says so by its status
        done("brew P6 --add PSM-1=500g");
        done("measure B6 mash 64C kettle-full 27.5L@75C 1.0470 cast-out 24.3L@95C fermenter 22.5L 1.0550");
    }
    static constexpr const char* days[] = {"2026-01-11", "2026-01-12", "2026-01-13",
                                           "2026-01-14", "2026-01-15", "2026-02-01"};
};

// "told" and "value" of a cause of an outcome; null where it has no such part.
Json part(const Json& answer, const char* quantity, const std::string& cause) {
    for (const auto& p : answer["outcomes"][quantity]["parts"])
        if (p["cause"] == cause) return p;
    return {};
}

} // namespace

TEST_CASE(
    "explain: the strength of a beer is split over all that was done, the stand-in apart, and what fermented it") {
    const Stronger b;
    b.done("measure B6 final 1.0100");
    const auto answer = b.json("explain B6");
    const auto& strength = answer["outcomes"]["alcohol_abv_pct"];
    double sum = 0.0;
    std::string causes;
    for (const auto& p : strength["parts"]) {
        sum += p["value"].get<double>();
        causes += p["cause"].get<std::string>() + "; ";
    }
    CHECK(causes == "weights; malt lots; stand-in malt; conversion; lautering; boil-off and volume; losses and top-up; "
                    "yeast; mash rest; reading error; ");
    CHECK(std::abs(sum - strength["difference"].get<double>()) < 1e-9);
    // 3 degrees colder than meant, at the 1.7 % a degree of the five brews before (a prior draws it down a little), of
    // an original of 13.3 °P: 3 * 0.017 * 13.3 °P = 0.68 °P less in the beer, 0.0027
    const auto rest = part(answer, "final_gravity_sg", "mash rest");
    CHECK(rest["value"].get<double>() == near(-0.0027, 0.2));
    CHECK(rest["told"] == true);
    // what was weighed is what was meant: half a kilo of pilsner malt in the place of half a kilo of pale
    CHECK(part(answer, "alcohol_abv_pct", "weights")["value"].get<double>() == near(0.0, 0.0, 1e-9));
    const std::string text = b.done("explain B6");
    CHECK(std::ranges::count(text, '\n') < 30); // one page
    CHECK(holds(text, "of it is mash rest"));
    CHECK(text.find("cannot be told from the reading") == std::string::npos);
}

TEST_CASE(
    "explain: by a hydrometer that may be 0.005 out the yeast cannot be told from the reading, and that is said") {
    const Stronger b;
    b.done("brewhouse instrument poor --kind hydrometer --bias-sd 0.005");
    b.done("brewhouse instrument good --kind hydrometer --bias-sd 0.0005");
    b.done("measure B6 final 1.0080 --instrument poor");
    CHECK(part(b.json("explain B6"), "final_gravity_sg", "yeast")["told"] == false);
    CHECK(b.done("explain B6").find("the yeast cannot be told from the reading") != std::string::npos);
    b.done("measure B6 final 1.0060 --instrument good");
    CHECK(part(b.json("explain B6"), "final_gravity_sg", "yeast")["told"] == true);
}

// The pale ale malt runs out, so pilsner malt is taken for the rest; of the Munich malt the brewer opens another sack
// than the promised one.
TEST_CASE("explain: another sack of a promised malt is not laid to the malt that stands in") {
    Brewery b("2026-01-10");
    b.begin({"\"pale ale malt\" 3kg --lot PAM-1", "\"pilsner malt\" 25kg --lot PSM-1",
             "\"munich malt\" 25kg --lot MUN-1", "\"munich malt\" 25kg --lot MUN-2",
             "Goldings 500g --lot GOL-1 --alpha 5% --analysed 2026-01-01"});
    b.write("amber.toml",
            "name = \"amber\"\nvolume_l = 23\nboil_minutes = 60\n"
            "grist = [{item = \"pale ale malt\", mass_kg = 4.0}, {item = \"munich malt\", mass_kg = 2.0}]\n"
            "hops = [{item = \"Goldings\", minutes = 60, mass_g = 45}]\n");
    b.done("recipe add FOLDER/amber.toml");
    (void)b.run("plan amber --on today"); // it lacks a kilogram, and says so by its status
    b.done("substitute P1 --take 1");
    b.done("brew P1 --weighed MUN-1=0kg --add MUN-2=2kg");
    b.done("measure B1 kettle-full 28L@75C 1.0500 cast-out 25L@95C fermenter 22.5L 1.0580");
    const auto answer = b.json("explain B1");
    CHECK(part(answer, "original_gravity_sg", "weights")["value"].get<double>() == near(0.0, 0.0, 2e-4));
    CHECK(part(answer, "original_gravity_sg", "stand-in malt")["value"].get<double>() == near(0.0, 0.0, 2e-3));
}

TEST_CASE("of two brews of one day the first taught the second, and not the other way round") {
    Brewery b;
    b.begin_pale(23, 4.6, {"\"pale ale malt\" 25kg --lot PAM-1"});
    for (const char* brew : {"B1", "B2"}) {
        b.done("brew --recipe pale --add PAM-1=4.6kg");
        b.done(std::string("measure ") + brew + " kettle-full 28L@75C 1.040 fermenter 23L 1.046");
    }
    CHECK(b.done("explain B1").find("before it taught") == std::string::npos);
    CHECK(b.done("explain B2").find("what 1 brew before it taught") != std::string::npos);
}

// The forecast is of finals that were read low by as much: to mend this one alone would make yeast of the glass.
TEST_CASE("explain sets a final gravity as it was read beside the ones it was learned from") {
    const Stronger b;
    b.done("measure B6 final 1.0100");
    CHECK(holds(b.done("reconcile B6"), "by the other brews what it was read with reads 0.00"));
    CHECK(b.json("explain B6")["outcomes"]["final_gravity_sg"]["outcome"].get<double>() == near(1.0100, 1e-9));
}

TEST_CASE("explain and reconcile tell one original gravity and one suspect, and how far off the mark was") {
    const Stronger b;
    b.done("brewhouse instrument glass --kind hydrometer --unit sg --correction=-0.001 --repeatability 0.0005 "
           "--bias-sd 0");
    b.done("measure B6 --set-aside r4 --reason \"read anew\"");
    b.done("measure B6 fermenter 22.5L 1.0565 --instrument glass");
    b.done("measure B6 final 1.0100 --instrument glass");
    const auto explained = b.json("explain B6"), reconciled = b.json("reconcile B6");
    const auto& original = explained["outcomes"]["original_gravity_sg"];
    const double balanced = reconciled["quantities"]["original_gravity_sg"]["value"].get<double>();
    CHECK(original["outcome"].get<double>() == near(balanced, 1e-9));
    CHECK(std::abs(balanced - 1.0555) < 0.0010); // the mark less its correction, and what the balance moves it
    CHECK(explained["outcomes"]["alcohol_abv_pct"]["outcome"].get<double>() ==
          near(reconciled["quantities"]["alcohol_abv_pct"]["value"].get<double>(), 0.03));
    double sum = 0.0;
    for (const auto& p : original["parts"]) sum += p["value"].get<double>();
    CHECK(std::abs(sum - original["difference"].get<double>()) < 1e-9);
    // a slip of ten points: both accuse the same reading
    b.done("measure B6 kettle-full 1.0570 --sure");
    CHECK(b.json("explain B6")["suspects"][0]["reading"] == b.json("reconcile B6")["suspects"][0]["reading"]);
}
