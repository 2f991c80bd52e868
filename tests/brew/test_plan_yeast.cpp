// Yeast in a plan: so many packs as hold the cells that the wort asks for, by their age on the day.
#include "near.hpp"
#include "small_store.hpp"
#include <algorithm>
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// 23 L at 1.048, 11.9 degrees plato: 206 billion cells at 0.75 million per mL and degree.
PlanRequest pale_ale(const char* yeast = "ale yeast") {
    PlanRequest request;
    request.code = "P1";
    request.date = day("2026-03-02");
    request.volume = Litres(23.0);
    request.brewhouse.name = "garage";
    request.brewhouse.volume = Litres(23.0);
    request.items = {item("pale ale malt", ItemKind::malt, "base"), item(yeast, ItemKind::yeast)};
    request.lots = {lot("PAM-1", "pale ale malt", 25.0)};
    request.recipe.name = "pale ale";
    request.recipe.volume = Litres(23.0);
    request.recipe.original_gravity = SpecificGravity(1.048);
    request.recipe.grist = {{"pale ale malt", Percent(100.0), {}}};
    OtherLine line;
    line.item = yeast;
    line.stage = Stage::fermenter;
    request.recipe.others = {line};
    return request;
}

LotState counted(const char* code, const char* of, Amount amount) {
    LotState state = lot(code, of, amount);
    state.promised.measure = amount.measure;
    return state;
}

LotState packs(const char* code, std::int64_t count, const char* packed, const char* of = "ale yeast") {
    LotState state = counted(code, of, Amount::pieces(count));
    state.lot.packed = day(packed);
    return state;
}

PlannedLine yeast_of(const PlanRequest& request) {
    return draw_up_plan(request).lines.back();
}

bool says(const PlannedBrew& planned, const std::string& what) {
    return std::ranges::any_of(planned.remarks,
                               [&](const std::string& r) { return r.find(what) != std::string::npos; });
}

} // namespace

TEST_CASE("with no yeast in the house, two fresh packs lack: 200 of 206 billion is near enough") {
    const PlannedLine line = yeast_of(pale_ale());
    CHECK(line.needed == Amount::pieces(2));
    CHECK(line.allotment.missing == Amount::pieces(2));
}

TEST_CASE("packs of two months hold 64 billion: three are taken where two fresh ones would do") {
    PlanRequest request = pale_ale();
    request.lots.push_back(packs("YST-1", 5, "2026-01-01"));
    const PlannedLine line = yeast_of(request);
    CHECK(line.needed == Amount::pieces(3));
    CHECK(line.allotment.taken == std::vector<TakenLot>{{"YST-1", Amount::pieces(3)}});
    CHECK(says(draw_up_plan(request),
               "23 L at 1.0480 ask for 206 billion cells of ale yeast (0.75 million per mL and °P, common practice for "
               "ale); YST-1, packed 60 days before, holds about 64 of 100 billion a pack"));
}

TEST_CASE("old packs first, and what they do not hold is made up with fresh ones") {
    PlanRequest request = pale_ale();
    request.lots.push_back(packs("YST-1", 1, "2026-01-01")); // 64
    const PlannedLine line = yeast_of(request);
    CHECK(line.allotment.taken == std::vector<TakenLot>{{"YST-1", Amount::pieces(1)}});
    CHECK(line.allotment.missing == Amount::pieces(2)); // 142 billion, less the tenth of 206 that is near enough
}

TEST_CASE("a lager of the same wort asks for twice the yeast; a recipe's own rate rules") {
    CHECK(yeast_of(pale_ale("lager yeast")).needed == Amount::pieces(4));
    PlanRequest request = pale_ale();
    request.recipe.pitch_rate = 1.5;
    CHECK(yeast_of(request).needed == Amount::pieces(4));
    request.volume = Litres(46.0);
    CHECK(yeast_of(request).needed == Amount::pieces(8));
}

TEST_CASE("a stronger wort asks for more, though the recipe states masses and no gravity") {
    PlanRequest request = pale_ale();
    request.recipe.original_gravity.reset();
    std::int64_t before = 0;
    for (const double kg : {3.0, 6.0, 9.0}) {
        request.recipe.grist = {{"pale ale malt", {}, Kilograms(kg)}};
        const auto packs_now = yeast_of(request).needed.units;
        CHECK(packs_now > before);
        before = packs_now;
    }
}

TEST_CASE("dry yeast by the gram and slurry by the litre are weighed and measured out") {
    PlanRequest request = pale_ale();
    LotState dry = lot("DRY-1", "ale yeast", Amount::of(Kilograms(0.5)));
    dry.lot.received = request.date;
    request.lots.push_back(dry);
    CHECK(yeast_of(request).needed == Amount::of(Grams(20.6))); // 205.8 billion, 10 a gram, upwards
    LotState slurry = counted("Y-2", "ale yeast", Amount::of(Litres(1.0)));
    slurry.lot.generation = 1;
    slurry.lot.received = request.date;
    request.lots.back() = slurry;
    const Amount needed = yeast_of(request).needed;
    CHECK(needed.measure == Measure::volume);
    CHECK(needed.litres().value() == near(0.206, 0.01));
}

TEST_CASE("what the recipe states is what is taken; much too little is remarked on, enough is not") {
    PlanRequest request = pale_ale();
    request.lots.push_back(packs("YST-1", 5, "2026-01-01"));
    request.recipe.others[0].count = 1;
    PlannedBrew planned = draw_up_plan(request);
    CHECK(planned.lines.back().needed == Amount::pieces(1));
    CHECK(says(planned, "and the recipe's 1 piece come to about 64"));
    request.recipe.others[0].count = 3;
    planned = draw_up_plan(request);
    CHECK(planned.lines.back().needed == Amount::pieces(3));
    CHECK(!says(planned, "billion"));
}

TEST_CASE("only a yeast is counted by its cells") {
    PlanRequest request = pale_ale();
    request.items.back().kind = ItemKind::other;
    CHECK(refused(request) == "recipe `pale ale` does not say how much ale yeast goes in, and it is no yeast");
}

TEST_CASE("a plan that pitches another brew's crop asks for no yeast until it is there, and then by its cells") {
    PlanRequest request = pale_ale();
    request.recipe.others.front().count = 2; // packs, by the recipe
    request.crop_lots.emplace();
    CHECK(yeast_of(request).needed.units == 0);
    CHECK(draw_up_plan(request).is_short() == false);
    LotState slurry = counted("YST-7", "ale yeast", Amount::of(Litres(1.0)));
    slurry.lot.harvested_from = "B1";
    slurry.lot.generation = 1;
    slurry.lot.received = request.date;
    request.lots.push_back(slurry);
    request.lots.push_back(packs("YST-1", 5, "2026-03-01"));
    request.crop_lots = {"YST-7"};
    const PlannedLine line = yeast_of(request); // a billion a millilitre
    REQUIRE(line.allotment.taken.size() == 1);
    CHECK(line.allotment.taken.front().lot == "YST-7");
    CHECK(line.needed.measure == Measure::volume);
    CHECK(line.needed.litres().value() == near(0.206, 0.01));
}
