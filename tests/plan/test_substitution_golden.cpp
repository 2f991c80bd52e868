// Substitutions whose optimum another solver found, on a model with weigh steps in it (tests/golden/substitution).
#include "golden_table.hpp"
#include <doctest/doctest.h>
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/plan/substitute.hpp>
#include <lotwort/plan/verify_substitution.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

SubstituteRequest request_of(const std::string& name) {
    const Book book = read_exchange(project_file("tests/golden/substitution/" + name + "/case.json"), name);
    SubstituteRequest request;
    request.items = book.items;
    for (const Lot& lot : book.lots) request.lots.push_back({lot, lot.received_amount, {}});
    for (const Plan& plan : book.plans) {
        BrewToFill brew;
        brew.code = plan.code;
        brew.date = plan.date;
        for (const Recipe& recipe : book.recipes)
            if (recipe.name == plan.recipe) brew.recipe = recipe;
        brew.volume = *plan.volume;
        brew.brewhouse.name = "any";
        brew.brewhouse.volume = brew.volume;
        request.brews.push_back(brew);
    }
    request.today = request.brews[0].date;
    return request;
}

// The objective of the kind, after every rule was looked at again.
double objective(const GoldenRow& row, AnswerKind kind) {
    SubstituteRequest request = request_of(row.words.at("case"));
    request.kinds = {kind};
    const Substitution found = substitute(request);
    REQUIRE(found.answers.size() == 1);
    const SubstituteAnswer& answer = found.answers[0];
    for (const auto& breach : breaches(request, answer)) FAIL_CHECK(breach);
    CHECK(answer.bound <= answer.objective + 1e-9);
    CHECK(answer.proven_optimal);
    return answer.objective;
}

} // namespace

TEST_CASE("the answers are the best another solver found, to 0.2 %, and keep every rule") {
    check_golden_table("substitution.tsv",
                       {{"nearest", [](const GoldenRow& row) { return objective(row, AnswerKind::nearest); }},
                        {"cheapest", [](const GoldenRow& row) { return objective(row, AnswerKind::cheapest); }},
                        {"oldest", [](const GoldenRow& row) { return objective(row, AnswerKind::oldest); }},
                        {"smaller", [](const GoldenRow& row) { return objective(row, AnswerKind::smaller); }}});
}
