// The pages that are worked with, in a browser: a brew day by touch alone on a telephone, a delivery, a count, a
// shortage; then each page as it looks, by day and by night, on a telephone and a desk.
#include "../serve/served.hpp"
#include "chromium.hpp"
#include "looks.hpp"
#include <chrono>
#include <doctest/doctest.h>
#include <thread>

using namespace lotwort::test;

namespace {

const std::vector<std::string> small_brewery{
    "init --currency EUR",
    "receive 'pale ale malt' 25kg --lot PAM-1 --price 32.50 --best-before 2027-03-01 --on 2026-03-01",
    "receive 'crystal malt' 2kg --lot CM-1 --price 5 --on 2026-03-01",
    "receive 'bittering hop' 500g --lot BH-1 --alpha 10.5% --price 14 --on 2026-03-01",
    "receive 'ale yeast' 3pieces --lot Y-1 --on 2026-03-01",
    "brewhouse add shed 23L",
    "recipe add pale 23L --gravity 1.048 --malt 'pale ale malt=93%' --malt 'crystal malt=7%' "
    "--hop 'bittering hop=30g@boil,60'",
    "recipe add strong 23L --gravity 1.090 --malt 'pale ale malt=70%' --malt 'crystal malt=30%'",
    "plan pale --on 2026-03-14",
    "plan strong --on 2026-03-20 || true",
};

class Telephone {
public:
    explicit Telephone(Served& served) : served_(served), browser_(served.folder()) {
        browser_.show(390, "screen", "light");
    }
    void open(const std::string& path) { browser_.open(served_.address() + path.substr(1)); }
    void fill(const std::string& form, const std::string& name, const std::string& value) {
        const std::string at = "document.querySelector('#" + form + " [name=\"" + name + "\"]')";
        CHECK_MESSAGE(browser_.evaluate(at + " !== null").get<bool>(), form, " ", name);
        (void)browser_.evaluate(at + ".value = '" + value + "'");
    }
    void press(const std::string& form) {
        browser_.follow("document.querySelector('#" + form + " button.main').click()");
    }
    [[nodiscard]] std::string text() {
        return browser_.evaluate("(document.body || {innerText: ''}).innerText").get<std::string>();
    }
    [[nodiscard]] std::string answer() {
        return browser_.evaluate("(document.querySelector('.answer') || {innerText: ''}).innerText").get<std::string>();
    }
    [[nodiscard]] Chromium& browser() { return browser_; }

private:
    Served& served_;
    Chromium browser_;
};

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

// Of targets that are touched; the words in a line of text may be smaller.
constexpr const char* small_targets = R"js((() => {
  const small = [];
  for (const e of document.querySelectorAll('button, input:not([type=hidden]), select, textarea, nav a, a.go, summary')) {
    const fold = e.closest('details:not([open])');
    if (!e.checkVisibility() || (fold && !(e.matches('summary') && e.parentElement === fold))) continue;
    if (e.closest('figure')) continue;
    const box = (e.type === 'checkbox' ? e.parentElement : e).getBoundingClientRect();
    if (box.height < 44) small.push(e.outerHTML.slice(0, 80) + ' ' + box.height);
    if (e.matches('input:not([type=checkbox]), select, textarea') && document.querySelector('label[for="' + e.id + '"]') === null)
      small.push('no label: ' + e.outerHTML.slice(0, 80));
  }
  return small;
})())js";

void look_at(Telephone& telephone, const std::string& name) {
    struct View {
        int width;
        const char* scheme;
    };
    for (const View view : {View{390, "light"}, View{390, "dark"}, View{1280, "light"}, View{1280, "dark"}}) {
        const std::string picture = "serve-" + name + "-" + std::to_string(view.width) + "-" + view.scheme;
        CAPTURE(picture);
        telephone.browser().show(view.width, "screen", view.scheme);
        const Json faults = telephone.browser().evaluate(measure);
        CHECK_MESSAGE(faults.empty(), faults.dump(1));
        const Json small = telephone.browser().evaluate(small_targets);
        CHECK_MESSAGE(small.empty(), small.dump(1));
        if (std::getenv("LOTWORT_PICTURES") != nullptr)
            keep_picture(picture + ".png", telephone.browser().screenshot());
    }
    telephone.browser().show(390, "screen", "light");
}

// A refusal has a status of its own, which a browser notes; nothing else is complained of.
void check_silent(Telephone& telephone) {
    for (const std::string& complaint : telephone.browser().complaints())
        CHECK_MESSAGE(holds(complaint, "a status of 422"), complaint);
}

} // namespace

TEST_CASE("a brew day by touch alone, from the plan to the packages") {
    if (!Chromium::program()) {
        MESSAGE("no Chromium here: pages were not looked at (install the package chromium)");
        return;
    }
    Served served(small_brewery);
    Telephone telephone(served);
    telephone.open("/");
    CHECK(holds(telephone.text(), "P1: pale"));
    look_at(telephone, "today");
    telephone.browser().follow("document.querySelector('a[href=\"/brew-day/P1\"]').click()");
    look_at(telephone, "weigh");
    telephone.fill("weigh", ".w0-PAM-1", "4.4");
    telephone.press("weigh");
    CHECK_MESSAGE(holds(telephone.answer(), "as weighed"), telephone.answer());
    CHECK(holds(telephone.text(), "Measure next: Mash"));
    telephone.fill("read-mash", ".warm", "66");
    telephone.fill("read-mash", ".ph", "5.4");
    telephone.press("read-mash");
    CHECK(holds(telephone.text(), "Measure next: Kettle full"));
    telephone.fill("read-kettle-full", ".volume", "29");
    telephone.fill("read-kettle-full", ".hot", "95");
    telephone.fill("read-kettle-full", ".gravity", "1.041");
    telephone.press("read-kettle-full");
    CHECK(holds(telephone.text(), "For the planned gravity"));
    look_at(telephone, "boil");
    telephone.fill("read-cast-out", ".volume", "25");
    telephone.fill("read-cast-out", ".hot", "95");
    telephone.press("read-cast-out");
    telephone.fill("read-fermenter", ".volume", "23");
    telephone.fill("read-fermenter", ".gravity", "1.047");
    telephone.press("read-fermenter");
    CHECK(holds(telephone.text(), "Measure next: Final gravity"));
    CHECK(holds(telephone.text(), "Brewhouse efficiency by the readings: "));
    telephone.fill("read-final", ".gravity", "1.5");
    telephone.press("read-final");
    CHECK_MESSAGE(holds(telephone.answer(), "Not booked"), telephone.answer());
    CHECK(telephone.browser().evaluate("document.querySelector('#read-final [name=\".gravity\"]').value") == "1.5");
    telephone.fill("read-final", ".gravity", "1.011");
    telephone.press("read-final");
    CHECK(holds(telephone.text(), "All of it is measured"));
    telephone.fill("package", "COUNT", "40");
    telephone.fill("package", ".each", "0.5");
    telephone.press("package");
    CHECK_MESSAGE(holds(telephone.answer(), "booked as entry"), telephone.answer());
    look_at(telephone, "brewed");
    for (const auto& [page, name] : {std::pair("/brews/B1", "balance"),
                                     {"/ask/explain?run=&BREW=B1", "explain"},
                                     {"/ask/trend?run=", "trend"},
                                     {"/page/trace/PAM-1", "trace"},
                                     {"/page/calendar", "calendar"},
                                     {"/page/brewhouse", "brewhouse"},
                                     {"/page/labels", "labels"},
                                     {"/page/brew-sheet/P2", "sheet"},
                                     {"/brews", "brews-listed"}}) {
        telephone.open(page);
        look_at(telephone, name);
    }
    CHECK(holds(served.run("measure B1"), "1.0110"));
    CHECK(holds(served.run("package B1-1"), "40 bottles"));
    CHECK(holds(served.run("verify"), "is sound"));
    check_silent(telephone);
    for (const std::string& asked : telephone.browser().requests())
        CHECK_MESSAGE((asked.starts_with(served.address()) || asked.starts_with("data:")), asked);
}

TEST_CASE("by the keyboard alone: past the navigation, to a lot, a count of it") {
    if (!Chromium::program()) return;
    Served served(small_brewery);
    Telephone telephone(served);
    Chromium& browser = telephone.browser();
    // Tabs until what the expression says of the focused element is so; at most a hundred, as all of a page has fewer.
    const auto tab_to = [&](const std::string& is_it) {
        for (int i = 0; i < 100; ++i) {
            browser.press("Tab");
            if (browser.evaluate("((e) => " + is_it + ")(document.activeElement)").get<bool>()) {
                const std::string ring = "getComputedStyle(document.activeElement).outlineStyle !== 'none'";
                CHECK_MESSAGE(browser.evaluate(ring).get<bool>(), is_it); // and one sees where one is
                return true;
            }
        }
        return false;
    };
    const auto settled = [&](const std::string& part) {
        for (int i = 0; i < 200 && !holds(telephone.text(), part); ++i)
            std::this_thread::sleep_for(std::chrono::milliseconds(50));
        return holds(telephone.text(), part);
    };
    telephone.open("/stock");
    browser.press("Tab");
    CHECK(browser.evaluate("document.activeElement.className") == "skip");
    REQUIRE(tab_to("e.textContent === 'pale ale malt'"));
    browser.press("Enter");
    REQUIRE(settled("its lots"));
    REQUIRE(tab_to("e.textContent === 'The lot'"));
    browser.press("Enter");
    REQUIRE(settled("Count it"));
    REQUIRE(tab_to("e.name === '.amount'"));
    browser.type("24");
    REQUIRE(tab_to("e.name === 'reason'"));
    browser.type("spilled");
    REQUIRE(tab_to("e.textContent === 'Book the count'"));
    browser.press("Enter");
    CHECK(settled("booked as entry"));
    CHECK(holds(served.run("stock --lots --csv"), "24"));
}

TEST_CASE("a recipe's forecast follows what is typed, and what is typed is kept by a button") {
    if (!Chromium::program()) return;
    Served served(small_brewery);
    Telephone telephone(served);
    telephone.open("/recipes/pale");
    const std::string figure = "document.querySelector('[data-figure=\"colour_ebc\"]').textContent";
    const std::string before = telephone.browser().evaluate(figure).get<std::string>();
    CHECK(holds(before, "EBC"));
    const auto type = [&](const std::string& name, const std::string& value) {
        telephone.fill("recipe", name, value);
        (void)telephone.browser().evaluate("document.querySelector('#recipe [name=\"" + name +
                                           "\"]').dispatchEvent(new Event('input', {bubbles: true}))");
    };
    const auto settled = [&](const std::string& part) { // the answer comes a moment after the last letter
        std::string said;
        for (int i = 0; i < 200 && !holds(said, part); ++i) {
            std::this_thread::sleep_for(std::chrono::milliseconds(50));
            said = telephone.browser().evaluate("document.getElementById('forecast').textContent").get<std::string>();
        }
        return said;
    };
    type(".m0.amount", "80%");
    CHECK(holds(settled("sum to 87 %"), "sum to 87 %, not 100"));
    type(".m1.amount", "20%");
    CHECK(holds(settled("on shed"), "on shed"));
    CHECK(telephone.browser().evaluate(figure) != before);
    telephone.press("recipe");
    CHECK_MESSAGE(holds(telephone.answer(), "changed recipe pale: pale ale malt 80 %; crystal malt 20 %"),
                  telephone.answer());
    for (const std::string& asked : telephone.browser().requests())
        CHECK_MESSAGE((asked.starts_with(served.address()) || asked.starts_with("data:")), asked);
}

TEST_CASE("a delivery of six lines, a count and a shortage, and every page as it looks") {
    if (!Chromium::program()) return;
    Served served(small_brewery);
    Telephone telephone(served);
    telephone.open("/receive");
    look_at(telephone, "receive");
    telephone.fill("delivery", "supplier", "Hillside");
    for (int line = 2; line < 8; ++line) {
        const std::string row = ".row" + std::to_string(line) + ".";
        telephone.fill("delivery", row + "item", line == 7 ? "wheat malt" : "pale ale malt");
        telephone.fill("delivery", row + "amount", "25kg");
        telephone.fill("delivery", row + "supplier-lot", "77-" + std::to_string(line));
    }
    telephone.press("delivery");
    CHECK_MESSAGE(holds(telephone.answer(), "received 6 lots"), telephone.answer());
    telephone.open("/count");
    telephone.fill("sheet", ".row2.counted", "480g");
    telephone.press("sheet");
    CHECK_MESSAGE(holds(telephone.answer(), "no reason is given"), telephone.answer());
    telephone.fill("sheet", ".row2.reason", "spilled");
    telephone.press("sheet");
    CHECK_MESSAGE(holds(telephone.answer(), "counted 1 lot"), telephone.answer());
    telephone.open("/plans/P2/answers");
    look_at(telephone, "answers");
    telephone.browser().follow("document.querySelector('form[action=\"/do/substitute\"] button.main').click()");
    CHECK_MESSAGE(holds(telephone.answer(), "booked as entry"), telephone.answer());
    for (const std::string page :
         {"/stock", "/stock/pale%20ale%20malt", "/lots/PAM-1", "/plans", "/plans/P1", "/brews", "/recipes",
          "/recipes/pale", "/new-recipe", "/buy", "/history", "/all", "/ask/receive", "/sessions", "/count"}) {
        telephone.open(page);
        std::string name = page.substr(1);
        for (char& c : name)
            if (c == '/' || c == '%') c = '-';
        look_at(telephone, name);
    }
    check_silent(telephone);
}
