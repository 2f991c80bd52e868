// Every page as a browser shows it: nothing asked of a network, no complaint, each chart there, no text upon another,
// nothing wider than the window; on a telephone, a tablet, a desk and paper, by day and by night. Where there is no
// Chromium the test says so and looks at nothing.
//
// LOTWORT_PICTURES=FOLDER keeps a picture of each, to be looked at.
#include "chromium.hpp"
#include "looks.hpp"
#include <algorithm>
#include <cstdlib>
#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>
#include <unistd.h>

using namespace lotwort::test;
namespace fs = std::filesystem;

namespace {

class Folder {
public:
    Folder() : path_(fs::temp_directory_path() / ("lotwort-browser-" + std::to_string(getpid()))) {
        fs::create_directories(path_);
        run("init --currency EUR");
        run("import '" LOTWORT_SOURCE_DIR "/tests/golden/first-brewery.json'");
    }
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    void run(const std::string& words) const {
        const std::string line = "cd '" + path_.string() + "' && LOTWORT_LEDGER=b.lotwort LOTWORT_TODAY=" + today +
                                 " '" LOTWORT_PROGRAM "' " + words + " > out.txt 2>&1";
        REQUIRE_MESSAGE(std::system(line.c_str()) == 0, words); // NOLINT: our own words
    }
    [[nodiscard]] std::string path() const { return path_.string(); }

    static constexpr const char* today = "2025-06-20";

private:
    fs::path path_;
};

std::size_t pages_in(const std::string& pdf) {
    std::size_t pages = 0;
    for (auto at = pdf.find("/Type /Page"); at != std::string::npos; at = pdf.find("/Type /Page", at + 1))
        if (pdf.compare(at, 12, "/Type /Pages") != 0) ++pages;
    return pages;
}

void look_at(Chromium& browser, const std::string& page) {
    struct View {
        int width;
        const char* medium;
        const char* scheme;
    };
    for (const View view : {View{360, "screen", "light"}, View{390, "screen", "dark"}, View{800, "screen", "dark"},
                            View{1280, "screen", "light"}, View{700, "print", "light"}}) {
        const std::string name = page + "-" + std::to_string(view.width) + "-" + view.medium + "-" + view.scheme;
        CAPTURE(name);
        browser.show(view.width, view.medium, view.scheme);
        const Json faults = browser.evaluate(measure);
        CHECK_MESSAGE(faults.empty(), faults.dump(1));
        if (std::getenv("LOTWORT_PICTURES") != nullptr) keep_picture(name + ".png", browser.screenshot());
    }
}

} // namespace

TEST_CASE("pages stand in a browser as they should") {
    if (!Chromium::program()) {
        MESSAGE("no Chromium here: pages were not looked at (install the package chromium)");
        return;
    }
    const Folder folder;
    Chromium browser(folder.path());
    for (const std::string what : {"", "brew B024", "brew B015", "lot PM-03", "plan P001", "trace PM-02", "brewhouse",
                                   "stock", "purchase", "substitute", "brew-sheet P001", "count-sheet"}) {
        CAPTURE(what);
        const std::string kind = what.substr(0, what.find(' '));
        std::string name = what.empty() ? "brewery" : what;
        std::ranges::replace(name, ' ', '-');
        folder.run("report " + what + " --out " + name + ".html");
        browser.open(folder.path() + "/" + name + ".html");
        look_at(browser, name);
        const bool is_sheet = kind.ends_with("-sheet");
        const Json charts = browser.evaluate("document.querySelectorAll('svg').length");
        const bool has_none = is_sheet || kind == "substitute" || kind == "plan" || kind == "trace";
        CHECK((charts.get<int>() > 0) == !has_none);
        const std::string pdf = browser.printed();
        keep_picture(name + ".pdf", pdf);
        if (!is_sheet) continue;
        CHECK(pages_in(pdf) == 1);
        browser.show(700, "print", "light"); // rows that are written in stand 9 mm apart: 34 CSS pixels
        CHECK(browser
                  .evaluate("Math.min(...[...document.querySelectorAll('tbody tr:not(.across)')].map(r => "
                            "r.getBoundingClientRect().height))")
                  .get<double>() >= 33.9);
    }
    CHECK_MESSAGE(browser.complaints().empty(), browser.complaints().front());
    CHECK_MESSAGE(browser.requests().empty(), browser.requests().front());
}

// A telephone reads what is on the sack: a scanner, where there is one, reads each label's code off the picture.
TEST_CASE("labels hold the codes of the lots, as a scanner reads them") {
    if (!Chromium::program()) return;
    const Folder folder;
    folder.run("receive \"pale malt\" 25kg --lot 'Ä <odd> & \"lot\" 12' --supplier one --on 2025-06-19");
    folder.run("report labels --out labels.html");
    Chromium browser(folder.path());
    browser.open(folder.path() + "/labels.html");
    look_at(browser, "labels");
    browser.show(1280, "screen", "light");
    const Json codes = browser.evaluate("[...document.querySelectorAll('.code')].map(e => e.textContent)");
    REQUIRE(codes.size() > 3);
    CHECK(std::ranges::find(codes, Json("Ä <odd> & \"lot\" 12")) != codes.end());
    CHECK(pages_in(browser.printed()) == 1);
    if (std::system("command -v zbarimg > /dev/null") != 0) { // NOLINT: our own words
        MESSAGE("no zbarimg here: the codes were not scanned (install the package zbar-tools)");
        return;
    }
    std::ofstream(folder.path() + "/labels.png", std::ios::binary) << browser.screenshot();
    const std::string scan =
        "cd '" + folder.path() + "' && zbarimg -q --raw -Sdisable -Sqrcode.enable labels.png | sort > scanned.txt";
    REQUIRE(std::system(scan.c_str()) == 0); // NOLINT: our own words
    std::ifstream in(folder.path() + "/scanned.txt");
    std::vector<std::string> scanned, wanted;
    for (std::string line; std::getline(in, line);) scanned.push_back(line);
    for (const Json& code : codes) wanted.push_back(code);
    std::ranges::sort(wanted);
    std::ranges::sort(scanned);
    CHECK(scanned == wanted);
}

// What is typed leaves the rows that hold it; the script is the one that the page lets run.
TEST_CASE("the index of all pages is searched") {
    if (!Chromium::program()) return;
    const Folder folder;
    folder.run("report --all --out all");
    Chromium browser(folder.path());
    browser.open(folder.path() + "/all/index.html");
    look_at(browser, "index");
    browser.show(390, "screen", "light");
    const auto type = [&](const std::string& words) {
        return browser.evaluate("(() => { const box = document.querySelector('input'); box.value = '" + words +
                                "'; box.dispatchEvent(new Event('input')); return [...document.querySelectorAll('tbody "
                                "tr')].filter(r => r.checkVisibility()).map(r => r.textContent); })()");
    };
    CHECK(type("").size() == 30); // 24 brews, 5 lots on hand, a plan
    const Json found = type("Strong b0");
    CHECK(found.size() > 3);
    for (const Json& row : found) CHECK(row.get<std::string>().find("strong pale") != std::string::npos);
    CHECK(type("no such brew").empty());
    const Json used_up = type("PM-01"); // from among what is folded
    REQUIRE(used_up.size() == 1);
    CHECK_MESSAGE(browser.complaints().empty(), browser.complaints().front());
    CHECK_MESSAGE(browser.requests().empty(), browser.requests().front());
}

// Ten malts, eight hops and four salts, each with a lot, and twenty lots more.
TEST_CASE("the sheets of a long brew day and of a full store are a page each") {
    if (!Chromium::program()) return;
    const Folder folder;
    std::string items, lots, grist, hops, others;
    const auto add = [](std::string& list, const std::string& record) { list += (list.empty() ? "" : ",") + record; };
    const auto stock = [&](const std::string& kind, int i, const char* mass) {
        const std::string name = "\"" + kind + " no " + std::to_string(i) + "\"";
        add(items,
            "{\"name\": " + name + ", \"kind\": \"" + kind + "\"" + (kind == "hop" ? ", \"alpha_pct\": 8}" : "}"));
        add(lots, "{\"code\": \"" + kind + std::to_string(i) + "\", \"item\": " + name +
                      ", \"received\": \"2025-06-01\", \"mass_kg\": " + mass + "}");
        return name;
    };
    for (int i = 0; i < 10; ++i) add(grist, "{\"item\": " + stock("malt", i, "25") + ", \"share_pct\": 10}");
    for (int i = 0; i < 8; ++i) add(hops, "{\"item\": " + stock("hop", i, "1") + ", \"minutes\": 30, \"mass_g\": 5}");
    for (int i = 0; i < 4; ++i)
        add(others, "{\"item\": " + stock("salt", i, "1") + ", \"stage\": \"kettle\", \"mass_kg\": 0.005}");
    for (int i = 10; i < 30; ++i) stock("malt", i, "25");
    std::ofstream(folder.path() + "/big.json")
        << R"({"schema": "lotwort/exchange/1", "items": [)" << items << "], \"lots\": [" << lots
        << R"(], "recipes": [{"name": "big", "volume_l": 20, "original_gravity_sg": 1.06, "grist": [)" << grist
        << "], \"hops\": [" << hops << "], \"others\": [" << others << "]}]}";
    folder.run("import big.json");
    folder.run("plan big --on 2025-06-25");
    Chromium browser(folder.path());
    for (const char* sheet : {"brew-sheet P002", "count-sheet"}) {
        CAPTURE(sheet);
        folder.run(std::string("report ") + sheet + " --out sheet.html --force");
        browser.open(folder.path() + "/sheet.html");
        CHECK(browser.evaluate("document.querySelectorAll('tbody tr').length").get<int>() > 25);
        CHECK(pages_in(browser.printed()) == 1);
    }
}

// The measuring itself: a page with two texts upon each other, a request and a complaint is found out.
TEST_CASE("what is wrong with a page is seen") {
    if (!Chromium::program()) return;
    const Folder folder;
    std::ofstream(folder.path() + "/bad.html")
        << "<html><body><svg width='300' height='100'><text x='10' y='20'>one</text><text x='12' "
           "y='22'>two</text></svg>"
           "<svg width='0' height='0'></svg><img src='file:///nowhere.png'><script>console.error('no')</script>"
           "<p style='width:2000px'>wide</p></body></html>";
    Chromium browser(folder.path());
    browser.open(folder.path() + "/bad.html");
    browser.show(360, "screen", "light");
    const Json faults = browser.evaluate(measure);
    CHECK(faults.size() == 3);
    CHECK(browser.requests().size() == 1);
    CHECK_FALSE(browser.complaints().empty());
}
