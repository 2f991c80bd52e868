// Readings that may well be slips: booked, and flagged at once. What a stick's depth came to is shown.
#include "flowing.hpp"
#include "near.hpp"
#include "pale_ale.hpp"
#include <cmath>

using namespace lotwort::test;

namespace {

// A brew in a kettle with a stick: 0.95 L to the centimetre.
struct Brewed : PaleAle {
    Brewed()
        : PaleAle({"brewhouse instrument stick --kind volume-marks --unit cm --repeatability 0.5cm --bias-sd 0cm",
                   "brewhouse vessel garage --point kettle-full --dip 0cm=0L --dip 40cm=38L --volume-by stick"}) {}
};

// Degrees Plato by the polynomial of the printed tables, which the program does not compute with.
double plato_of(double sg) {
    return 135.997 * sg * sg * sg - 630.272 * sg * sg + 1111.14 * sg - 616.868;
}

} // namespace

TEST_CASE("a depth shows the litres it came to, hot and cold, with their uncertainty") {
    Brewed b;
    // 30 cm at 0.95 L/cm; 0.5 cm are 0.475 L; water of 95 and 20 °C weighs 961.9 and 998.2 g/L
    const Json m = b.json("measure B1 kettle-full 30cm@95C")["readings"][0];
    CHECK(m["volume_as_read_l"].get<double>() == near(28.5, 1e-9));
    CHECK(m["volume_as_read_sd_l"].get<double>() == near(0.475, 1e-6));
    CHECK(m["volume_20c_l"].get<double>() == near(28.5 * 961.9 / 998.2, 2e-4));
    CHECK(m["volume_20c_sd_l"].get<double>() == near(0.475 * 961.9 / 998.2, 2e-4));
    const std::string shown = b.done("measure B1");
    CHECK(holds(shown, "r1 kettle-full 30 cm at 95 °C 27.46 L"));
    CHECK(
        holds(shown, "r1: 30 cm by the dip table of kettle-full is 28.50 ± 0.47 L at 95 °C, 27.46 ± 0.46 L at 20 °C"));
}

TEST_CASE("a final gravity above the original is booked, flagged at once, and by reconcile") {
    Brewed b;
    const std::string said = b.done("measure B1 fermenter 23L 1.048 final 1.052");
    CHECK(holds(said, "r2: the final gravity 1.0520 is not below the original 1.0480 (r1)"));
    CHECK(said.find("\n  lotwort measure B1 --set-aside r2 --reason \"misread\"\n") != std::string::npos);
    const std::string balanced = b.done("reconcile B1");
    CHECK(holds(balanced, "The final gravity (r2, 1.0520) is not below the original"));
    const Json json = b.json("reconcile B1");
    CHECK(json["quantities"]["alcohol_abv_pct"]["value"].is_null());
    CHECK(json["quantities"]["alcohol_abv_pct"]["reason"] == "the final gravity is not below the original");
    // no alcohol less than nothing is explained
    CHECK_FALSE(b.json("explain B1")["outcomes"].contains("alcohol_abv_pct"));
    // the other way round: the original comes later
    Brewed later;
    later.done("measure B1 final 1.052");
    CHECK(holds(later.done("measure B1 fermenter 23L 1.048"), "the final gravity 1.0520 is not below the original"));
}

TEST_CASE("a final gravity said at the fermenter is recognised, with the commands that say it as final") {
    Brewed b;
    b.done("measure B1 fermenter 23L 1.048");
    const std::string said = b.done("measure B1 fermenter 1.010@22C --sure");
    CHECK(
        holds(said, "r2: 1.0100 in the fermenter is far below this brew's wort, 11.9 °P. If it is the final gravity"));
    CHECK(said.find("\n  lotwort measure B1 --set-aside r2 --reason \"final gravity\"\n"
                    "  lotwort measure B1 final 1.010@22C\n") != std::string::npos);
    const std::string balanced = b.done("reconcile B1");
    CHECK(holds(b.done("reconcile B1 --full"), "looks like: the final gravity, booked at the fermenter"));
    CHECK(holds(balanced, "too low. It looks like the final gravity, booked at the fermenter."));
    b.done("measure B1 --set-aside r2 --reason \"final gravity\"");
    CHECK_FALSE(holds(b.done("measure B1 final 1.010@22C"), "final gravity"));
    // without any other reading the recipe's gravity is what the wort was meant to be
    Brewed alone;
    CHECK(holds(alone.done("measure B1 fermenter 3P --sure"), "far below this brew's wort, 11.9 °P"));
    Brewed thin;
    CHECK_FALSE(holds(thin.done("measure B1 fermenter 1.036"), "far below"));
}

TEST_CASE("with original and final gravity known reconcile says attenuation and alcohol") {
    Brewed b;
    CHECK_FALSE(b.json("reconcile B1")["quantities"].contains("alcohol_abv_pct"));
    b.done("measure B1 kettle-full 30cm@95C 1.040 fermenter 23L 1.048 final 1.012");
    const Json q = b.json("reconcile B1")["quantities"];
    // Balling by hand: real extract, alcohol by mass, by volume
    const double oe = plato_of(q["original_gravity_sg"]["value"].get<double>()), ae = plato_of(1.012);
    const double real = 0.1808 * oe + 0.8192 * ae, by_mass = (oe - real) / (2.0665 - 0.010665 * oe);
    CHECK(q["alcohol_abv_pct"]["value"].get<double>() == near(by_mass * 1.012 * 0.99821 / 0.78924, 0.005));
    CHECK(q["apparent_attenuation_pct"]["value"].get<double>() == near(100.0 * (oe - ae) / oe, 0.003));
    CHECK(q["final_gravity_sg"]["value"].get<double>() == near(1.012, 1e-6));
    CHECK(holds(b.done("reconcile B1"), "alcohol by volume"));
}

TEST_CASE("a hydrometer in hot wort is warned of, and known the worse the hotter it was") {
    const auto sd_at = [](const std::string& reading) {
        Brewed b;
        return b.json("measure B1 cast-out " + reading + " --sure")["readings"][0]["extract_sd_plato"].get<double>();
    };
    const double cool = sd_at("1.040@20C"), limit = sd_at("1.040@60C"), warm = sd_at("1.040@75C"),
                 hot = sd_at("1.040@95C");
    CHECK(limit == near(cool, 0.1));
    CHECK(warm > limit);
    CHECK(hot > warm);
    // a tenth of the 35 degrees beyond, water at 95 °C losing 0.68 g/L a degree and the glass 0.02: 0.0023, or 0.6 °P
    CHECK(hot == near(std::hypot(cool, 3.5 * 0.00066 / 0.0040), 0.1));
    Brewed b;
    const std::string said = b.done("measure B1 cast-out 1.040@95C --sure");
    CHECK(holds(said, "r1: 1.0400 at 95 °C is beyond the 60 °C to which a hydrometer is corrected"));
    CHECK(holds(said, "Cool the sample and read again; hot wort scalds"));
    CHECK_FALSE(holds(b.done("measure B1 cast-out 1.040@55C"), "Cool the sample"));
}

TEST_CASE("readings that contradict each other: reconcile and explain say it first, and what to type") {
    Brewed b;
    b.done("measure B1 kettle-full 30cm@95C 1.040 cast-out 1.048 fermenter 23L 1.078 --sure");
    const std::string aside = "\nTo leave it out: lotwort measure B1 --set-aside r3 --reason \"misread\"\n";
    const std::string balanced = b.done("reconcile B1"), explained = b.done("explain B1");
    CHECK(balanced.find(aside) != std::string::npos);
    CHECK(explained.find(aside) != std::string::npos);
    CHECK(explained.find("The readings contradict each other") < explained.find("The gravity is"));
    CHECK(holds(explained, "Strongest suspect: the fermenter gravity (r3)"));
    CHECK(holds(explained, "no share is named while the readings contradict each other"));
    const Json json = b.json("explain B1");
    CHECK(json["test"]["passed"] == false);
    CHECK(json["suspects"][0]["reading"] == "r3");
    b.done("measure B1 --set-aside r3 --reason misread");
    CHECK(b.json("explain B1")["test"]["passed"] == true);
    CHECK_FALSE(holds(b.done("explain B1"), "contradict"));
}

TEST_CASE("explain's forecast is its plan's, to the last digit, learned or not") {
    Brewed b;
    // the plan is looked at before it is brewed; its brew then differs from it in what was weighed
    b.done("measure B1 kettle-full 30cm@95C 1.040 fermenter 22L 1.050");
    b.done("plan pale --on 2026-03-10 --volume 22L");
    const Json planned = b.json("plan P2")["forecast"];
    CHECK(planned["learned_from_brews"] == 1);
    b.done("brew P2 --weighed PAM-1=4kg --boil 90min");
    b.done("measure B2 fermenter 21L 1.047");
    const Json explained = b.json("explain B2");
    CHECK(explained["forecast_of_plan"] == "P2");
    CHECK(explained["learned_from_brews"] == 1);
    for (const char* quantity : {"original_gravity_sg", "volume_l"})
        for (const char* part : {"value", "sd", "low", "high"})
            CHECK(explained["outcomes"][quantity]["forecast"][part].get<double>() ==
                  near(planned[quantity][part].get<double>(), 1e-6));
    CHECK(holds(b.done("explain B2"), "against the forecast of its plan P2 with what 1 brew before it taught"));
}

TEST_CASE(
    "a reading is never cut short: notes stand below the figures, a gravity below its volume where it is narrow") {
    Brewed b;
    b.done("brewhouse instrument \"kettle marks with a long name\" --kind volume-marks");
    const std::string said = b.done(
        "measure B1 kettle-full 28.55L@95.5C 1.0405@22.5C --instrument \"kettle marks with a long name\" --at 14:05");
    CHECK(said.find("…") == std::string::npos);
    CHECK(holds(said, "r1 kettle-full 28.55 L at 95.5 °C "));
    CHECK(holds(said, "1.0405 at 22.5 °C"));
    CHECK(said.find("\nr1: 14:05, by kettle marks with a long name\n") != std::string::npos);
}

TEST_CASE("a brew whose readings contradict each other is left out of what is learned, and every verb says so") {
    Brewed b;
    b.done("measure B1 kettle-full 28L@75C 1.090 cast-out 25L 1.045 fermenter 23L 1.045 --sure");
    const char* const said = "B1 is left out of what past brews taught: its readings contradict each other";
    CHECK(holds(b.done("trend"), "B1 teaches nothing: its readings contradict each other"));
    CHECK(holds(b.done("plan pale --on 2026-03-20"), said));
    CHECK(holds(b.done("substitute P2"), said));
    CHECK(holds(b.done("buy"), said));
    b.done("brew P2");
    b.done("measure B2 kettle-full 28L@75C 1.043 fermenter 23L 1.048");
    CHECK(holds(b.done("explain B2"), said));
    b.done("measure B1 --set-aside r1 --reason misread");
    CHECK_FALSE(holds(b.done("plan pale --on 2026-03-21"), "is left out of what past brews taught"));
}

TEST_CASE("a gravity that no brew can have crashes nothing: it is named, and the answer is strict JSON") {
    Brewed b;
    b.done("measure B1 kettle-full 29L@75C 1.060@21C");
    b.done("measure B1 fermenter 24.5L 1.046");
    CHECK(holds(b.done("reconcile B1"), "Strongest suspect: the kettle-full gravity (r1)"));
    CHECK(b.json("reconcile B1")["suspects"][0]["reading"] == "r1");
    for (const char* answer : {"reconcile B1", "reconcile --all", "report brew B1"})
        CHECK(b.done(answer).find("nan") == std::string::npos);
}

TEST_CASE("a depth beyond the dip table is booked, and the strongest suspect") {
    Brewed b;
    b.done("measure B1 kettle-full 30cm@95C fermenter 23L 1.048");
    const Json before = b.json("reconcile B1");
    CHECK(before["suspects"].empty());
    b.done("brewhouse vessel garage --point kettle-full --dip 0cm=0L --dip 20cm=19L --volume-by stick");
    const Json after = b.json("reconcile B1");
    CHECK(after["answered_without"][0] == "r1");
    CHECK(after["suspects"][0]["impossible"] == "30 cm lies outside the vessel's dip table");
    CHECK(holds(b.done("reconcile B1"), "r1), it cannot be: 30 cm lies outside the vessel's dip table"));
}
