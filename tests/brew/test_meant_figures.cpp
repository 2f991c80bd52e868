// A recipe from a book says what its malts and hops were: the plan weighs out what does the same of what is there.
#include "near.hpp"
#include "small_store.hpp"
#include <doctest/doctest.h>
#include <lotwort/brew/meant_figures.hpp>
#include <lotwort/brew/rules.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

HopLine hop(Stage stage, double minutes, double grams, std::optional<Percent> alpha) {
    HopLine line;
    line.item = "bittering hop";
    line.stage = stage;
    line.minutes = Minutes(minutes);
    line.mass = Grams(grams);
    line.alpha = alpha;
    return line;
}

LotState with_paper(const char* code, const char* of, double kg) {
    LotState state = lot(code, of, kg);
    state.lot.certificate = Certificate{};
    return state;
}

// Pale malt of 78 % extract, crystal malt of 145 EBC, and hops of 10.8 %.
PlanRequest from_a_book() {
    PlanRequest request;
    request.code = "P1";
    request.date = day("2026-03-01");
    request.volume = Litres(20.0);
    request.brewhouse.name = "garage";
    request.brewhouse.volume = Litres(20.0);
    request.items = {item("pale malt", ItemKind::malt, "base"), item("crystal malt", ItemKind::malt, "caramel"),
                     item("bittering hop", ItemKind::hop)};
    request.lots = {with_paper("PM-1", "pale malt", 25.0), with_paper("CM-1", "crystal malt", 5.0),
                    with_paper("BH-1", "bittering hop", 0.5)};
    request.lots[0].lot.certificate->extract = Percent(78.0);
    request.lots[0].lot.certificate->extract_basis = ExtractBasis::fine_dry;
    request.lots[1].lot.certificate->colour = Ebc(145.0);
    request.lots[2].lot.certificate->alpha = Percent(10.8);
    request.recipe.name = "from a book";
    request.recipe.volume = Litres(20.0);
    request.recipe.boil = Minutes(60.0);
    request.recipe.grist = {{"pale malt", {}, Kilograms(4.0)}, {"crystal malt", {}, Kilograms(0.5)}};
    request.recipe.hops = {hop(Stage::boil, 60.0, 15.0, {})};
    return request;
}

double grams(const PlannedBrew& brew, std::size_t line) {
    return brew.lines[line].needed.grams().value();
}

bool is_said(const PlannedBrew& brew, const char* sentence) {
    return std::ranges::count(brew.remarks, sentence) == 1;
}

} // namespace

TEST_CASE("15 g of a hop at 10 % are 14 g of one at 10.8 %, and as bitter") {
    PlanRequest request = from_a_book();
    CHECK(grams(draw_up_plan(request), 2) == 15.0); // without a word, that mass of what is there
    request.recipe.hops = {hop(Stage::boil, 60.0, 15.0, Percent(10.0))};
    const PlannedBrew planned = draw_up_plan(request);
    CHECK(grams(planned, 2) == 14.0); // 15 * 10 / 10.8 = 13.9
    CHECK(is_said(planned, "15 g of bittering hop at 10 % alpha: 14 g of BH-1 at 10.8 %"));
    request.volume = Litres(40.0);
    CHECK(grams(draw_up_plan(request), 2) == 28.0);
}

TEST_CASE("hops for their aroma stay by mass, whatever their alpha") {
    PlanRequest request = from_a_book();
    request.recipe.hops = {hop(Stage::boil, 60.0, 15.0, {}), hop(Stage::boil, 10.0, 30.0, Percent(5.0)),
                           hop(Stage::dry, 0.0, 40.0, Percent(5.0))};
    const PlannedBrew planned = draw_up_plan(request);
    CHECK(grams(planned, 3) == 30.0);
    CHECK(grams(planned, 4) == 40.0);
    CHECK(is_said(planned,
                  "the 5 % alpha of bittering hop changes nothing: only hops boiled for 30 minutes or more are "
                  "weighed by it"));
}

TEST_CASE("a malt that gives less extract than the recipe's is weighed out more of") {
    PlanRequest request = from_a_book();
    request.recipe.grist[0].extract = Percent(81.0);
    const PlannedBrew planned = draw_up_plan(request);
    CHECK(grams(planned, 0) == 4150.0); // 4 kg * 81/78 = 4.154
    CHECK(is_said(planned, "4 kg of pale malt at 81 % extract: 4.15 kg of PM-1 at 78.0 %"));
}

TEST_CASE("a crystal malt goes by its colour, a base malt by its extract where both are stated") {
    PlanRequest request = from_a_book();
    request.recipe.grist[0].extract = Percent(81.0);
    request.recipe.grist[0].colour = Ebc(7.0);
    request.recipe.grist[1].extract = Percent(75.0);
    request.recipe.grist[1].colour = Ebc(120.0);
    const PlannedBrew planned = draw_up_plan(request);
    CHECK(grams(planned, 0) == 4150.0);
    // degrees Lovibond (EBC/1.97 + 0.76)/1.3546: 45.53 and 54.90; 500 g * 45.53/54.90 = 414.7
    CHECK(grams(planned, 1) == 410.0);
    CHECK(mass_ratio(request.recipe.grist[1], request.items[1], MaltFigures{{}, {}, {}, Figure{145.0, 5.0}, {}}) ==
          near(45.53 / 54.90, 1e-3));
}

TEST_CASE("figures that nothing would follow are refused: a share, a slip, bitterness asked for") {
    std::string told;
    const TellBroken tell = [&](std::string_view field, std::string_view what) {
        told += std::string(field) + ": " + std::string(what) + "\n";
    };
    GristLine share{"pale malt", Percent(100.0), {}};
    share.extract = Percent(81.0);
    check_rules(share, tell);
    GristLine slip{"pale malt", {}, Kilograms(4.0)};
    slip.extract = Percent(8.1);
    check_rules(slip, tell);
    HopLine asked = hop(Stage::boil, 60.0, 15.0, Percent(10.0));
    asked.mass.reset();
    asked.bitterness = BitternessUnits(30.0);
    check_rules(asked, tell);
    CHECK(told == "extract_pct: says what a mass is of; with share_pct the original gravity rules\n"
                  "extract_pct: 8.1 % is no malt's: of the dry malt, finely ground, 50 to 100 % dissolve\n"
                  "alpha_pct: says what a mass is of; bitterness_ibu is met by the alpha of what is there\n");
}

TEST_CASE("half an hour in the boil, or in first wort, is for bitterness; a minute less is not") {
    CHECK(is_bittering(Stage::boil, Minutes(30.0)));
    CHECK_FALSE(is_bittering(Stage::boil, Minutes(29.0)));
    CHECK(is_bittering(Stage::kettle, Minutes(60.0)));
    CHECK_FALSE(is_bittering(Stage::stand, Minutes(40.0)));
    CHECK_FALSE(is_bittering(Stage::boil, std::nullopt));
}
