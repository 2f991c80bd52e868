// A brew is balanced by what the others taught, wherever it is shown, and its own readings count once.
#include "brewery.hpp"
#include "golden.hpp"
#include "near.hpp"
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iterator>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// Six brews of one bitter, three days apart.
struct SixBrews : Brewery {
    SixBrews() : Brewery("2026-03-01") {
        begin_pale(23, 4.5, {"\"pale ale malt\" 50kg --lot PAM-1"});
        for (int n = 1; n <= 6; ++n) {
            today(fmt::format("2026-03-{:02}", 3 * n).c_str());
            done("brew --recipe pale --on today --sure");
            done(fmt::format("measure B{} kettle-full 28.5L@75C 1.040 cast-out 25.5L@95C fermenter 23L 1.04{}", n,
                             4 + n % 2));
        }
    }
};

double brewhouse(const Json& answer) {
    return answer["efficiencies"]["brewhouse"]["value"].get<double>();
}

} // namespace

TEST_CASE("reconcile: a brew is expected as the five others lead to it, the first one as the brewhouse states") {
    const SixBrews b;
    const Json sixth = b.json("reconcile B6");
    CHECK(sixth["other_brews"] == 5);
    CHECK(b.done("reconcile B6").find("and what 5 other brews led to expect agree") != std::string::npos);
    // what was given up teaches nothing
    for (int n = 2; n <= 6; ++n) b.done(fmt::format("brew B{} --abandon spilt --used PAM-1=4.5kg", n));
    const Json alone = b.json("reconcile B1");
    CHECK(alone["other_brews"] == 0);
    CHECK(b.done("reconcile B1").find("and what the brewhouse is expected to do agree") != std::string::npos);
}

TEST_CASE("reconcile: a brew has one efficiency, by itself, in the list of all and on its page") {
    const SixBrews b;
    b.done("brew B4 --abandon spilt --used PAM-1=4.5kg");
    const Json all = b.json("reconcile --all");
    int rows = 0;
    for (const Json& row : all["brews"]) {
        const std::string brew = row["brew"];
        if (brew == "B4") {
            CHECK(b.run("reconcile B4").status == 1);
            continue;
        }
        CHECK(brewhouse(b.json("reconcile " + brew)) == near(brewhouse(row), 1e-9));
        ++rows;
    }
    CHECK(rows == 5);
    b.done("report brew B6 --out FOLDER/b6.html");
    std::ifstream file(std::filesystem::path(b.ledger_path()).parent_path() / "b6.html");
    const std::string page{std::istreambuf_iterator<char>(file), {}};
    CHECK(page.find(fmt::format("{:.1f} ±", 100.0 * brewhouse(b.json("reconcile B6")))) != std::string::npos);
}

// Of the first some contradict themselves and teach nothing.
TEST_CASE("reconcile: a brew of either example brewery is told alike alone and with all, efficiency and test") {
    for (const char* which : {"first", "second"}) {
        Brewery b;
        b.done("init");
        b.write("brewery.json", project_file(fmt::format("tests/golden/{}-brewery.json", which)));
        b.done("import FOLDER/brewery.json");
        for (const Json& row : b.json("reconcile --all")["brews"]) {
            const std::string brew = row["brew"];
            CAPTURE(brew);
            const Json alone = b.json("reconcile " + brew);
            CHECK(brewhouse(alone) == near(brewhouse(row), 1e-9));
            CHECK(alone["test"]["p_value"].get<double>() == near(row["test"]["p_value"].get<double>(), 1e-6));
        }
    }
}

TEST_CASE("report: the brewery's page begins with what needs somebody, and names the brew that was misread") {
    SixBrews b;
    b.today("2026-03-20");
    b.done("brew --recipe pale --on today");
    b.done("measure B7 kettle-full 28.5L@75C 1.040 cast-out 25.5L@95C fermenter 23L 1.064 --sure");
    b.done("report --out FOLDER/all.html");
    std::ifstream file(std::filesystem::path(b.ledger_path()).parent_path() / "all.html");
    const std::string page{std::istreambuf_iterator<char>(file), {}};
    const auto first = page.find("What needs you"), brewhouse = page.find("<h2>The brewhouse</h2>");
    REQUIRE(first != std::string::npos);
    REQUIRE(brewhouse != std::string::npos);
    CHECK(first < brewhouse);
    const std::string needs = page.substr(first, brewhouse - first);
    CHECK(needs.find("B7 of <span class=\"whole\">2026-03-20:</span> The readings contradict each other") !=
          std::string::npos);
    CHECK(needs.find("lotwort reconcile B7") != std::string::npos);
    CHECK(needs.find("B6 of") == std::string::npos); // the others agree
    const std::string brews = page.substr(page.find("Odd reading"));
    CHECK(brews.find("the fermenter gravity (r") < brews.find(">B6<")); // in the row of the last one
}
