// A recipe without a file: its lines typed, changed one by one, and the efficiency that masses were written for.
#include "brewery.hpp"
#include "near.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

namespace {

const std::string house_pale = "recipe add \"house pale\" 23L --gravity 1.047 --malt \"pale ale malt=95%\" "
                               "--malt \"caramel malt=5%\" --hop \"bittering hop=25g@boil,60\" "
                               "--hop \"late hop=40g@stand,20,80C\" --yeast \"ale yeast\"";

void prepare(const Brewery& b) {
    b.begin({"\"pale ale malt\" 25kg --lot PAM-1", "\"bittering hop\" 100g --alpha 11%"});
}

Json recipe(const Brewery& b, const std::string& name) {
    return b.json("recipe show \"" + name + "\"")["recipes"][0];
}

} // namespace

TEST_CASE("a recipe is typed, and is the one a file would have made") {
    const Brewery b;
    prepare(b);
    b.done(house_pale);
    const Json typed = recipe(b, "house pale");
    b.write("same.toml",
            "name = \"same\"\nvolume = \"23L\"\noriginal_gravity = \"1.047\"\nboil = \"1h\"\n"
            "grist = [{item = \"pale ale malt\", share = \"95%\"}, {item = \"caramel malt\", share_pct = 5}]\n"
            "hops = [{item = \"bittering hop\", minutes = \"60min\", mass = \"0.025kg\"},\n"
            "  {item = \"late hop\", stage = \"stand\", minutes = 20, temperature = \"80C\", mass_g = 40}]\n"
            "others = [{item = \"ale yeast\", stage = \"fermenter\"}]\n");
    b.done("recipe add FOLDER/same.toml");
    const Json filed = recipe(b, "same");
    for (const char* field : {"volume_l", "original_gravity_sg", "boil_minutes", "grist", "hops", "others"}) {
        CAPTURE(field);
        CHECK(filed[field] == typed[field]);
    }
    CHECK(b.json("plan \"house pale\" --on 2026-03-20")["reserved"][0]["mass_kg"].get<double>() > 3.0);
    b.check_round_trip();
}

TEST_CASE("figures of a file in the units of the trade") {
    const Brewery b;
    prepare(b);
    b.write("us.toml", "name = \"us\"\nvolume = \"6gal(US)\"\noriginal_gravity = \"12P\"\nmash_rest = \"150F\"\n"
                       "grist = [{item = \"pale ale malt\", mass = \"10lb\", colour = \"3L\"}]\n"
                       "hops = [{item = \"bittering hop\", minutes = 60, mass = \"1oz\"}]\n");
    b.done("recipe add FOLDER/us.toml");
    const Json us = recipe(b, "us");
    CHECK(us["volume_l"].get<double>() == near(22.71247));
    CHECK(us["original_gravity_sg"].get<double>() == near(1.0484, 1e-4));
    CHECK(us["mash_rest_c"].get<double>() == near(65.5556));
    CHECK(us["grist"][0]["mass_kg"].get<double>() == near(4.535924));
    CHECK(us["hops"][0]["mass_g"].get<double>() == near(28.349523));
    b.write("kit.toml", "name = \"us kit\"\nvolume = \"6gal(US)\"\nboil_off = \"1gal(US)/h\"\nlauter = \"98%\"\n");
    const Json kit = b.json("brewhouse add --file FOLDER/kit.toml")["brewhouses"][0]["stated"];
    CHECK(kit["boil_off_l_per_h"].get<double>() == near(3.785412));
    CHECK(kit["lauter_pct_of_expected"] == 98);
}

TEST_CASE("one line is altered, added or dropped, and shares give way in proportion") {
    const Brewery b;
    prepare(b);
    b.done(house_pale);
    b.done("recipe change \"house pale\" --malt \"caramel malt=8%\" --hop \"late hop=50g\" "
           "--hop \"dry hop=60g@dry,4\" --drop \"ale yeast\"");
    CHECK(
        b.json("history")["entries"][0]["what"] ==
        "changed recipe house pale: without ale yeast; caramel malt 8 %; late hop 50 g, stand 20 min at 80 °C; dry hop "
        "60 g, dry 4 days");
    const Json now = recipe(b, "house pale");
    CHECK(now["grist"][0]["share_pct"].get<double>() == near(92.0));
    CHECK(now["hops"][1]["mass_g"] == 50);
    CHECK(now["hops"][1]["temperature_c"] == 80); // it keeps its time
    CHECK(now["hops"][2]["days"] == 4);
    CHECK(now["others"].size() == 0);
    b.done("recipe change \"house pale\" --drop \"caramel malt\"");
    CHECK(recipe(b, "house pale")["grist"][0]["share_pct"].get<double>() == near(100.0));
    b.done("recipe change \"house pale\" --hop \"bittering hop=10g@boil,10\" --gravity 12P");
    CHECK(b.run("recipe change \"house pale\" --hop \"bittering hop=30g\"").error ==
          "bittering hop has several lines: bittering hop 25 g, boil 60 min; bittering hop 10 g, boil 10 min");
    b.done("recipe change \"house pale\" --hop \"bittering hop=30g@boil,60\" --drop \"bittering hop@boil,10\"");
    CHECK(recipe(b, "house pale")["hops"][0]["mass_g"] == 30);
    CHECK(b.run("recipe change \"house pale\" --hop \"bittering hop=30g@boil,60\"").status == 1); // nothing changes
    b.done("reverse 9");
    b.check_round_trip();
}

TEST_CASE("a line is found by what was typed of its time, and keeps the rest") {
    const Brewery b;
    prepare(b);
    b.done(house_pale);
    b.done("recipe change \"house pale\" --hop \"late hop=30g@stand,20\"");
    const Json now = recipe(b, "house pale");
    CHECK(now["hops"].size() == 2);
    CHECK(now["hops"][1]["mass_g"] == 30);
    CHECK(now["hops"][1]["temperature_c"] == 80);
    b.done("recipe change \"house pale\" --drop \"late hop@stand\"");
    CHECK(recipe(b, "house pale")["hops"].size() == 1);
}

TEST_CASE("a line is typed once: two of one item at one time are one too many") {
    const Brewery b;
    prepare(b);
    for (const char* twice : {"--hop \"late hop=30g@stand,20\" --hop \"late hop=20g@stand,20\"",
                              "--malt \"pale ale malt=2kg\" --malt \"pale ale malt=3kg\"",
                              "--other \"oak=50g@fermenter\" --other \"oak=20g@fermenter\""}) {
        CAPTURE(twice);
        const Said add = b.run(std::string("recipe add twice 23L --malt \"munich malt=1kg\" ") + twice);
        CHECK(add.status == 1);
        CHECK(add.error.find(" stands twice: ") != std::string::npos);
    }
    // a file may have a malt on two lines: then nothing says which is meant
    b.write("two.toml", "name = \"two\"\nvolume = \"23L\"\ngrist = [{item = \"pale ale malt\", mass = \"2kg\"}, "
                        "{item = \"pale ale malt\", mass = \"3kg\"}]\n");
    b.done("recipe add FOLDER/two.toml");
    const Said change = b.run("recipe change two --malt \"pale ale malt=4kg\"");
    CHECK(change.error == "pale ale malt has several lines: pale ale malt 2 kg; pale ale malt 3 kg");
    b.done("recipe change two --drop \"pale ale malt\" --malt \"pale ale malt=4kg\"");
    CHECK(recipe(b, "two")["grist"].size() == 1);
}

TEST_CASE("what goes into the fermenter may lie there for days") {
    const Brewery b;
    prepare(b);
    b.done("recipe add oaked 23L --malt \"pale ale malt=4kg\" --other \"oak=50g@fermenter,4days\"");
    CHECK(recipe(b, "oaked")["others"][0]["minutes"] == 4 * 24 * 60);
}

TEST_CASE("an efficiency goes when the grist becomes one of shares, and stays while it is of masses") {
    const Brewery b;
    prepare(b);
    b.done("recipe add theirs 23L --malt \"pale ale malt=4.5kg\" --efficiency 80%@kettle");
    b.done("recipe change theirs --malt \"pale ale malt=4kg\"");
    CHECK(recipe(b, "theirs")["efficiency_kettle_pct"] == 80);
    b.done("recipe change theirs --malt \"pale ale malt=100%\" --gravity 1.045");
    CHECK_FALSE(recipe(b, "theirs").contains("efficiency_kettle_pct"));
    CHECK(b.json("history")["entries"][0]["what"].get<std::string>().find("without the efficiency") !=
          std::string::npos);
}

TEST_CASE("masses for another house are scaled to this one") {
    const Brewery b;
    prepare(b);
    b.done("brewhouse change home --efficiency 70%±0.5@fermenter");
    b.done("recipe add theirs 23L --malt \"pale ale malt=4.5kg\" --efficiency 80%@fermenter");
    b.done("recipe add ours 23L --malt \"pale ale malt=4.5kg\" --efficiency 70%@fermenter");
    const auto needed = [&](const std::string& name) {
        return b.json("recipe scale " + name + " 23L")["scaled"]["lines"][0]["needed_kg"].get<double>();
    };
    CHECK(needed("ours") == near(4.5, 0.02));
    CHECK(needed("theirs") == near(4.5 * 80.0 / 70.0, 0.02));
}

TEST_CASE("an efficiency without its place is asked about, and elsewhere both commands are shown") {
    Brewery b;
    prepare(b);
    const Said refused = b.run("brewhouse change home --efficiency 72%");
    CHECK(refused.status == 1);
    CHECK(refused.hint == "write: lotwort brewhouse change home --efficiency 72%@fermenter\n"
                          "or: lotwort brewhouse change home --efficiency 72%@kettle");
    std::string asked;
    b.surroundings().ask = [&](const std::string& question) -> std::optional<std::string> {
        asked = question;
        return "kettle";
    };
    const Json told = b.json("brewhouse change home --efficiency 72%±1")["brewhouses"][0];
    CHECK(asked == "72%±1 of the malt's extract: in the fermenter, or in the kettle? (fermenter or kettle) ");
    CHECK(told["stated"]["efficiency_kettle_pct"] == 72);
    CHECK(told["in_use"]["efficiency_kettle_pct"].get<double>() == near(72.0, 0.05));
}

TEST_CASE("what is stated is shown as it was, and an efficiency that it speaks against is remarked") {
    const Brewery b;
    b.begin({"\"pale ale malt\" 25kg --lot PAM-1"});
    const std::string against = "more than twice ± from what is told";
    const std::string far =
        b.done("brewhouse change home --efficiency 60%@fermenter --conversion 92% --conversion-sd 3%");
    const auto conversion = far.substr(far.find("\nconversion") + 1);
    const std::string line = conversion.substr(0, conversion.find('\n'));
    CHECK(line.find(" 92 %") != std::string::npos);
    CHECK(line.find("± 3 %") != std::string::npos);
    CHECK(line.ends_with("stated"));
    CHECK(far.find(against) != std::string::npos);
    CHECK(b.done("brewhouse change home --efficiency 78%@fermenter").find(against) == std::string::npos);
}

TEST_CASE("brews overtake what was told") {
    const Brewery b;
    b.begin({"\"pale ale malt\" 100kg --lot PAM-1 --on 2026-03-01"});
    b.done("brewhouse change home --efficiency 60%±2@fermenter");
    b.done("recipe add plain 23L --malt \"pale ale malt=5kg\"");
    const auto forecast = [&] {
        return b.json("plan plain --on 2026-03-20 --dry-run")["forecast"]["original_gravity_sg"]["value"].get<double>();
    };
    const double told = forecast();
    for (const char* brew : {"B1", "B2", "B3", "B4"}) {
        b.done("brew --recipe plain --add PAM-1=5kg@mash --on 2026-03-10");
        b.done(std::string("measure ") + brew + " kettle-full 27.5L@20C 1.0425@20C fermenter 23L@20C 1.049@20C");
    }
    const double taught = forecast();
    CHECK(told < 1.044);
    CHECK(taught == near(1.049, 0.0, 0.0025));
}

TEST_CASE("a time alone is of the boil, and days alone are a dry hop's") {
    const Brewery b;
    b.begin({"\"pale ale malt\" 25kg --lot PAM-1", "\"hop one\" 500g --kind hop"});
    b.done("recipe add ale 23L --gravity 1.048 --malt \"pale ale malt=100%\" --hop \"hop one=20g@60min\" "
           "--hop \"hop one=10g@15\" --hop \"hop one=50g@4days\"");
    b.done("recipe add same 23L --gravity 1.048 --malt \"pale ale malt=100%\" --hop \"hop one=20g@boil,60\" "
           "--hop \"hop one=10g@boil,15\" --hop \"hop one=50g@dry,4\"");
    CHECK(b.json("recipe show ale")["recipes"][0]["hops"] == b.json("recipe show same")["recipes"][0]["hops"]);
}

TEST_CASE("extract and sugar typed among the malts go into the kettle, and it is said; a malt's share is not touched") {
    const Brewery b;
    prepare(b);
    const auto others = [&] { return recipe(b, "partial")["others"]; };
    const std::string said =
        b.done("recipe add partial 23L --malt \"pale ale malt=2kg\" --malt \"dry malt extract=1.5kg\"");
    CHECK(said.find("dry malt extract is dissolved, not mashed: it goes into the kettle") != std::string::npos);
    CHECK(recipe(b, "partial")["grist"].size() == 1);
    REQUIRE(others().size() == 1);
    CHECK(others()[0]["stage"] == "kettle");
    CHECK(others()[0]["mass_kg"] == 1.5);
    b.done("recipe change partial --malt \"dry malt extract=1kg\""); // the same line, not another
    REQUIRE(others().size() == 1);
    CHECK(others()[0]["mass_kg"] == 1.0);
    b.done("recipe add mixed 23L --malt \"pale ale malt=2kg\" --malt \"dry malt extract=1kg\" --other "
           "\"candy sugar=200g@kettle\"");
    CHECK(recipe(b, "mixed")["others"].size() == 2);
    CHECK(b.run("recipe add twice 23L --malt \"pale ale malt=2kg\" --malt \"candy sugar=1kg\" --other \"candy "
                "sugar=200g@kettle\"")
              .error.find("candy sugar stands twice") != std::string::npos);
    // a file may mash it, and a change of something else leaves it there
    b.write("mashed.toml", "name = \"mashed\"\nvolume_l = 20\n[[grist]]\nitem = \"pale ale malt\"\nmass_kg = 3\n"
                           "[[grist]]\nitem = \"candy sugar\"\nmass_kg = 0.5\n");
    b.done("recipe add FOLDER/mashed.toml");
    b.done("recipe change mashed --boil 70min");
    b.done("recipe change mashed --malt \"candy sugar=400g\"");
    CHECK(recipe(b, "mashed")["grist"].size() == 2);
}

TEST_CASE("hops go in when brewers say: at flameout, into the whirlpool") {
    const Brewery b;
    prepare(b);
    b.done("recipe add hoppy 23L --malt \"pale ale malt=4kg\" --hop \"bittering hop=20g@flameout\" --hop \"late "
           "hop=30g@whirlpool,20,80C\"");
    const Json hops = recipe(b, "hoppy")["hops"];
    REQUIRE(hops.size() == 2);
    CHECK(hops[0]["minutes"] == 0);
    CHECK(hops[1]["stage"] == "stand");
    CHECK(hops[1]["minutes"] == 20);
    CHECK(hops[1]["temperature_c"] == 80);
}
