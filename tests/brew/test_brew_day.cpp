// What was weighed, laid over what was planned.
#include <doctest/doctest.h>
#include <lotwort/brew/brew_day.hpp>
#include <lotwort/core/error.hpp>

using namespace lotwort;

namespace {

Addition addition(const char* lot, double kg, Stage stage = Stage::mash, std::optional<double> minutes = {}) {
    Addition made;
    made.lot = lot;
    made.stage = stage;
    made.amount = Amount::of(Kilograms(kg));
    if (minutes) made.minutes = Minutes(*minutes);
    return made;
}

Weighing note(const char* lot, double kg, ItemKind kind = ItemKind::malt) {
    Weighing made;
    made.lot = lot;
    made.amount = Amount::of(Kilograms(kg));
    made.kind = kind;
    return made;
}

const std::vector<Addition> plan{addition("PAM-1", 4.3), addition("H-1", 0.03, Stage::boil, 60.0),
                                 addition("H-1", 0.02, Stage::boil, 10.0)};

std::string refusal(const std::vector<Weighing>& notes) {
    try {
        (void)weigh_in(plan, notes);
    } catch (const Error& e) {
        return std::string(e.what()) + "; " + e.hint();
    }
    return "not refused";
}

} // namespace

namespace {

// What --weighed says: the weight in place of the planned one.
Weighing instead(Weighing note) {
    note.planned_only = true;
    return note;
}

} // namespace

TEST_CASE("what is not noted went in as planned") {
    const auto weighed = weigh_in(plan, {});
    CHECK(weighed.additions == plan);
    CHECK(weighed.differences.empty());
}

TEST_CASE("a note takes the planned weight's place, and the difference is told") {
    const auto weighed = weigh_in(plan, {instead(note("PAM-1", 4.36))});
    CHECK(weighed.additions[0] == addition("PAM-1", 4.36));
    CHECK(weighed.additions.size() == 3);
    REQUIRE(weighed.differences.size() == 1);
    CHECK(weighed.differences[0].planned == plan[0]);
    CHECK(weighed.differences[0].weighed == Amount::of(Kilograms(4.36)));
}

TEST_CASE("what went in besides of a planned lot adds to it, weighed otherwise or not") {
    const auto both = weigh_in(plan, {instead(note("PAM-1", 3.8)), note("PAM-1", 0.2)});
    CHECK(both.additions[0] == addition("PAM-1", 4.0));
    const auto more = weigh_in(plan, {note("PAM-1", 0.2)});
    CHECK(more.additions[0] == addition("PAM-1", 4.5));
    CHECK(more.additions.size() == 3);
}

TEST_CASE("another lot is added where its kind goes") {
    const auto weighed = weigh_in(plan, {note("PAM-2", 0.2), note("CS-1", 0.3, ItemKind::sugar)});
    REQUIRE(weighed.additions.size() == 5);
    CHECK(weighed.additions[3] == addition("PAM-2", 0.2));
    CHECK(weighed.additions[4] == addition("CS-1", 0.3, Stage::kettle));
}

TEST_CASE("a lot planned for two places needs the place, which settles it") {
    CHECK(refusal({note("H-1", 0.025, ItemKind::hop)}) ==
          "H-1 is planned for more than one place; say which: H-1=25g@boil,60 or H-1=25g@boil,10");
    auto late = note("H-1", 0.025, ItemKind::hop);
    late.stage = Stage::boil;
    late.minutes = Minutes(10.0);
    const auto weighed = weigh_in(plan, {instead(late)});
    CHECK(weighed.additions[1] == plan[1]);
    CHECK(weighed.additions[2] == addition("H-1", 0.025, Stage::boil, 10.0));
}

TEST_CASE("nothing weighed of a planned lot: it did not go in") {
    const auto weighed = weigh_in(plan, {instead(note("PAM-1", 0.0))});
    CHECK(weighed.additions.size() == 2);
    CHECK(weighed.differences.size() == 1);
}

TEST_CASE("a hop that nobody planned needs its stage, and minutes where it boils") {
    CHECK(refusal({note("H-2", 0.03, ItemKind::hop)}) == "where did the hop H-2 go in?; say it: H-2=30g@dry, or such "
                                                         "as H-2=30g@boil,60 for 60 minutes of boil, or @stand,20");
    auto boiled = note("H-2", 0.03, ItemKind::hop);
    boiled.stage = Stage::boil;
    CHECK(refusal({boiled}) == "how long was H-2 boiled?; add the minutes, such as H-2=30g@boil,60");
}

TEST_CASE("a correction of what was not planned is refused") {
    auto correction = note("PAM-9", 0.2);
    correction.planned_only = true;
    CHECK(refusal({correction}) == "PAM-9 is not planned there; if it went in besides: --add PAM-9=200g");
}

TEST_CASE("a lot that stands in at one time and is the recipe's own at another is in place of nothing there") {
    PlannedBrew planned;
    planned.stand_ins = {{"SAA-1", "saaz"}};
    for (const auto& [item, minutes] : {std::pair{"saaz", 60.0}, std::pair{"house hop", 5.0}}) {
        PlannedLine line;
        line.item = item;
        line.stage = Stage::boil;
        line.minutes = Minutes(minutes);
        line.allotment.taken = {{"SAA-1", Amount::of(Grams(20.0))}};
        planned.lines.push_back(line);
    }
    const auto additions = planned_additions(planned);
    REQUIRE(additions.size() == 2);
    CHECK_FALSE(additions[0].instead_of.has_value());
    CHECK(additions[1].instead_of == "house hop");
}

TEST_CASE("a lot reserved in two parts, or for two lines, is one weight where it goes to one place") {
    PlannedBrew planned;
    const auto line = [&](Stage stage, double minutes, std::vector<double> parts_kg) {
        PlannedLine made;
        made.stage = stage;
        if (minutes > 0.0) made.minutes = Minutes(minutes);
        for (const double kg : parts_kg) made.allotment.taken.push_back({"H-1", Amount::of(Kilograms(kg))});
        planned.lines.push_back(made);
    };
    line(Stage::boil, 60.0, {0.5, 0.25});
    line(Stage::boil, 10.0, {0.25});
    line(Stage::boil, 60.0, {1.0});
    const auto additions = planned_additions(planned);
    CHECK(additions ==
          std::vector<Addition>{addition("H-1", 1.75, Stage::boil, 60.0), addition("H-1", 0.25, Stage::boil, 10.0)});
    auto once = instead(note("H-1", 2.0, ItemKind::hop));
    once.minutes = Minutes(60.0);
    CHECK(weigh_in(additions, {once}).additions[0] == addition("H-1", 2.0, Stage::boil, 60.0));
}
