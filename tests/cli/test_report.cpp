// Pages from the ledger, and what they say of it.
#include "brewery.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void brewed(const Brewery& b) {
    b.done("init --currency EUR");
    b.done("brewhouse add garage 23L");
    b.done("receive \"pale ale malt\" 25kg --lot PAM-1 --price 30");
    b.done("receive \"bittering hop\" 200g --lot BH-1 --alpha 11% --price 8");
    b.write("pale.toml", "name = \"pale\"\nvolume_l = 20\noriginal_gravity_sg = 1.045\nboil_minutes = 60\n"
                         "grist = [{item = \"pale ale malt\", share_pct = 100}]\n"
                         "hops = [{item = \"bittering hop\", stage = \"boil\", minutes = 60, mass_g = 20}]\n");
    b.done("recipe add FOLDER/pale.toml");
    b.done("brew --recipe pale");
    b.done("measure B1 kettle-full 24L@20C 1.040@20C fermenter 20L 1.045");
}

bool says(const std::string& page, const std::string& words) {
    return page.find(words) != std::string::npos;
}

} // namespace

TEST_CASE("a page goes to standard output or to a file, which is not replaced unasked") {
    const Brewery b;
    brewed(b);
    const std::string page = b.done("report brew B1");
    CHECK(page.starts_with("<!DOCTYPE html>\n"));
    const Json written = b.json("report brew b1 --out FOLDER/b1.html");
    CHECK(written["schema"] == "lotwort/report/1");
    CHECK(written["title"] == "B1: pale");
    CHECK(written["charts"] == 5);
    CHECK(written["bytes"] == page.size());
    CHECK(b.read("b1.html") == page);
    CHECK(b.run("report brew B1 --out FOLDER/b1.html").status == 1);
    CHECK(b.done("report brew B1 --out FOLDER/b1.html --force").starts_with("wrote "));
}

TEST_CASE("each page tells of its own") {
    const Brewery b;
    brewed(b);
    CHECK(says(b.done("report"), "The brewery"));
    CHECK(says(b.done("report brewhouse"), "The brewhouse: garage"));
    CHECK(says(b.done("report brewhouse garage"), "1 brew,"));
    CHECK(says(b.done("report stock"), "How long the stock lasts"));
    CHECK(says(b.done("report lot PAM-1"), "Against its certificate"));
    CHECK_FALSE(says(b.done("report lot BH-1"), "Against its certificate"));
    CHECK(says(b.done("report count-sheet"), "PAM-1"));
    b.done("plan pale --on 2026-03-20");
    const std::string sheet = b.done("report brew-sheet P1");
    CHECK(says(sheet, "boil 60 min"));
    CHECK(says(sheet, "P1: pale"));
    for (const char* words : {"strike liquor", "first wort", "last runnings", "kettle full", "cast-out", "fermenter",
                              "boil off", "of water", "Brewer", "Time", "Notes"})
        CHECK_MESSAGE(says(sheet, words), words);
    const std::string plan = b.done("report plan P1");
    CHECK(says(plan, "Everything is there."));
    CHECK(says(plan, "first wort"));
    CHECK(says(plan, "lotwort report brew-sheet P1"));
    const std::string trace = b.done("report trace PAM-1");
    CHECK(says(trace, "Trace of PAM-1"));
    CHECK(says(trace, "B1"));
    CHECK(says(trace, "It is in 1 brew. None of the beer is packaged."));
    CHECK(says(b.done("report trace B1"), "PAM-1"));
    b.done("package B1 30 bottles 0.5L");
    b.done("package B1-1 10 --to \"the corner\"");
    CHECK(says(b.done("report trace PAM-1"), "1 packaging run; 20 of 30 are still here."));
    CHECK(says(b.done("report trace B1"), "Made of 2 lots. 1 packaging run; 20 of 30 are still here."));
}

TEST_CASE("labels are of all lots on hand, or of those named, in the order in which they are named") {
    const Brewery b;
    brewed(b);
    b.done("receive \"pale ale malt\" 5kg --lot PAM-10 --best-before 2027-01-31");
    b.done("receive \"pale ale malt\" 5kg --lot PAM-2");
    const std::string all = b.done("report labels");
    CHECK(all.find(">PAM-2<") < all.find(">PAM-10<"));
    CHECK(says(all, "best before <"));
    CHECK(says(all, "2027-01-31"));
    CHECK(says(all, ">bittering hop<"));
    const std::string some = b.done("report labels PAM-10 BH-1");
    CHECK(some.find(">PAM-10<") < some.find(">BH-1<"));
    CHECK_FALSE(says(some, ">PAM-2<"));
    b.done("discard PAM-2 all --reason damp");
    CHECK_FALSE(says(b.done("report labels"), ">PAM-2<"));
    CHECK(says(b.done("report labels PAM-2"), ">PAM-2<")); // who names it wants it
    const auto two = b.run("report brew B1 B2");
    CHECK(two.status == 2);
    CHECK(two.error == "a page is of one brew, and 2 are named");
}

TEST_CASE("an empty ledger has its pages too") {
    const Brewery b;
    b.done("init");
    CHECK(says(b.done("report"), "No brew to learn from yet"));
    CHECK(says(b.done("report stock"), "No stock yet"));
    CHECK(says(b.done("report count-sheet"), "Nothing is on hand"));
    CHECK(says(b.done("report labels"), "Nothing is on hand"));
}
