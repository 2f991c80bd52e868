// A brewer who fills a shortage at the scales: what is weighed in the place of what lacks counts, and what it makes of
// the beer is said at once.
#include "brewery.hpp"
#include "near.hpp"
#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace lotwort::test;

namespace {

// Lacks 400 g of its pale ale malt; pilsner, Munich and dextrin malt lie beside it.
struct ShortOfPale : Brewery {
    ShortOfPale() {
        begin({"\"pale ale malt\" 4kg --lot PAM-1 --extract 81.5% --basis fine-dry --moisture 4% --colour 5.5EBC",
               "\"pilsner malt\" 25kg --lot PSM-1 --extract 81% --basis fine-dry --moisture 4.5% --colour 3.3EBC",
               "\"Munich malt\" 1kg --lot MM-1", "\"dextrin malt\" 1kg --lot DM-1", "Goldings 100g --lot GOL-1"});
        put_recipe("bitter", "{item = \"pale ale malt\", mass_kg = 4.4}, {item = \"Munich malt\", mass_kg = 0.3}",
                   "{item = \"Goldings\", minutes = 60, mass_g = 45}");
        (void)run("plan bitter"); // it lacks malt, and says so by its status
    }
};

} // namespace

TEST_CASE("brew: another base malt that was weighed in covers what lacks, and stands in the brew in its place") {
    const ShortOfPale b;
    const Said said = b.run("brew P1 --add PSM-1=400g");
    CHECK(said.status == 0);
    const auto additions = b.json("brew B1")["brew"]["additions"];
    CHECK(additions.back()["lot"] == "PSM-1");
    CHECK(additions.back()["instead_of"] == "pale ale malt");
    CHECK(additions.back()["stage"] == "mash");
    b.check_round_trip();
}

TEST_CASE("brew: what may not stand in covers nothing: dextrin malt, or the recipe's other malt") {
    const ShortOfPale b;
    for (const char* lot : {"DM-1=400g", "MM-1=400g"}) {
        const Said said = b.run(std::string("brew P1 --add ") + lot);
        CHECK(said.status == 3);
        CHECK(said.error == "not enough in stock: plan P1 reserves 4 kg of the 4.4 kg of pale ale malt that it needs");
    }
    b.done("item change \"Munich malt\" --stands-for \"pale ale malt\""); // the brewer's own word goes first
    CHECK(b.run("brew P1 --add MM-1=400g").status == 0);
}

TEST_CASE("brew: half of what lacks is not enough, and what it counts as is said by its extract") {
    const ShortOfPale b;
    const Said said = b.run("brew P1 --add PSM-1=200g");
    CHECK(said.status == 3);
    // 200 g * 0.81 * (1 - 0.045) / (0.815 * (1 - 0.04)) = 197.7 g
    CHECK(said.error == "not enough in stock: plan P1 reserves 4 kg of the 4.4 kg of pale ale malt that it needs, "
                        "and what stands in counts as 198 g");
    CHECK(said.hint.find("what may stand in: lotwort substitute P1\n") != std::string::npos);
}

TEST_CASE("brew: weights other than the plan's are forecast anew, those of the plan are not talked about") {
    const ShortOfPale b;
    const double planned = b.json("plan P1")["forecast"]["original_gravity_sg"]["value"].get<double>();
    const Said heavy = b.run("brew P1 --add PSM-1=900g --dry-run");
    const auto at = heavy.out.find("as weighed: gravity ");
    REQUIRE(at != std::string::npos);
    // 500 g more of 81 % * 95.5 % beside the grist's 3.67 kg of extract: a tenth more gravity, a little less the kettle
    const double now = std::stod(heavy.out.substr(at + 20, 6));
    CHECK(now - 1.0 == near((planned - 1.0) * (1.0 + 0.387 / 3.67), 0.02));
    CHECK(heavy.out.find(fmt::format("instead of {:.4f}", planned)) != std::string::npos);
    const Said bitter = b.run("brew P1 --add PSM-1=400g --weighed GOL-1=90g --dry-run");
    CHECK(bitter.out.find("IBU more") != std::string::npos);
    b.done("receive \"pale ale malt\" 1kg --lot PAM-2");
    CHECK(b.done("brew P1").find("as weighed") == std::string::npos);
}

TEST_CASE("substitute: of malts without a certificate too pilsner malt fills a tenth of pale ale malt") {
    Brewery b;
    b.done("init");
    b.done("brewhouse add home 23L");
    for (const char* lot : {"\"pale ale malt\" 4kg --lot PAM-1", "\"pilsner malt\" 25kg --lot PSM-1",
                            "\"dark Munich malt\" 25kg --lot DMM-1", "Goldings 100g --lot GOL-1"})
        b.done(std::string("receive ") + lot);
    b.write("bitter.toml", "name = \"bitter\"\nvolume_l = 23\nboil_minutes = 60\n"
                           "grist = [{item = \"pale ale malt\", mass_kg = 4.4}]\n"
                           "hops = [{item = \"Goldings\", minutes = 60, mass_g = 45}]\n");
    b.done("recipe add FOLDER/bitter.toml");
    (void)b.run("plan bitter");
    const std::string text = b.done("substitute");
    CHECK(text.find("1 nearest: Take 410 g of PSM-1, pilsner malt, for the missing 400 g of pale ale\n") !=
          std::string::npos);
}

TEST_CASE("substitute: a plan whose day has passed is named, with what puts it on another") {
    ShortOfPale b;
    b.today("2026-03-16");
    CHECK(b.done("substitute") ==
          "P1 was planned for 2026-03-14, which has passed; next: lotwort plan P1 --move DATE\n");
    CHECK(b.run("substitute --take 1").status == 1);
}

TEST_CASE("brew: a hop of the recipe stands in at another stage; at another time it does not, and says why") {
    Brewery b;
    b.begin({"\"pale ale malt\" 10kg --lot PAM-1", "Target 10g --alpha 10% --analysed 2026-03-01 --lot TAR-1",
             "Cascade 200g --alpha 6% --analysed 2026-03-01 --lot CAS-1",
             "Magnum 100g --alpha 13% --analysed 2026-03-01 --lot MAG-1"});
    b.put_recipe(
        "ale", "{item = \"pale ale malt\", mass_kg = 4.5}",
        "{item = \"Target\", minutes = 60, mass_g = 30}, {item = \"Cascade\", stage = \"dry\", days = 4, mass_g = 40}");
    (void)b.run("plan ale");
    CHECK(b.run("brew P1 --add CAS-1=34g@boil,60 --dry-run").status == 0);
    const Said early = b.run("brew P1 --add MAG-1=16g@boil,10 --dry-run");
    CHECK(early.status == 3);
    CHECK(early.hint.find("MAG-1 does not count for Target\n") != std::string::npos);
    // 16 g at 13 % for 10 minutes: a third of what 20 g at 10 % give in an hour (utilisation 0.36 of it)
    const Said weak = b.run("brew P1 --add MAG-1=16g@boil,10 --as-reserved --dry-run");
    CHECK(weak.status == 0);
    CHECK(weak.out.find("IBU less") != std::string::npos);
}
