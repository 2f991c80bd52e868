// Two mashes into one kettle, two brews into one fermenter, and an instrument's correction: from the command line to
// the answer, and out and in again.
#include "brewery.hpp"
#include <ctime>
#include "flowing.hpp"
#include "near.hpp"
#include <ctime>
#include <fmt/format.h>
#include <lotwort/desk/reconcile_input.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void stocked(Brewery& b) {
    b.today("2026-03-10");
    b.done("init");
    b.done("receive \"pale ale malt\" 25kg --lot PAM-1");
    b.done("brewhouse add garage 23L");
    b.write("pale.toml", "name = \"pale\"\nvolume_l = 23\nboil_minutes = 60\n[[grist]]\nitem = \"pale ale malt\"\n"
                         "mass_kg = 4.6\n");
    b.done("recipe add FOLDER/pale.toml");
}

} // namespace

TEST_CASE("malt weighed into a second mash is balanced there, and its readings speak of it alone") {
    Brewery b;
    stocked(b);
    b.done("brew --recipe pale --add PAM-1=4kg --add PAM-1=2.5kg@mash2");
    b.done("measure B1 first-wort 1.075 kettle-full 29L@90C 1.050");
    b.done("measure B1 --mash 2 first-wort 1.060");
    const Json answer = b.json("reconcile B1");
    const auto& quantities = answer["quantities"];
    CHECK(quantities["first_wort_sg"]["value"] == near(1.075, 0.003));
    CHECK(quantities["first_wort_2_sg"]["value"] == near(1.060, 0.003));
    CHECK(b.done("lot PAM-1").find("18.5 kg") != std::string::npos); // both mashes were taken out of stock
    b.check_round_trip();
}

TEST_CASE("a brew run into another's fermenter is balanced with it, and the first cannot be taken back under it") {
    Brewery b;
    stocked(b);
    b.done("brew --recipe pale --add PAM-1=5kg");
    b.done("brew --recipe pale --add PAM-1=4.6kg --into B1");
    b.done("measure B1 fermenter 23L 1.050");
    b.done("measure B2 fermenter 46L 1.048");
    const Json first = b.json("reconcile B1"), second = b.json("reconcile B2");
    // one vessel: both answer with the same litres and gravity of the whole
    CHECK(first["quantities"]["fermenter_together_l"]["value"] ==
          second["quantities"]["fermenter_together_l"]["value"]);
    CHECK(first["quantities"]["original_gravity_sg"]["value"] == second["quantities"]["original_gravity_sg"]["value"]);
    CHECK(first["quantities"]["fermenter_together_l"]["value"] == near(46.0, 0.03));
    CHECK(first["quantities"]["fermenter_l"]["value"] == near(23.0, 0.03));
    const Said refused = b.run("reverse 5");
    CHECK(refused.status == 1);
    CHECK((refused.error + refused.hint).find("brewed B2") != std::string::npos);
    b.check_round_trip();
}

TEST_CASE("a double batch of one malt lot stops no verb") {
    Brewery b;
    stocked(b);
    b.done("brew --recipe pale");
    b.done("brew --recipe pale --into B1");
    b.done("measure B1 kettle-full 28L@75C 1.043");
    b.done("measure B2 kettle-full 28.5L@75C 1.043 fermenter 46L 1.048");
    for (const char* verb : {"trend", "reconcile --all", "plan pale --on 2026-04-01", "substitute P1", "buy"}) {
        INFO(verb);
        CHECK(b.run(verb).error.empty());
    }
    CHECK(b.json("trend")["brewhouse"].size() == 2); // both taught
    CHECK(b.done("report").find("<html") != std::string::npos);
}

TEST_CASE("more brews in a fermenter than can be balanced together: each by itself, and said") {
    Brewery b;
    stocked(b);
    b.done("receive \"pale ale malt\" 100kg --lot PAM-2");
    b.done("brew --recipe pale");
    b.done("measure B1 kettle-full 28L@75C 1.043 fermenter 23L 1.048");
    for (int i = 2; i <= 8; ++i) {
        b.done(fmt::format("brew --recipe pale --into B{}", i - 1));
        b.done(fmt::format("measure B{} kettle-full 28L@75C 1.043", i));
    }
    b.done("measure B8 fermenter 110L 1.048"); // of all of them: no brew of its own gave that
    const Json last = b.json("reconcile B8");
    CHECK(last["quantities"]["fermenter_l"]["value"] == near(23.0, 0.1));
    CHECK(holds(b.done("reconcile B8"), "7 other brews share its fermenter, too many to balance together"));
    CHECK(holds(b.done("trend"), "8 brews share their fermenter with more than 5 others"));
}

TEST_CASE("a chain of brews, each into the one before, is one fermenter, however long; a ring is none") {
    std::vector<Brew> brews(3000);
    for (std::size_t i = 0; i < brews.size(); ++i) {
        brews[i].code = fmt::format("B{}", i);
        brews[i].date = *parse_iso_date("2026-01-01") + std::chrono::days(i % 7);
        if (i > 0) brews[i].fermented_with = fmt::format("B{}", i - 1);
    }
    const Fermenters chain(brews);
    const auto& all = chain.of(brews[2999]);
    REQUIRE(all.size() == 3000);
    CHECK(all.front()->code == "B0");
    CHECK(std::is_sorted(all.begin() + 1, all.end(), [](auto* x, auto* y) { return x->date < y->date; }));
    brews[0].fermented_with = "B2999";
    const Fermenters ring(brews);
    CHECK(ring.of(brews[5]).size() == 1);
}

// The processor's own time: on a busy machine too it tells a fermenter that is read once from one read for each brew.
TEST_CASE("a lot that went into four hundred brews of one fermenter is traced at once") {
    Brewery b;
    stocked(b);
    std::string brews;
    for (int i = 1; i <= 400; ++i)
        brews += fmt::format(R"({}{{"code": "C{}", "date": "2026-03-10", "brewhouse": "garage"{},
            "additions": [{{"lot": "CH-1", "stage": "mash", "mass_kg": 1}}]}})",
                             i > 1 ? ", " : "", i, i > 1 ? fmt::format(R"(, "fermented_with": "C{}")", i - 1) : "");
    b.write("chain.json", fmt::format(R"({{"schema": "lotwort/exchange/1", "currency": "EUR", "lots": [{{"code": "CH-1",
        "item": "pale ale malt", "received": "2026-03-01", "mass_kg": 500}}], "brews": [{}]}})",
                                      brews));
    b.done("import FOLDER/chain.json");
    const std::clock_t before = std::clock();
    const Json traced = b.json("trace CH-1");
    CHECK(static_cast<double>(std::clock() - before) < 1.0 * CLOCKS_PER_SEC);
    CHECK(traced["lots"][0]["steps"].size() == 400);
}

TEST_CASE("a stated correction is added to what the marks read, and can be withdrawn") {
    Brewery b;
    stocked(b);
    b.done("brewhouse instrument \"kettle marks\" --kind volume-marks --repeatability 0.2L --bias-sd 0.3L");
    b.done("brewhouse vessel garage --point kettle-full --volume-by \"kettle marks\"");
    b.done("brew --recipe pale --add PAM-1=4.6kg");
    b.done("measure B1 kettle-full 28L 1.045");
    const double before = b.json("reconcile B1")["quantities"]["kettle_full_l"]["value"];
    b.done("brewhouse instrument \"kettle marks\" --correction=-0.6");
    const Json corrected = b.json("reconcile B1");
    CHECK(corrected["quantities"]["kettle_full_l"]["value"] < before - 0.3);
    CHECK(corrected["readings"][0]["read"] == 28); // as it was read
    b.check_round_trip();
    b.done("brewhouse instrument \"kettle marks\" --correction 0");
    CHECK(b.json("reconcile B1")["quantities"]["kettle_full_l"]["value"] == near(before, 1e-9));
}
