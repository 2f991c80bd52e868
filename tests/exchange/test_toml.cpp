// Recipes and kit as people write them by hand.
#include "golden.hpp"
#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/toml_file.hpp>
#include <string>
#include <vector>

using namespace lotwort;
using test::project_file;

namespace {

// The blocks of docs/exchange.md that are fenced as ```toml KIND.
std::vector<std::string> examples(const std::string& kind) {
    const std::string page = project_file("docs/exchange.md");
    const std::string fence = "```toml " + kind + "\n";
    std::vector<std::string> found;
    for (auto at = page.find(fence); at != std::string::npos; at = page.find(fence, at + 1)) {
        const auto from = at + fence.size();
        found.push_back(page.substr(from, page.find("```", from) - from));
    }
    return found;
}

std::string refusal(const std::string& text) {
    try {
        (void)read_recipe_toml(text, "r.toml");
        return {};
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::refused);
        return error.what();
    }
}

} // namespace

TEST_CASE("the manual's recipe is read to its last line") {
    const auto pages = examples("recipe");
    REQUIRE(pages.size() == 2);
    const std::vector<Recipe> recipes = read_recipe_toml(pages[0], "manual");
    REQUIRE(recipes.size() == 1);
    const Recipe& recipe = recipes[0];
    CHECK(recipe.name == "ordinary pale");
    CHECK(recipe.volume == Litres(23.0));
    CHECK(recipe.original_gravity == SpecificGravity(1.047));
    CHECK(recipe.boil == Minutes(60.0));
    CHECK(recipe.attenuation == Percent(76.0));
    REQUIRE(recipe.grist.size() == 2);
    CHECK(recipe.grist[0] == GristLine{"pale ale malt", Percent(94.0), {}});
    CHECK(recipe.grist[1] == GristLine{"amber caramel malt", Percent(6.0), {}});
    REQUIRE(recipe.hops.size() == 2);
    CHECK(recipe.hops[0] == HopLine{"bittering hop", Stage::boil, Minutes(60.0), {}, {}, {}, BitternessUnits(28.0)});
    CHECK(recipe.hops[1] == HopLine{"aroma hop", Stage::stand, Minutes(30.0), Celsius(80.0), {}, Grams(40.0), {}});
    CHECK(recipe.others == std::vector{OtherLine{"ale yeast", Stage::fermenter, {}, {}, {}, 2}});

    const std::vector<Recipe> several = read_recipe_toml(pages[1], "manual");
    REQUIRE(several.size() == 2);
    CHECK(several[0].grist[0].mass == Kilograms(4.65));
    CHECK(several[1].name == "wheat beer");
}

TEST_CASE("the manual's brewhouse is read with its vessel and instruments") {
    const auto pages = examples("brewhouse");
    REQUIRE(pages.size() == 1);
    const BrewhouseFile file = read_brewhouse_toml(pages[0], "manual");
    CHECK(file.brewhouse.name == "main");
    CHECK(file.brewhouse.sparge == Sparge::batch);
    CHECK(file.brewhouse.boil_off == LitresPerHour(3.2));
    REQUIRE(file.brewhouse.vessels.size() == 1);
    CHECK(file.brewhouse.vessels[0].point == ReadingPoint::kettle_full);
    CHECK(file.brewhouse.vessels[0].dip_table[1] == DipMark{Centimetres(10.0), Litres(12.5)});
    REQUIRE(file.instruments.size() == 2);
    CHECK(file.instruments[0].kind == InstrumentKind::volume_marks);
    CHECK(file.instruments[1].calibration == Celsius(20.0));
}

TEST_CASE("the least a recipe needs") {
    CHECK(read_recipe_toml("name = \"water\"\nvolume_l = 1", "r")[0].name == "water");
    CHECK(refusal("") == "r.toml holds 2 faults\n"
                         "r.toml:1:1: name: is missing\n"
                         "r.toml:1:1: volume_l: is missing");
    CHECK(read_brewhouse_toml("name = \"kit\"\nvolume_l = 20", "b").instruments.empty());
}

TEST_CASE("faults of a file by hand are told as those of an exchange file") {
    CHECK(refusal("name = \"x\"\nvolume_l = 23\noriginal_gravity_sg = 1.5\nhopz = 3\n"
                  "grist = [{item = \"malt\", share_pct = 90}, {item = \"other\", share_pct = \"10\"}]\n") ==
          "r.toml holds 3 faults\n"
          "r.toml:3:23: original_gravity_sg: 1.5 is outside 1 to 1.2; a specific gravity is written 1.048\n"
          "r.toml:4:1: hopz: unknown field; did you mean `hops`?\n"
          "r.toml:5:72: grist[1].share_pct: a text where a number is due; write it without quotes");
    CHECK(refusal("[[recipe]]\nname = \"x\"\nvolume_l = 3\n[[recipe]]\nname = \"x\"\nvolume_l = 3\n") ==
          "r.toml:5:8: recipe[1].name: `x` stands twice; first in [0]");
    CHECK(refusal("[recipe]\nname = \"x\"\n") == "r.toml:1:1: recipe: a record where a list, [ ... ], is due");
    CHECK(refusal("name = \"x\"\nvolume_l = 23\n[[hops]]\nitem = \"h\"\nmass_g = 5\nboil_minutes = 60\n") ==
          "r.toml:6:1: hops[0].boil_minutes: unknown field; did you mean `minutes`?");
    CHECK(refusal("name = \"x\"\nvolume_l = inf\n") ==
          "r.toml:2:12: no finite number; leave the field out where nothing is known");
}

TEST_CASE("a name by hand that two figures share is the one whose unit it has; whole names take units too") {
    const auto recipe = [](const std::string& lines) {
        return read_recipe_toml("name = \"x\"\nvolume_l = 23\n" + lines, "r")[0];
    };
    CHECK(recipe("mash_rest = \"60min\"\n").mash_rest_time == Minutes(60.0));
    CHECK(recipe("mash_rest = \"66C\"\n").mash_rest == Celsius(66.0));
    const Recipe both = recipe("mash_rest = \"66C\"\nmash_rest_minutes = \"1h\"\nboil_minutes = \"90min\"\n");
    CHECK(both.mash_rest == Celsius(66.0));
    CHECK(both.mash_rest_time == Minutes(60.0));
    CHECK(both.boil == Minutes(90.0));
    CHECK(refusal("name = \"x\"\nvolume_l = 23\nmash_rest = \"3kg\"\n").starts_with("r.toml:3:13: mash_rest: `3kg` "));
}

TEST_CASE("what is typed beyond belief is told with its place, whatever its unit") {
    const std::string least = "name = \"x\"\nvolume_l = 23\n";
    CHECK(refusal(least + "original_gravity = \"1.5\"\n").starts_with("r.toml:3:20: original_gravity: "));
    CHECK(refusal(least + "grist = [{item = \"m\", mass_kg = 1, colour = \"9000EBC\"}]\n")
              .starts_with("r.toml:3:45: grist[0].colour: "));
    CHECK(refusal(least + "boil = \"9000h\"\n").starts_with("r.toml:3:8: boil: "));
}

TEST_CASE("what is no TOML is told with its place") {
    CHECK(refusal("name = \"x\nvolume_l = 3\n").starts_with("r.toml:1:10: no TOML: "));
    CHECK(refusal("name = \"x\"\nname = \"y\"\n").starts_with("r.toml:2:8: no TOML: "));
    CHECK(refusal("name = \"caf\xe9\"\n").starts_with("r.toml:1:"));
    CHECK(refusal("{\"name\": \"x\"}").starts_with("r.toml:1:"));
    CHECK(refusal(std::string("name = \"a\0b\"", 12)).starts_with("r.toml:1:"));
}

TEST_CASE("a hostile file is refused, and ends nothing else") {
    const std::string deep = "r.toml:1:130: nested deeper than 64 levels";
    std::string dotted = "a";
    for (int i = 0; i < 300'000; ++i) dotted += ".a";
    CHECK(refusal(dotted + " = 1") == deep);
    CHECK(refusal("[" + dotted + "]").ends_with("nested deeper than 64 levels"));
    CHECK(refusal("x = \"\"\"a\"\"\"\"\"\n" + dotted + " = 1") == "r.toml:2:130: nested deeper than 64 levels");
    CHECK(refusal("x = '# \"'\n" + dotted + " = 1") == "r.toml:2:130: nested deeper than 64 levels");
    CHECK(refusal("a = " + std::string(400'000, '[')).starts_with("r.toml:1:"));
    CHECK(refusal("a = " + std::string(100, '[') + std::string(100, ']')).ends_with("nested deeper than 64 levels"));
    std::string tables = "a = ";
    for (int i = 0; i < 100'000; ++i) tables += "{b = ";
    CHECK(refusal(tables).starts_with("r.toml:1:"));
    CHECK(refusal(std::string(1'000'001, ' ')) ==
          "r.toml:1:1: 1000001 bytes; a file of recipes or kit holds 1000000 at most");
    // dots that nest nothing
    CHECK(
        read_recipe_toml("name = \"" + std::string(500, '.') + "x\" # " + std::string(500, '.') + "\nvolume_l = 1", "r")
            .size() == 1);
}
