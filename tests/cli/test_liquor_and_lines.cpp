// Liquor added after a reading, halves of a brew, swapped lines and a beer that ferments: asked, or reckoned rightly.
#include "flowing.hpp"
#include "near.hpp"
#include "pale_ale.hpp"

using namespace lotwort::test;

namespace {

struct Brewed : PaleAle {
    std::string on(const char* day, const std::string& line) {
        today(day);
        return done(line);
    }
    std::string refused(const std::string& line) {
        const Said said = run(line);
        CHECK(said.status == 1);
        return said.error + "\n" + said.hint;
    }
};

} // namespace

TEST_CASE("water behind a reading of the fermenter is not in it, and the readings agree") {
    Brewed b;
    b.done("measure B1 fermenter 21L 1.0555 top-up 2.4L fermenter 23.4L 1.050");
    CHECK(holds(b.done("reconcile B1"), "do agree"));
    const auto litres = b.json("reconcile B1")["quantities"]["fermenter_l"]["value"].get<double>();
    CHECK(litres == near(23.4, 0.02));
}

TEST_CASE("water booked behind a reading says what it makes of it, and how to say that it was in it") {
    Brewed b;
    CHECK(holds(b.done("measure B1 fermenter 21L 1.0555"), "booked"));
    const std::string said = b.done("measure B1 top-up 2.4L");
    CHECK(holds(said, "r2 is taken to have gone in after r1 was read: 23.4 L of 1.0498")); // by hand as below
    b.done("measure B1 --set-aside r2 --reason \"in r1\"");
    CHECK_FALSE(holds(b.done("measure B1 top-up 2.4L --before r1"), "gone in after"));
    const auto litres = b.json("reconcile B1")["quantities"]["fermenter_l"]["value"].get<double>();
    CHECK(litres == near(21.0, 0.03));
    CHECK_FALSE(
        holds(Brewed().done("measure B1 fermenter 21L 1.0555 top-up 2.4L fermenter 23.4L 1.050"), "gone in after"));
}

TEST_CASE("liquor in the kettle thins what is in the kettle, however much the brewhouse is meant for") {
    Brewed b;
    b.done("measure B1 kettle-full 12L 1.060");
    // 12 L of 1.060 are 12.72 kg of 14.74 °P; with 3 L, 2.995 kg, they are 11.93 °P
    CHECK(holds(b.done("measure B1 kettle-liquor 3L"), "after r1 was read: 15 L of 1.0481"));
}

TEST_CASE("water days later makes the beer that it would have made at the start, in list, label and books") {
    Brewed late, early;
    late.done("measure B1 fermenter 21L 1.0555");
    late.on("2026-03-12", "measure B1 top-up 2.4L");
    early.done("measure B1 fermenter 23.4L 1.0498");
    for (Brewed* b : {&late, &early}) b->on("2026-03-25", "measure B1 final 1.010");
    const auto figures = [](Brewed& b) { return b.json("brew")["figures"][0]; };
    // 21 L of 1.0555 are 22.125 kg of 13.68 °P, with 2.396 kg of water 12.34 °P
    CHECK(figures(late)["original_gravity_sg"].get<double>() == near(1.0498, 2e-4));
    CHECK(figures(late)["alcohol_abv_pct"].get<double>() ==
          near(figures(early)["alcohol_abv_pct"].get<double>(), 0.03));
    CHECK(holds(late.done("brew"), "23.4"));
    const auto label = [](Brewed& b) { return b.done("package B1 40 bottles 0.5L"); };
    CHECK(holds(label(late), "5.3 %"));
    CHECK(holds(label(early), "5.3 %"));
    const auto came = [](Brewed& b) {
        return b.json("explain B1")["outcomes"]["original_gravity_sg"]["outcome"].get<double>();
    };
    CHECK(came(late) == near(came(early), 5e-4));
    CHECK(came(late) < 1.052);
}

TEST_CASE("kettle liquor behind a reading is not in it; before it, or with --before, it is") {
    const auto boiled = [](const std::string& line, const std::string& then = "") {
        Brewed b;
        b.done("measure B1 " + line + " cast-out 24L@20C 1.0475 fermenter 23L 1.0475");
        if (!then.empty()) b.done("measure B1 " + then);
        return b.json("reconcile B1")["quantities"]["boil_off_l"]["value"].get<double>();
    };
    const double after = boiled("kettle-full 25L@20C 1.046 kettle-liquor 3L"),
                 within = boiled("kettle-liquor 3L kettle-full 25L@20C 1.046");
    CHECK(after > within + 1.5);
    CHECK(boiled("kettle-full 25L@20C 1.046", "kettle-liquor 3L") == near(after, 1e-6));
    CHECK(boiled("kettle-full 25L@20C 1.046", "kettle-liquor 3L --before r1") == near(within, 1e-6));
}

TEST_CASE("liquor forgotten is booked before the reading it is in, as reconcile says it") {
    Brewed b;
    b.done("measure B1 kettle-full 27L@20C 1.042 cast-out 23.5L@20C 1.048 fermenter 26L 1.0415 --sure");
    const std::string said = b.done("reconcile B1");
    const std::string asks = "If liquor was added: ";
    const auto at = said.find(asks);
    REQUIRE(at != std::string::npos);
    const std::string line = said.substr(at + asks.size(), said.find('\n', at) - at - asks.size());
    CHECK(line.ends_with("--before r3"));
    b.done(line.substr(std::string("lotwort ").size()) + " --sure");
    CHECK(holds(b.done("reconcile B1"), "do agree"));
    CHECK(holds(b.done("measure B1"), "before-r3 top-up"));
}

TEST_CASE("two like readings of half a brew are asked about, and their sum is booked as one line") {
    Brewed b;
    const std::string asked = b.refused("measure B1 fermenter 11L 1.050 fermenter 11L 1.050");
    CHECK(holds(asked, "all of this brew is about half of the 23 L that were meant, and is read twice: 11.0 and 11.0 L"));
    CHECK(holds(asked, "lotwort measure B1 fermenter 22L 1.050"));
    CHECK(holds(asked, "lotwort measure B1 fermenter 11L 1.050"));
    b.done("measure B1 fermenter 22L 1.050");
    CHECK(b.json("brew")["figures"][0]["volume_l"].get<double>() == near(22.0, 1e-6));
    // the second one later: the first is put right
    Brewed later;
    later.done("measure B1 fermenter 11L 1.050");
    CHECK(holds(later.refused("measure B1 fermenter 11.2L 1.050"), "lotwort measure B1 --correct r1 volume=22.2L"));
    later.done("measure B1 --correct r1 volume=22.2L");
    // a whole brew read twice is read twice
    Brewed twice;
    twice.done("measure B1 fermenter 22L 1.050 fermenter 22L 1.050");
}

TEST_CASE("swapped lines are asked about, with the lines the other way round, and named by reconcile") {
    Brewed b;
    const std::string asked = b.refused("measure B1 kettle-full 23L@20C 1.046 fermenter 27L 1.040");
    CHECK(holds(asked, "more and weaker than the full kettle"));
    CHECK(holds(asked, "if the lines are swapped: "));
    CHECK(holds(asked, "lotwort measure B1 kettle-full 27L 1.040 fermenter 23L@20C 1.046"));
    CHECK(holds(b.refused("measure B1 fermenter 23L@75C 1.046"), "if the lines are swapped"));
    b.done("measure B1 kettle-full 23L@20C 1.046 fermenter 27L 1.040 --sure");
    CHECK(holds(b.done("reconcile B1"), "the lines of kettle-full (r1) and fermenter (r2) swapped"));
    // liquor that is written down explains it
    Brewed thinned;
    thinned.done("measure B1 kettle-full 26L@20C 1.046 top-up 5L fermenter 28L 1.040");
}

TEST_CASE("a gravity in the fermenter on a later day that has fallen is asked about") {
    Brewed b;
    b.done("measure B1 fermenter 23L 1.046");
    b.today("2026-03-11");
    const std::string asked = b.refused("measure B1 fermenter 1.035@20C");
    CHECK(holds(asked, "1.0350 in the fermenter, a day after the brew, is wort that does not ferment yet"));
    CHECK(holds(asked, "lotwort measure B1 fermenting 1.035@20C"));
    b.done("measure B1 fermenter 1.0455");
    // nothing was read: the recipe's 1.048 says it
    Brewed unread;
    unread.today("2026-03-11");
    CHECK(holds(unread.refused("measure B1 fermenter 1.035@20C"), "is wort that does not ferment yet"));
    // thinned by liquor that is written down
    Brewed thinned;
    thinned.done("measure B1 fermenter 21L 1.0555 top-up 2.4L");
    thinned.on("2026-03-11", "measure B1 fermenter 1.050");
}
