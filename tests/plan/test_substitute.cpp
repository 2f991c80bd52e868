// Substitutions a brewer can check: what stands in, what may not, what is said where nothing will do.
#include "near.hpp"
#include "plan/answers.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/plan/substitute.hpp>
#include <lotwort/plan/verify_substitution.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

TEST_CASE("another base malt takes the missing malt's place, by extract and not by mass") {
    const auto answer = nearest(short_of_pale());
    CHECK(taken(answer, "P") == near(12.0));
    // 8 kg of pale at 0.7824 is 8.09 kg of lager at 0.77355, to the weigh step
    CHECK(taken(answer, "L") == near(8.0 * 0.7824 / 0.77355, 0.0, 0.0051));
    CHECK(answer.proven_optimal);
    CHECK(answer.sentence.starts_with("Take 8.09 kg of L, lager, for the missing 8 kg of pale: gravity as forecast"));
}

TEST_CASE("the other lines stay as they are") {
    const auto answer = nearest(short_of_pale());
    CHECK(taken(answer, "C") == near(1.0));
    CHECK(taken(answer, "B") == near(0.1));
    CHECK(taken(answer, "F") == near(0.15));
    for (const AnswerLine& line : answer.lines) CHECK(line.changed == (line.lot == "L"));
}

TEST_CASE("with enough of everything no answer is asked for") {
    auto request = short_of_pale();
    request.lots[0] = lot("P", "pale", 25.0);
    const auto found = substitute(request);
    CHECK(found.answers.empty());
    CHECK(found.has_full_size());
}

TEST_CASE("effects are those of the forecast of a plan with the same reservations, to 1e-9") {
    auto request = short_of_pale();
    for (const auto& answer : substitute(request).answers) {
        if (answer.kind == AnswerKind::buy) continue;
        BrewToFill brew = request.brews[0];
        brew.volume = brew.volume * answer.scale.at("P1");
        Plan booked; // as the ledger holds it
        booked.code = "P1";
        for (const auto& line : answer.lines)
            booked.reserved.push_back({line.line, line.lot, Amount::of(Kilograms(line.mass_kg))});
        const auto forecast = as_booked(plan_request(brew, request.items, request.lots), booked).forecast;
        const Effect& effect = answer.effect.at("P1");
        CHECK(std::abs(effect.original_gravity_sg.value - forecast.original_gravity_sg.value) < 1e-9);
        CHECK(std::abs(effect.volume_l.value - forecast.volume_l.value) < 1e-9);
        CHECK(std::abs(effect.colour_ebc.value - forecast.colour_ebc.value) < 1e-9);
        CHECK(std::abs(effect.bitterness_ibu.value - forecast.bitterness_ibu.value) < 1e-9);
        CHECK(std::abs(effect.alcohol_abv_pct.value - forecast.alcohol_abv_pct.value) < 1e-9);
        CHECK(std::abs(effect.extract_kg.value - forecast.extract_grist_kg) < 1e-9);
        CHECK(effect.original_gravity_sg.sd > 0.0);
    }
}

TEST_CASE("what the plan comes to is the forecast of the plan, what lacks counted as its item's lots are") {
    auto request = short_of_pale();
    request.items[0].extract.reset(); // the card says nothing, the sack does
    request.lots[0].lot.certificate = Certificate{};
    request.lots[0].lot.certificate->extract = Percent(81.8);
    request.lots[0].lot.certificate->extract_basis = ExtractBasis::fine_dry;
    const auto found = substitute(request);
    const auto planned = draw_up_plan(plan_request(request.brews[0], request.items, request.lots));
    CHECK(found.recipe.at("P1").original_gravity_sg.value == near(planned.forecast.original_gravity_sg.value, 1e-12));
    CHECK(found.recipe.at("P1").extract_kg.value == near(20.0 * 0.818 * 0.96 + 0.7125, 1e-9));
    const auto* answer = of_kind(found, AnswerKind::nearest);
    REQUIRE_MESSAGE(answer != nullptr, (found.none.empty() ? "" : found.none[0].reason));
    CHECK(taken(*answer, "L") == near(8.0 * 0.818 * 0.96 / 0.77355, 0.0, 0.0051));
}

TEST_CASE("the mean of the enzymes is by mass") {
    const auto answer = nearest(short_of_pale());
    const double pale = taken(answer, "P"), lager = taken(answer, "L"), crystal = taken(answer, "C");
    CHECK(answer.effect.at("P1").diastatic_power_wk.value ==
          near((160.0 * pale + 260.0 * lager) / (pale + lager + crystal)));
}

TEST_CASE("a bittering hop stands in by its alpha, a dry hop only within its group") {
    auto request = short_of_pale();
    request.lots[0] = lot("P", "pale", 25.0);
    request.lots[3] = lot("B", "bitter", 0.04);
    auto answer = nearest(request);
    // 40 g of 12 %, the missing 7.2 g alpha from floral at 5 %: 144 g; and that is said
    CHECK(taken(answer, "B") == near(0.04));
    CHECK(taken(answer, "F") == near(0.15 + 0.144, 0.0, 0.0006));
    CHECK(std::ranges::count(answer.says, "floral is weaker: 2.4 times as much of it as lacks of bitter") == 1);
    request = short_of_pale();
    request.lots[0] = lot("P", "pale", 25.0);
    request.lots[4] = lot("BL", "blossom", 1.0); // another of the group
    CHECK(taken(nearest(request), "BL") == near(0.15));
    request.items.back().group = "citrus";
    CHECK(why_none(request) == "P1: nothing in store may stand in for floral");
    request.items.back().stands_for = {{"floral", 2.0}}; // the user's word
    CHECK(taken(nearest(request), "BL") == near(0.15));
    request.items.back().stands_for.clear();
    request.items[5].group.reset();
    CHECK(why_none(request) == "P1: no hop stands in for floral late or dry while its aroma group is not stated");
}

TEST_CASE("two brews: what one takes, the other cannot") {
    auto request = short_of_pale();
    request.brews.push_back(pale_ale("P2", "2026-03-02"));
    request.lots[0] = lot("P", "pale", 32.0);
    request.brews.push_back(pale_ale("P3", "2026-03-03"));
    request.lots[0] = lot("P", "pale", 45.0); // P1 and P2 have theirs, P3 lacks 15 kg, and of two lots of lager
    request.brews[1].recipe.grist[0].mass = Kilograms(30.0); // P2 lacks 5 kg
    request.lots[1] = lot("L", "lager", 8.0);
    request.lots[2] = lot("C", "crystal", 5.0);
    auto found = substitute(request);
    const auto* answer = of_kind(found, AnswerKind::nearest);
    REQUIRE(answer != nullptr);
    CHECK(taken(*answer, "L") <= 8.0 + 1e-9);
    CHECK(answer->effect.size() == 1); // 8 kg fill the hole of one of them
    CHECK(answer->left.size() == 1);
    for (const auto& breach : breaches(request, *answer)) FAIL_CHECK(breach);
}

TEST_CASE("a brew that nothing fills is left, and the others are answered") {
    auto request = short_of_pale();
    request.brews.push_back(brew_in_words("rye=5000|floral=150@dry", "P2", "2026-03-02"));
    request.items.push_back(malt("rye", "rye", 82.0, 5.0, 7.0, 180.0));
    const auto answer = nearest(request);
    CHECK(taken(answer, "L") > 8.0);
    CHECK_FALSE(answer.effect.contains("P2"));
    REQUIRE(answer.left.size() == 1);
    CHECK(answer.left[0] == "P2: nothing in store may stand in for rye");
    CHECK_FALSE(substitute(request).has_full_size());
}

TEST_CASE("a brew that lacks nothing is untouched") {
    auto request = short_of_pale();
    request.brews.push_back(brew_in_words("lager=5000|floral=150@dry", "P2", "2026-02-20"));
    for (const auto& answer : substitute(request).answers) {
        CHECK_FALSE(answer.effect.contains("P2"));
        for (const auto& plan : answer.plans) CHECK(plan.code != "P2");
    }
}

TEST_CASE("a spoonful short of twenty kilograms is nothing to make up: the brew goes without") {
    auto request = short_of_pale();
    request.lots[0] = lot("P", "pale", 19.99);
    const auto answer = nearest(request);
    CHECK(answer.lines.size() == 4);
    CHECK(taken(answer, "P") == near(19.99));
    CHECK(answer.sentence.starts_with("Brew without the missing 10 g of pale: too little to matter"));
}

TEST_CASE("whole weigh steps are never the reason for no answer") {
    auto request = short_of_pale();
    request.brews[0].brewhouse.weigh_step = Kilograms(1.0); // of a large house: the brew's 0.1 % is 16 g
    request.brews[0].brewhouse.hop_step = Kilograms(0.05);
    request.lots[0] = lot("P", "pale", 12.4);
    CHECK(taken(nearest(request), "L") == near(8.0));
}

TEST_CASE("no stock at all, and everything on hold, are answers: what to buy, and no beer") {
    auto request = short_of_pale();
    request.lots.clear();
    auto found = substitute(request);
    CHECK_FALSE(found.has_full_size());
    REQUIRE(of_kind(found, AnswerKind::buy) != nullptr);
    CHECK(of_kind(found, AnswerKind::buy)->to_buy.size() == 4);
    CHECK(found.none.size() == 6);
    request = short_of_pale();
    for (auto& state : request.lots) state.lot.held = "damp";
    found = substitute(request);
    CHECK_FALSE(found.has_full_size());
    CHECK(of_kind(found, AnswerKind::smaller) == nullptr);
}

TEST_CASE("where nothing leaves the other lines alone, they move a little, and that is the reason given") {
    auto request = short_of_pale();
    request.lots[0] = lot("P", "pale", 1.0); // all but a kilogram is paler: 5 % of crystal makes it up
    const auto answer = nearest(request);
    CHECK(taken(answer, "L") > 18.0);
    CHECK(taken(answer, "C") > 1.0);
    CHECK(taken(answer, "C") <= 1.2);
    CHECK(taken(answer, "B") == near(0.1));
    REQUIRE(answer.opened.size() == 1);
    CHECK(answer.opened[0].starts_with("P1: "));
    CHECK(answer.opened[0].ends_with(" g more of crystal, for else what may stand in would miss its colour"));
    CHECK(nearest(short_of_pale()).opened.empty());
}

TEST_CASE("a lot past its date serves only where the user says so, and the own lot first") {
    auto request = short_of_pale();
    request.lots[1].lot.best_before = day("2026-02-28");
    CHECK(why_none(request) == "P1: nothing in store may stand in for pale, but L past its date (--allow-past-best)");
    request.allow_past_best = true;
    CHECK(taken(nearest(request), "L") > 8.0);
    request.lots.push_back(lot("P0", "pale", 9.0));
    request.lots.back().lot.best_before = day("2026-02-28");
    const auto answer = nearest(request);
    CHECK(taken(answer, "P0") == near(8.0));
    CHECK(taken(answer, "L") == 0.0);
}

TEST_CASE("what stands in the way is said: too little, enzymes, the greatest share") {
    auto request = short_of_pale();
    request.lots[1] = lot("L", "lager", 4.0);
    CHECK(why_none(request) == "P1: what may stand in for pale fills 49 % of the missing 8 kg");
    request = short_of_pale();
    request.items[1].diastatic_power = WindischKolbach(40.0);
    request.brews[0].recipe.diastatic_floor = WindischKolbach(120.0);
    CHECK(why_none(request) == "P1: what may stand in would have too few enzymes");
    request.brews[0].recipe.diastatic_floor = WindischKolbach(80.0); // (12 * 160 + 8.09 * 40) / 21.1 = 106
    CHECK(taken(nearest(request), "L") > 8.0);
    request = short_of_pale();
    request.items[1].max_share = Percent(30.0);
    CHECK(why_none(request) == "P1: what may stand in would be more of the grist than its kind is used at");
    request.items[1].max_share = Percent(40.0);
    CHECK(taken(nearest(request), "L") > 8.0);
}

TEST_CASE("a brew a little off its colour is better than none, and that is said") {
    auto request = short_of_pale();
    request.items.push_back(malt("vienna", "high-kilned", 81.5, 4.0, 11.0, 160.0));
    request.lots[1] = lot("V", "vienna", 25.0);
    request.lots[0] = lot("P", "pale", 2.0);
    const auto answer = nearest(request);
    CHECK(answer.off_colour == std::set<std::string>{"P1"});
    REQUIRE_FALSE(answer.says.empty());
    CHECK(answer.says.back() == "P1: nothing that is there keeps its colour within 1 EBC or 5 %");
    const double off = answer.effect.at("P1").colour_ebc.value - nearest_recipe(request).colour_ebc.value;
    CHECK(off > 1.0);
    CHECK(off < 3.3);
    CHECK(nearest(short_of_pale()).off_colour.empty());
}

TEST_CASE("an item that must never stand in does not, and another allergen is said") {
    auto request = short_of_pale();
    request.items[1].stands_for = {{"pale", {}, Allowed::never}};
    CHECK(why_none(request) == "P1: nothing in store may stand in for pale");
    request = short_of_pale();
    request.items[1].stands_for = {{"pale", {}}};
    request.items[1].malt_class = "wheat";
    const auto answer = nearest(request);
    CHECK(std::ranges::count(answer.says, "P1: lager in place of pale brings wheat in, an allergen") == 1);
}

TEST_CASE("equal answers: one lot before two, then the older sack") {
    auto request = short_of_pale();
    request.lots.erase(request.lots.begin() + 1);
    for (const char* code : {"L1", "L2", "L3"}) request.lots.push_back(lot(code, "lager", 30.0));
    request.lots[5].lot.best_before = day("2026-06-01"); // L2
    const auto answer = nearest(request);
    CHECK(taken(answer, "L2") > 8.0);
    CHECK(answer.lines.size() == 5);
}

TEST_CASE("cheapest and oldest are told only where they say something of their own") {
    auto request = short_of_pale();
    request.lots.push_back(lot("L2", "lager", 30.0));
    auto found = substitute(request);
    CHECK(of_kind(found, AnswerKind::cheapest) == nullptr); // at the same price
    request.lots.back().lot.price = Money{600};             // 0.20 a kilogram
    request.lots.back().lot.best_before = day("2028-01-01");
    found = substitute(request);
    const auto* cheapest = of_kind(found, AnswerKind::cheapest);
    REQUIRE(cheapest != nullptr);
    CHECK(taken(*cheapest, "L2") > 8.0);
    CHECK(taken(*of_kind(found, AnswerKind::nearest), "L") > 8.0); // the older
    CHECK(of_kind(found, AnswerKind::nearest)->also == std::vector{AnswerKind::oldest});
    for (auto& state : request.lots) state.lot.price.reset();
    found = substitute(request);
    CHECK(of_kind(found, AnswerKind::cheapest) == nullptr);
    CHECK_FALSE(of_kind(found, AnswerKind::nearest)->cost.has_value());
}

TEST_CASE("the second hand finds what is broken") {
    auto request = short_of_pale();
    request.kinds = {AnswerKind::nearest};
    const auto good = nearest(request);
    const auto broken = [&](auto spoil) {
        auto answer = good;
        spoil(answer);
        std::string all;
        for (const auto& breach : breaches(request, answer)) all += breach.substr(0, breach.find(':') + 1) + " ";
        return all;
    };
    const auto line_of = [](SubstituteAnswer& answer, const char* lot) -> AnswerLine& {
        return *std::ranges::find(answer.lines, lot, &AnswerLine::lot);
    };
    CHECK(broken([](auto&) {}).empty());
    CHECK(broken([](auto& a) { a.plans[0].reserved[0].amount.units += 1; }).find("S1:") != std::string::npos);
    CHECK(broken([&](auto& a) { line_of(a, "L").mass_kg += 0.005; }).find("S2:") != std::string::npos);
    CHECK(broken([&](auto& a) { line_of(a, "P").mass_kg -= 0.1; }).find("S3:") != std::string::npos);
    CHECK(broken([&](auto& a) { line_of(a, "L").lot = "C"; }).find("S4:") != std::string::npos);
    CHECK(broken([&](auto& a) { line_of(a, "L").mass_kg -= 1.0; }).find("S5:") != std::string::npos);
    CHECK(broken([&](auto& a) { line_of(a, "L").mass_kg += 3.0; }).find("S11:") != std::string::npos);
    request.items[1].max_share = Percent(10.0);
    CHECK(broken([](auto&) {}).find("S8:") != std::string::npos);
    request.items[1].max_share.reset();
    request.items[1].colour = Ebc(60.0);
    CHECK(broken([](auto&) {}).find("S6:") != std::string::npos);
    request.items[1].colour = Ebc(3.5);
    request.brews[0].recipe.diastatic_floor = WindischKolbach(250.0);
    CHECK(broken([](auto&) {}).find("S7:") != std::string::npos);
}

TEST_CASE("two brews of one code are refused") {
    auto request = short_of_pale();
    request.brews.push_back(request.brews[0]);
    CHECK_THROWS(substitute(request));
}

TEST_CASE("the model written out has the objective of the answer") {
    const auto request = short_of_pale();
    const Mip mip = substitution_mip(request, AnswerKind::nearest);
    const MipAnswer solved = solve(mip);
    REQUIRE(solved.found());
    CHECK(solved.objective == near(nearest(request).objective, 1e-3, 1e-6));
}
