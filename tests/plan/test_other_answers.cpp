// Answers without a stand-in: less of it, as it is, another date, what to buy.
#include "near.hpp"
#include "plan/answers.hpp"
#include <algorithm>
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

Order order_of_pale(const char* arrives, double pack_kg) {
    Order order;
    order.code = "O1";
    order.arrives = day(arrives);
    OrderLine line;
    line.item = "pale";
    line.pack = Kilograms(pack_kg);
    order.lines = {line};
    return order;
}

} // namespace

TEST_CASE("a smaller batch is the recipe as it is, as much as its own malts fill") {
    auto request = short_of_pale();
    const auto found = substitute(request);
    const auto* smaller = of_kind(found, AnswerKind::smaller);
    REQUIRE(smaller != nullptr);
    CHECK(smaller->scale.at("P1") == near(0.6, 0.0, 0.001)); // 12 of 20 kg
    CHECK(taken(*smaller, "L") == 0.0);
    CHECK(taken(*smaller, "P") <= 12.0 + 1e-9);
    CHECK(breaches(request, *smaller).empty());
}

TEST_CASE("brewed as it is, it is weaker and paler") {
    auto request = short_of_pale();
    const auto found = substitute(request);
    const auto* as_it_is = of_kind(found, AnswerKind::short_of_it);
    REQUIRE(as_it_is != nullptr);
    CHECK(as_it_is->effect.at("P1").extract_kg.value == near(12.0 * 0.7824 + 0.7125));
    CHECK(as_it_is->sentence.starts_with("Brew without the 8 kg of pale: gravity "));
}

TEST_CASE("yeast that lacks is fetched for a smaller brew and for one without its malt, and stops neither") {
    auto request = short_of_pale();
    Item yeast;
    yeast.name = "ale yeast";
    yeast.kind = ItemKind::yeast;
    request.items.push_back(yeast);
    OtherLine line;
    line.item = "ale yeast";
    line.stage = Stage::fermenter;
    line.mass = Kilograms(0.05);
    request.brews[0].recipe.others = {line};
    for (const AnswerKind kind : {AnswerKind::smaller, AnswerKind::short_of_it}) {
        const auto found = substitute(request);
        const auto* answer = of_kind(found, kind);
        REQUIRE(answer != nullptr);
        REQUIRE(answer->to_get.size() == 1);
        CHECK(answer->to_get[0].item == "ale yeast");
        CHECK(answer->sentence.find(" g of ale yeast is still to be got: ") != std::string::npos);
        for (const auto& breach : breaches(request, *answer)) FAIL_CHECK(breach);
    }
    request.lots[0] = lot("P", "pale", 25.0); // only the yeast lacks
    const auto found = substitute(request);
    CHECK(of_kind(found, AnswerKind::smaller) == nullptr);
    CHECK(of_kind(found, AnswerKind::short_of_it) == nullptr);
}

TEST_CASE("no smaller brew has a hop of which nothing is there, and it is said which") {
    auto request = short_of_pale();
    request.lots.pop_back(); // floral
    const auto found = substitute(request);
    const auto none = std::ranges::find(found.none, AnswerKind::smaller, &NoAnswer::kind);
    REQUIRE(none != found.none.end());
    CHECK(none->reason == "P1: nothing is there of floral");
}

TEST_CASE("another date cures it where the malt comes a week later, by lot or by order") {
    auto request = short_of_pale();
    request.lots[1] = lot("P9", "pale", 25.0);
    request.lots[1].lot.received = day("2026-03-08");
    auto found = substitute(request);
    const auto* moved = of_kind(found, AnswerKind::reschedule);
    REQUIRE(moved != nullptr);
    REQUIRE(moved->moves.size() == 1);
    CHECK(moved->moves[0].to == day("2026-03-08"));
    CHECK(moved->objective == 7.0);
    CHECK(of_kind(found, AnswerKind::nearest) == nullptr);
    request.lots.erase(request.lots.begin() + 1);
    request.orders = {order_of_pale("2026-03-05", 25.0)};
    found = substitute(request);
    moved = of_kind(found, AnswerKind::reschedule);
    REQUIRE(moved != nullptr);
    CHECK(moved->moves[0].to == day("2026-03-05"));
    CHECK(moved->sentence.starts_with("Brew P1 on 2026-03-05, when what is on order is there"));
}

TEST_CASE("what an order brings in time does not lack") {
    auto request = short_of_pale();
    request.orders = {order_of_pale("2026-02-25", 5.0)};
    const auto answer = nearest(request);
    CHECK(taken(answer, "L") == near(3.0 * 0.7824 / 0.77355, 0.0, 0.0051));
}

TEST_CASE("what to buy is the offer that is there in time, the cheapest of those") {
    auto request = short_of_pale();
    request.currency = "EUR";
    const auto offer = [](const char* supplier, double pack, std::int64_t price, int lead) {
        Offer made;
        made.supplier = supplier;
        made.item = "pale";
        made.pack = Kilograms(pack);
        made.price_steps = {{1, {price}}};
        made.lead_days = lead;
        return made;
    };
    request.offers = {offer("Hillside", 5.0, 900, 3), offer("Valley", 25.0, 1500, 5), offer("Late", 10.0, 100, 60)};
    const auto found = substitute(request);
    const auto* buy = of_kind(found, AnswerKind::buy);
    REQUIRE(buy != nullptr);
    REQUIRE(buy->to_buy.size() == 1);
    CHECK(buy->to_buy[0].supplier == "Valley"); // 15.00 for 25 kg, against two packs of 5 kg for 18.00
    CHECK(buy->to_buy[0].arrives == day("2026-02-06"));
    CHECK(buy->sentence == "Buy 1 x 25 kg of pale from Valley, 15.00 EUR, there by 2026-02-06.");
}

TEST_CASE("what is bought together is delivered once, and is bought where it comes cheapest together") {
    auto request = short_of_pale();
    request.currency = "EUR";
    request.lots[2] = lot("C", "crystal", 0.2); // 800 g lack beside the 8 kg of pale
    const auto offer = [](const char* supplier, const char* item, double pack, std::int64_t price) {
        Offer made;
        made.supplier = supplier;
        made.item = item;
        made.pack = Kilograms(pack);
        made.price_steps = {{1, {price}}};
        made.delivery = Money{690};
        return made;
    };
    request.offers = {offer("Valley", "pale", 25.0, 2500), offer("Hillside", "pale", 25.0, 2600),
                      offer("Hillside", "crystal", 1.0, 300), offer("Valley", "crystal", 1.0, 450)};
    const auto found = substitute(request);
    const auto* buy = of_kind(found, AnswerKind::buy);
    REQUIRE(buy != nullptr);
    REQUIRE(buy->to_buy.size() == 2);
    std::int64_t paid = 0;
    for (const Purchase& one : buy->to_buy) paid += one.cost.minor + one.delivery.minor;
    CHECK(paid == 2600 + 300 + 690); // all of Hillside; apart 25.00 + 3.00 + 2 x 6.90, all of Valley 36.40
}
