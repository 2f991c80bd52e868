// What is filled, where not all of it can be: a line that nothing fills, or half a line.
#include "near.hpp"
#include "plan/answers.hpp"
#include <algorithm>
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

TEST_CASE("a line that nothing fills does not keep the others from being filled") {
    auto request = short_of_pale();
    request.lots[4] = lot("F", "floral", 0.1); // and 50 g of the dry hop lack, of a group that nobody else is of
    const auto answer = nearest(request);
    CHECK(taken(answer, "L") == near(8.0 * 0.7824 / 0.77355, 0.0, 0.0051));
    CHECK(taken(answer, "F") == near(0.1));
    REQUIRE(answer.left.size() == 1);
    CHECK(answer.left[0] == "P1: nothing in store may stand in for floral");
    CHECK(answer.sentence.find("; 50 g of floral is still to be got: ") != std::string::npos);
    REQUIRE(answer.to_get.size() == 1);
    CHECK(answer.to_get[0].missing == Amount::of(Grams(50.0)));
    const auto found = substitute(request);
    CHECK_FALSE(found.has_full_size());
    CHECK(found.answers[0].kind == AnswerKind::nearest); // brewed so before it is brewed smaller
}

TEST_CASE("where a malt cannot be made up, a hop that can is no brew: less of it comes first") {
    auto request = short_of_pale();
    request.items.push_back(malt("rye", "rye", 82.0, 5.0, 7.0, 180.0));
    request.brews[0].recipe.grist.push_back({"rye", {}, Kilograms(2.0)});
    request.lots = {lot("P", "pale", 20.0),  lot("C", "crystal", 5.0), lot("R", "rye", 1.2),
                    lot("B", "bitter", 1.0), lot("F", "floral", 0.1),  lot("S", "blossom", 1.0)};
    const auto found = substitute(request);
    REQUIRE(of_kind(found, AnswerKind::nearest) != nullptr);
    CHECK(taken(*of_kind(found, AnswerKind::nearest), "S") == near(0.05));
    CHECK(found.answers[0].kind == AnswerKind::smaller);
    for (const auto& answer : found.answers)
        for (const auto& breach : breaches(request, answer)) FAIL_CHECK(breach);
}

TEST_CASE("the second hand finds a line left to be got that could be filled") {
    auto request = short_of_pale();
    request.lots[3] = lot("B", "bitter", 0.05);
    auto answer = nearest(request);
    std::erase_if(answer.lines, [](const AnswerLine& l) { return l.changed && l.lot == "F"; });
    answer.to_get.push_back({"P1", 2, "bitter", Amount::of(Grams(50.0))});
    const auto found = breaches(request, answer);
    CHECK(std::ranges::any_of(found, [](const std::string& breach) { return breach.starts_with("S12:"); }));
}

TEST_CASE("most of what lacks is better than none of it: both sacks go in, and the rest is to be got") {
    auto request = short_of_pale(); // of 8 kg
    request.lots[1] = lot("L", "lager", 4.5);
    request.lots.push_back(lot("L2", "lager", 3.0));
    const auto answer = nearest(request);
    CHECK(taken(answer, "L") == near(4.5));
    CHECK(taken(answer, "L2") == near(3.0, 0.0, 0.011));
    REQUIRE(answer.to_get.size() == 1);
    // 7.5 kg of lager are 7.5 x 0.77355 / 0.7824 = 7.415 kg of pale, by whole steps of 10 g
    CHECK(answer.to_get[0].missing == Amount::of(Grams(590.0)));
    CHECK(answer.left == std::vector<std::string>{"P1: what may stand in for pale fills 93 % of the missing 8 kg"});
    CHECK(answer.sentence.find("for 7.41 kg of the missing 8 kg of pale; 590 g of pale is still to be got: ") !=
          std::string::npos);
}

TEST_CASE("less than half of what lacks is no stand-in") {
    auto request = short_of_pale();
    request.lots[1] = lot("L", "lager", 3.9);
    CHECK(why_none(request) == "P1: what may stand in for pale fills 48 % of the missing 8 kg");
}

TEST_CASE("a brew that is filled in part takes nothing from one that is filled whole") {
    auto request = short_of_pale();
    request.brews.push_back(pale_ale("P2", "2026-03-08"));
    request.lots[0] = lot("P", "pale", 28.0); // 12 kg lack, all of P2
    request.lots[1] = lot("L", "lager", 9.0);
    request.brews[0].recipe.grist[0].mass = Kilograms(36.0); // 8 kg of P1 lack, and 20 kg of P2
    const auto answer = nearest(request);
    for (const auto& line : answer.lines)
        if (line.lot == "L") CHECK(line.brew == "P1");
    REQUIRE(answer.left.size() == 1);
    CHECK(answer.left[0].starts_with("P2: "));
}

TEST_CASE("what is bought for the rest makes the brew whole") {
    auto request = short_of_pale();
    request.lots[1] = lot("L", "lager", 7.5);
    const auto answer = nearest(request);
    REQUIRE(answer.to_get.size() == 1);
    // the plan that follows it lacks the rest, and nothing else
    const auto& plan = answer.plans[0];
    REQUIRE(plan.awaited.size() == 1);
    CHECK(plan.awaited[0].amount == answer.to_get[0].missing);
    CHECK(answer.effect.at("P1").extract_kg.value == near(nearest_recipe(request).extract_kg.value, 0.0, 0.008));
}
