// All pages in a folder. What breaks if this breaks: a link that leads nowhere, a page that nobody finds, or a file
// outside the folder.
#include "brewery.hpp"
#include "report/markup.hpp"
#include <deque>
#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <lotwort/report/links.hpp>
#include <map>
#include <set>

using namespace lotwort;
using namespace lotwort::test;
namespace fs = std::filesystem;

namespace {

fs::path folder_of(const Brewery& b) {
    return fs::path(b.ledger_path()).parent_path();
}

std::map<std::string, std::string> files_in(const fs::path& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::directory_iterator(folder)) {
        std::ifstream in(entry.path(), std::ios::binary);
        files[entry.path().filename().string()] = {std::istreambuf_iterator<char>(in), {}};
    }
    return files;
}

// The pages that a page leads to.
std::set<std::string> links_of(const std::string& page) {
    const Parsed parsed = parse_markup(page);
    REQUIRE_MESSAGE(parsed.root, parsed.fault);
    std::set<std::string> links;
    for (const Node* a : parsed.root->all("a")) links.insert(a->attributes.at("href"));
    return links;
}

void brewed(const Brewery& b) {
    b.begin_pale(20.0, 4.0,
                 {"\"pale ale malt\" 25kg --lot PAM-1 --on 2026-01-05",
                  "\"pale ale malt\" 25kg --lot \"../odd & <lot> 2\"", "\"pale ale malt\" 5kg --lot PAM_1",
                  "\"pale ale malt\" 5kg --lot \"PAM 1\""});
    b.done("brew --recipe pale");
    b.done("measure B1 kettle-full 24L@20C 1.040@20C fermenter 20L 1.045");
    b.done("plan pale --on 2026-03-20");
}

} // namespace

TEST_CASE("every page is found from the index, and every link leads to a page") {
    const Brewery b;
    brewed(b);
    const Json written = b.json("report --all --out FOLDER/pages");
    const auto files = files_in(folder_of(b) / "pages");
    CHECK(written["schema"] == "lotwort/report/1");
    CHECK(written["pages"] == files.size());
    REQUIRE(files.contains("index.html"));
    std::set<std::string> reached{"index.html"};
    std::deque<std::string> next{"index.html"};
    while (!next.empty()) {
        const std::string page = next.front();
        next.pop_front();
        for (const std::string& link : links_of(files.at(page))) {
            CHECK_MESSAGE(files.contains(link), page, " leads to ", link);
            if (files.contains(link) && reached.insert(link).second) next.push_back(link);
        }
    }
    CHECK(reached.size() == files.size());
    for (const char* page : {"brewery.html", "brew-B1.html", "lot-PAM-1.html", "plan-P1.html", "brew-sheet-P1.html",
                             "labels.html", "statement-2026-02.html"})
        CHECK_MESSAGE(files.contains(page), page);
    // a brew leads to its lots, and a lot to its brews
    CHECK(links_of(files.at("brew-B1.html")).contains("lot-PAM-1.html"));
    CHECK(links_of(files.at("lot-PAM-1.html")).contains("brew-B1.html"));
    // a planned brew is led to from its day
    CHECK(links_of(files.at("calendar.html")).contains("plan-P1.html"));
    // two codes of which the same would be left are two files
    CHECK(files.contains("lot-PAM_1.html"));
    CHECK(files.contains("lot-PAM_1-2.html"));
    // the one script is the index's, and the page says which text may run
    for (const auto& [name, text] : files) {
        CHECK((text.find("<script>") != text.npos) == (name == "index.html"));
        CHECK((text.find("script-src 'sha256-") != text.npos) == (name == "index.html"));
    }
}

TEST_CASE("a name for a file is one that every disk takes, and no other page has") {
    report::PageFiles files;
    CHECK(files.named("lot", "PM-03") == "lot-PM-03.html");
    CHECK(files.named("lot", "pm-03") == "lot-pm-03-2.html");
    CHECK(files.named("lot", "../a b/c") == "lot-___a_b_c.html");
    CHECK(files.named("lot", ".._a_b/c") == "lot-___a_b_c-2.html");
    CHECK(files.named("lot", std::string(500, 'x')).size() < 80);
}

TEST_CASE("pages that are there are not replaced unasked, and nothing is half written") {
    const Brewery b;
    brewed(b);
    fs::create_directory(folder_of(b) / "pages");
    b.write("pages/stock.html", "mine");
    const auto refused = b.run("report --all --out FOLDER/pages");
    CHECK(refused.status == 1);
    CHECK(refused.error.ends_with("stock.html exists already"));
    CHECK(files_in(folder_of(b) / "pages").size() == 1);
    b.done("report --all --out FOLDER/pages --force");
    CHECK(b.read("pages/stock.html").starts_with("<!DOCTYPE html>"));
    CHECK(b.run("report --all --out FOLDER/none/pages").status == 1);
}
