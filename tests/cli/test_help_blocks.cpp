// What the help shows in a block of its own can be copied as it is printed.
#include "brewery.hpp"
#include <doctest/doctest.h>
#include <sstream>

using namespace lotwort::test;

namespace {

// The indented blocks of a page as the terminal shows it, up to its worked example.
std::vector<std::string> blocks_of(const Brewery& b, const std::string& verb) {
    std::istringstream page(b.done(verb + " --help"));
    std::vector<std::string> blocks;
    bool open = false;
    for (std::string line; std::getline(page, line) && line != "Example";) {
        const bool is_code = line.starts_with("    ");
        if (is_code && !open) blocks.emplace_back();
        if (is_code) blocks.back() += line.substr(4) + "\n";
        open = is_code;
    }
    return blocks;
}

} // namespace

TEST_CASE("the help's recipe, copied into a file, is a recipe") {
    const Brewery b;
    b.begin({});
    const auto blocks = blocks_of(b, "recipe");
    REQUIRE(blocks.size() == 1);
    b.write("copied.toml", blocks[0]);
    b.done("recipe add FOLDER/copied.toml");
    const Json recipe = b.json("recipe show \"pale ale\"")["recipes"][0];
    CHECK(recipe["grist"].size() == 2);
    CHECK(recipe["hops"][0]["bitterness_ibu"] == 30);
}

TEST_CASE("the help's kit, copied into a file, is a brewhouse with its instrument") {
    const Brewery b;
    b.done("init");
    const auto blocks = blocks_of(b, "brewhouse");
    REQUIRE(blocks.size() == 1);
    b.write("copied.toml", blocks[0]);
    b.done("brewhouse add --file FOLDER/copied.toml");
    CHECK(b.json("brewhouse show garage")["instruments"][0]["stated"]["name"] == "stem");
}

TEST_CASE("every spelling in measure's table of readings is taken") {
    const Brewery b;
    b.begin({"\"pale ale malt\" 25kg --lot A"});
    b.done("brewhouse vessel home --point kettle-full --dip 0cm=0L --dip 60cm=40L");
    b.done("recipe add plain 23L --malt \"pale ale malt=5kg\"");
    b.done("brew --recipe plain");
    const auto blocks = blocks_of(b, "measure");
    REQUIRE(blocks.size() == 1);
    std::istringstream table(blocks[0]);
    int tried = 0;
    for (std::string line; std::getline(table, line);) {
        // behind the kind, words apart by at most two blanks, up to what they mean
        std::istringstream words(line.substr(9, line.find("   ", 9) - 9));
        for (std::string word; words >> word;) {
            const bool is_of_mash = word.starts_with("gap") || word.starts_with("pH") || word == "65C";
            const std::string point = is_of_mash ? "mash" : word.ends_with("IBU") ? "final" : "kettle-full";
            CAPTURE(word);
            CHECK(b.run("measure B1 " + point + " " + word).status == 0);
            ++tried;
        }
    }
    CHECK(tried >= 10);
}

TEST_CASE("the line that convert shows is a command") {
    const Brewery b;
    std::istringstream page(b.done("convert --help")); // too wide to be indented at a terminal
    int tried = 0;
    for (std::string line; std::getline(page, line) && line != "Example";)
        if (line.starts_with("lotwort ") && line.find("--table") != std::string::npos) {
            CHECK(b.run(line.substr(8)).status == 0);
            ++tried;
        }
    CHECK(tried == 1);
}
