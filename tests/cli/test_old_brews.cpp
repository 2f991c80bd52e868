// What is booked back-dated, received with an impossible paper, scaled beyond stock, or stated beyond belief.
#include "brewery.hpp"
#include "flowing.hpp"
#include "near.hpp"
#include <cmath>

using namespace lotwort::test;

namespace {

constexpr const char* recipe = R"(name = "bitter"
volume_l = 20
original_gravity_plato = 11
boil_minutes = 60
grist = [{item = "pale ale malt", share_pct = 100}]
hops = [{item = "goldings", minutes = 60, mass_g = 28.349523}]
others = [{item = "ale yeast", stage = "fermenter", count = 1}, {item = "gypsum", stage = "mash", mass_kg = 0.005}]
)";

struct Stocked : Brewery {
    Stocked() : Brewery("2026-03-14") {
        write("bitter.toml", recipe);
        done("init");
        done("brewhouse add garage 20L");
        done("receive \"pale ale malt\" 25kg --lot PAM-1 --on 2026-02-01");
        done("receive goldings 200g --kind hop --lot G-1 --alpha 5% --on 2026-02-01");
        done("receive \"ale yeast\" 3pieces --lot Y-1 --on 2026-03-01");
        done("receive gypsum 500g --lot GY-1 --on 2026-03-01");
        done("recipe add FOLDER/bitter.toml");
    }
};

} // namespace

TEST_CASE("a back-dated brew names what it could not take, and offers only what was there that day") {
    Stocked b;
    const std::string said = b.done("brew --recipe bitter --on 2026-02-10");
    CHECK(holds(said, "ale yeast: nothing is booked of the 1 piece that the recipe asks for; nothing was free of ale "
                      "yeast; Y-1 came on 2026-03-01. If more went in: lotwort brew B1 --add LOT=AMOUNT@fermenter"));
    CHECK(holds(said, "gypsum: nothing is booked of the 5 g that the recipe asks for"));
    // on a later day nothing is missing, and nothing is said
    const std::string later = b.done("brew --recipe bitter --on 2026-03-10");
    CHECK(later.find("nothing is booked") == std::string::npos);
    CHECK(holds(later, "Y-1 ale yeast 1 piece"));
    // what is left out on purpose needs no telling
    const std::string meant = b.done("brew --recipe bitter --on 2026-03-10 --weighed GY-1=0g");
    CHECK(meant.find("gypsum: ") == std::string::npos);
    // added by hand: what was not added is said, too
    CHECK(holds(b.done("brew --recipe bitter --on 2026-03-10 --add PAM-1=4kg --add G-1=28g@boil,60"),
                "ale yeast: nothing is booked of the 1 piece"));
}

TEST_CASE("a malt that had not come yet is not offered for the day") {
    Stocked b;
    const Said said = b.run("brew --recipe bitter --on 2026-01-20");
    CHECK(said.status == 3);
    CHECK(holds(said.hint, "nothing was free of pale ale malt; PAM-1 came on 2026-02-01"));
    CHECK(said.hint.find("25 kg in PAM-1") == std::string::npos);
}

TEST_CASE("a recipe's target may be said in plato, and forecasts say both") {
    Stocked b;
    // 11 °P are 1.04419 in NBS C440 table 114, weighed in air; the true ratio is 0.00005 less
    CHECK(b.json("recipe show bitter")["recipes"][0]["original_gravity_sg"].get<double>() == near(1.04414, 3e-5));
    CHECK(holds(b.done("recipe show bitter"), "original gravity 1.0441 (11.0 °P)"));
    const Json forecast = b.json("plan bitter --on 2026-03-14")["forecast"];
    CHECK(forecast["original_extract_plato"]["value"].get<double>() == near(11.0, 0.003));
    CHECK(holds(b.done("plan P1 --full"), "the same in plato 11.0 ± "));
    // 0.5 °P at 11 °P are some 0.0021
    const Json aimed = b.json("plan bitter --on 2026-03-15 --within 0.5P");
    CHECK(aimed["on_target"]["within_sg"].get<double>() == near(0.0021, 0.03));
    CHECK(b.run("plan bitter --on 2026-03-15 --within 0.5L").status == 1);
    b.write("both.toml", std::string(recipe) + "\noriginal_gravity_sg = 1.05\n");
    b.check_round_trip();
}

TEST_CASE("a recipe that states its target twice is refused") {
    Stocked b;
    std::string twice = recipe;
    twice.insert(twice.find("boil_minutes"), "original_gravity_sg = 1.05\n");
    b.write("twice.toml", twice);
    const Said said = b.run("recipe add FOLDER/twice.toml");
    CHECK(said.status == 1);
    CHECK(holds(said.error, "stands beside original_gravity_sg; state one of them"));
}

TEST_CASE("a scaled recipe says what is not in stock, in whole weigh steps") {
    Stocked b;
    const std::string small = b.done("recipe scale bitter 30L");
    CHECK(holds(small, "all of it is in stock and free today"));
    const std::string large = b.done("recipe scale bitter 200L");
    // 28.349523 g for 20 L are 283 g for 200 L, of 200 g; 10 packets of 3
    CHECK(holds(large, "83 g of goldings, 7 pieces of ale yeast; which lots it would take: lotwort plan bitter "
                       "--volume 200L --dry-run"));
    const Json json = b.json("recipe scale bitter 200L")["scaled"];
    CHECK(json["lacking"][0]["item"] == "pale ale malt");
    // malt in steps of 10 g, and an ounce of the recipe as a scale shows it
    const double kg = json["lines"][0]["needed_kg"].get<double>();
    CHECK(std::abs(kg * 100.0 - std::round(kg * 100.0)) < 1e-6);
    CHECK(holds(b.done("recipe show bitter"), "goldings 28.35 g"));
}

TEST_CASE("a lot of 220 lb is weighed as a scale shows it, and booked to the milligram") {
    Stocked b;
    b.done("brewhouse add big 500L");
    b.write("mass.toml", "name = \"mass\"\nvolume_l = 500\ngrist = [{item = \"munich malt\", mass_kg = 113.21}]\n");
    b.done("recipe add FOLDER/mass.toml");
    b.done("receive \"munich malt\" 220lb --lot LB-1 --best-before 2026-05-01");
    b.done("receive \"munich malt\" 50kg --lot MM-2");
    const std::string planned = b.done("plan mass --on 2026-03-14 --brewhouse big");
    // 220 lb are 99.790321 kg: the rest of 113.21 kg in steps of 10 g
    CHECK(holds(planned, "munich malt 113.21 kg LB-1 99.79 kg mash MM-2 13.42 kg"));
    CHECK(planned.find("790321") == std::string::npos);
    const Json reserved = b.json("plan P1")["reserved"];
    CHECK(reserved[0]["mass_kg"].get<double>() == near(99.790321, 1e-12));
    CHECK(reserved[1]["mass_kg"].get<double>() == near(13.42, 1e-12));
}

TEST_CASE("an extract beyond sugar's is refused where it is received, and what is received can be shown") {
    Stocked b;
    const Said absurd = b.run("receive \"munich malt\" 25kg --extract 400L/kg --basis fine-as-is");
    CHECK(absurd.status == 1);
    CHECK(absurd.hint == "pure sugar gives 386 L/kg, and from 0 to that is taken; a pale malt gives some 308L/kg");
    CHECK(b.run("receive \"munich malt\" 25kg --extract 47ppg --basis fine-dry").status == 1);
    // possible of dry matter, and impossible of a malt with that much water in it
    const Said wet = b.run("receive \"munich malt\" 25kg --extract 99% --basis fine-as-is --moisture 9%");
    CHECK(wet.status == 1);
    CHECK(holds(wet.error, "is 108.8 % of dry matter, more than malt or sugar holds"));
    CHECK(b.done("stock --all").find("munich") == std::string::npos);
    b.done("receive \"beet sugar\" 5kg --kind sugar --lot S-1 --extract 386L/kg --basis fine-dry");
    CHECK(holds(b.done("lot S-1"), "386 L°/kg fine-dry"));
    CHECK(b.run("lot PAM-1 --retest --extract 99% --basis fine-as-is --moisture 9%").status == 1);
    b.done("lot PAM-1 --retest --extract 80% --basis fine-dry --moisture 4%");
}

TEST_CASE("an exchange file with an impossible extract is refused with the line") {
    Stocked b;
    const auto lot = [](const std::string& certificate) {
        return R"({"schema": "lotwort/exchange/1", "items": [{"name": "munich malt", "kind": "malt"}],
"lots": [{"code": "MM-1", "item": "munich malt", "received": "2026-02-01", "mass_kg": 25,
"certificate": {)" +
               certificate + "}}]}";
    };
    b.write("l.json", lot(R"("extract_pct": 400, "extract_basis": "l-per-kg-fine-dry")"));
    const Said degrees = b.run("import FOLDER/l.json");
    CHECK(degrees.status == 1);
    CHECK(holds(degrees.error, "400 is more than pure sugar gives on the basis l-per-kg-fine-dry, 386.4"));
    b.write("w.json", lot(R"("extract_pct": 99, "extract_basis": "fine-as-is", "moisture_pct": 9)"));
    CHECK(holds(b.run("import FOLDER/w.json").error, "108.8 % of dry matter"));
    b.write("g.json", lot(R"("extract_pct": 300, "extract_basis": "l-per-kg-fine-dry")"));
    b.done("import FOLDER/g.json");
}

TEST_CASE("figures that no kit and no scale can have are refused with what can be") {
    Stocked b;
    const Said boil = b.run("brewhouse change garage --boil-off 3000L/h");
    CHECK(boil.status == 1);
    CHECK(boil.error == "--boil-off of 3000 L/h is more than the 20 L that garage brews");
    CHECK(holds(boil.hint, "up to 20 L/h is taken; typical of this size: 2.9 L/h"));
    CHECK(b.run("brewhouse add shed 28L --kettle-loss 30L").status == 1);
    CHECK(b.run("brewhouse change garage --boil-off 4L/h").status == 0);
    const Said stem = b.run("brewhouse instrument stem --kind hydrometer --repeatability 0.5");
    CHECK(stem.status == 1);
    CHECK(stem.error == "--repeatability `0.5` is no believable repeatability of a scale in sg");
    CHECK(stem.hint == "it is one standard deviation, or a step: up to 0.02 sg is taken");
    CHECK(b.run("brewhouse instrument stem --kind hydrometer --bias-sd 60%").status == 1);
    CHECK(b.run("brewhouse instrument marks --kind volume-marks --repeatability 15L").status == 1);
    CHECK(b.run("brewhouse instrument stem --kind hydrometer --repeatability 0.0006 --bias-sd 0.001").status == 0);
    const Said count = b.run("count PAM-1 50kg --reason found");
    CHECK(count.status == 1);
    CHECK(count.error == "50 kg of PAM-1 counted, and only 25 kg of it ever came");
    CHECK(b.run("count PAM-1 26kg --reason \"weighed short when it came\"").status == 0);
}

TEST_CASE("trend: shares in per cent, and how many brews of all told something") {
    Stocked b;
    b.done("brew --recipe bitter --on 2026-03-05");
    b.done("brew --recipe bitter --on 2026-03-08");
    b.done("measure B1 kettle-full 25L@95C 1.038 fermenter 20L 1.044 final 1.010");
    b.done("measure B2 kettle-full 25L@95C 1.020 1.060 fermenter 20L 1.080 --sure");
    const std::string trend = b.done("trend --full");
    CHECK(trend.starts_with("2 brews, 1 of them with something to tell, on garage, "));
    CHECK(b.json("trend")["brews"] == 2);
    const auto line = trend.find("attenuation by ale yeast");
    REQUIRE(line != std::string::npos);
    CHECK(trend.substr(line, trend.find('\n', line) - line).find(" %") != std::string::npos);
}
