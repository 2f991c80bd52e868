// Plans keep themselves: who gives what up for whom.
#include "small_store.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/brew/plan_lacks.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Book house() {
    Book book;
    Brewhouse garage;
    garage.name = "garage";
    garage.volume = Litres(23.0);
    book.brewhouses = {garage};
    book.items = {item("pale ale malt", ItemKind::malt, "base"), item("ale yeast", ItemKind::yeast)};
    Recipe recipe;
    recipe.name = "pale ale";
    recipe.volume = Litres(23.0);
    GristLine malt;
    malt.item = "pale ale malt";
    malt.mass = Kilograms(5.0);
    recipe.grist = {malt};
    book.recipes = {recipe};
    return book;
}

Plan plan(const char* code, const char* on, std::vector<Reservation> reserved) {
    Plan made;
    made.code = code;
    made.recipe = "pale ale";
    made.date = day(on);
    made.brewhouse = "garage";
    made.reserved = std::move(reserved);
    return made;
}

LotState promised(const char* code, double kg) {
    LotState state = lot(code, "pale ale malt", kg);
    state.promised = state.on_hand;
    return state;
}

Plan after(const Book& book, const std::vector<LotState>& lots, const char* code) {
    const auto plans = reserved_anew(book, lots);
    return *std::ranges::find(plans, code, &Plan::code);
}

} // namespace

TEST_CASE("an earlier brew takes what a later one has, but not what was named for it") {
    const Amount five = Amount::of(Kilograms(5.0));
    Book book = house();
    book.plans = {plan("P1", "2026-03-09", {}), plan("P2", "2026-03-16", {{0, "PAM-1", five}})};
    const std::vector<LotState> lots{promised("PAM-1", 5.0)};
    CHECK(after(book, lots, "P1").reserved.size() == 1);
    CHECK(after(book, lots, "P2").reserved.empty());
    book.plans[1].reserved.front().pinned = Pinned::yes;
    CHECK(after(book, lots, "P1").reserved.empty());
    CHECK(after(book, lots, "P2") == book.plans[1]);
}

TEST_CASE("a plan that was to pitch a plan's yeast pitches that of its brew, once it is brewed") {
    Book book = house();
    book.plans = {plan("P1", "2026-03-09", {}), plan("P2", "2026-03-20", {})};
    book.plans[1].yeast_of_plan = "P1";
    Book part;
    Brew brew;
    brew.code = "B7";
    brew.plan = "P1";
    part.brews = {brew};
    const Book now = once_booked(book, part);
    REQUIRE(now.plans.size() == 1);
    CHECK(now.plans.front().yeast_of_plan == std::nullopt);
    CHECK(now.plans.front().yeast_of_brew == "B7");
    LotState slurry = lot("YST-1", "ale yeast", Amount::of(Litres(2.0)));
    slurry.lot.harvested_from = "B7";
    CHECK(crop_lots(now.plans.front(), {}) == std::vector<std::string>{});
    CHECK(crop_lots(now.plans.front(), {slurry}) == std::vector<std::string>{"YST-1"});
    CHECK(crop_lots(book.plans.front(), {slurry}) == std::nullopt);
}

TEST_CASE("an order that comes on the brew day serves it, and what it brings is promised once") {
    const Amount five = Amount::of(Kilograms(5.0));
    Book book = house();
    book.plans = {plan("P1", "2026-03-09", {}), plan("P2", "2026-03-16", {})};
    Order& order = book.orders.emplace_back();
    order.code = "O1";
    order.arrives = day("2026-03-09");
    OrderLine& line = order.lines.emplace_back();
    line.item = "pale ale malt";
    line.pack = Kilograms(5.0);
    line.packs = 1;
    const auto lacks = plan_lacks(book, {});
    REQUIRE(lacks.size() == 2);
    CHECK(lacks[0].from_orders == five);
    CHECK(lacks[0].missing.units == 0);
    CHECK(lacks[1].from_orders.units == 0);
    CHECK(lacks[1].missing == five);
}
