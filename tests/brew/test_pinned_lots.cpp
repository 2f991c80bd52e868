// Lots that the brewer names for a plan: kept to the gram, or refused with what stands in the way.
#include "near.hpp"
#include "small_store.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Amount grams(double mass) {
    return Amount::of(Grams(mass));
}

// 4 kg of one malt; 30 g of one hop at sixty minutes and 20 g at ten.
PlanRequest bitter() {
    PlanRequest request;
    request.code = "P1";
    request.date = day("2026-03-01");
    request.volume = Litres(23.0);
    request.brewhouse.name = "garage";
    request.brewhouse.volume = Litres(23.0);
    request.items = {item("pale ale malt", ItemKind::malt, "base"), item("bittering hop", ItemKind::hop)};
    request.lots = {lot("PAM-1", "pale ale malt", 25.0), lot("PAM-2", "pale ale malt", 25.0),
                    lot("BH-1", "bittering hop", 0.5), lot("BH-2", "bittering hop", 0.5)};
    request.recipe.name = "bitter";
    request.recipe.volume = Litres(23.0);
    request.recipe.boil = Minutes(60.0);
    request.recipe.grist = {{"pale ale malt", {}, Kilograms(4.0)}};
    for (const auto& [minutes, mass_g] : {std::pair(60.0, 30.0), std::pair(10.0, 20.0)}) {
        auto& line = request.recipe.hops.emplace_back();
        line.item = "bittering hop";
        line.minutes = Minutes(minutes);
        line.mass = Grams(mass_g);
    }
    return request;
}

// It stays with the plan: no other takes it.
Reservation pinned(int line, const std::string& lot, Amount amount) {
    return {line, lot, amount, std::nullopt, Pinned::yes};
}

} // namespace

TEST_CASE("a named lot takes the place of the one that would be used first") {
    auto request = bitter();
    request.pins = {{"PAM-2", {}}};
    CHECK(draw_up_plan(request).plan.reserved[0] == pinned(0, "PAM-2", grams(4000)));
}

TEST_CASE("so much of a named lot and the rest of others, over two lines of one hop") {
    auto request = bitter();
    request.pins = {{"BH-2", grams(40)}, {"PAM-2", grams(1500)}};
    const auto planned = draw_up_plan(request);
    CHECK(planned.plan.reserved == std::vector<Reservation>{pinned(0, "PAM-2", grams(1500)),
                                                            {0, "PAM-1", grams(2500)},
                                                            pinned(1, "BH-2", grams(30)),
                                                            pinned(2, "BH-2", grams(10)),
                                                            {2, "BH-1", grams(10)}});
}

TEST_CASE("what cannot be kept of a pin is refused") {
    auto request = bitter();
    SUBCASE("more than the brew takes") {
        request.pins = {{"PAM-2", grams(5000)}};
        CHECK(refused(request) == "the brew takes 4 kg of lot PAM-2, not the 5 kg asked of it");
    }
    SUBCASE("more than is free") {
        request.lots[1].promised = grams(23e3);
        request.pins = {{"PAM-2", grams(3000)}};
        CHECK(refused(request) == "not enough in stock: 2 kg of lot PAM-2 is free, of the 3 kg asked of it; 23 kg is "
                                  "promised to other brews");
    }
    SUBCASE("a lot on hold") {
        request.lots[1].lot.held = "damp";
        request.pins = {{"PAM-2", {}}};
        CHECK(refused(request) == "lot PAM-2 is on hold: damp");
    }
    SUBCASE("a lot that is still to come") {
        request.lots[1].lot.received = day("2026-03-02");
        request.pins = {{"PAM-2", {}}};
        CHECK(refused(request) == "lot PAM-2 comes on 2026-03-02, after the brew of 2026-03-01");
    }
    SUBCASE("a lot of what the recipe does not take") {
        request.lots[1].lot.item = "wheat malt";
        request.pins = {{"PAM-2", {}}};
        CHECK(refused(request) == "lot PAM-2 is wheat malt, of which recipe `bitter` takes nothing");
    }
    SUBCASE("slurry, where the recipe takes packets") {
        Item yeast;
        yeast.name = "ale yeast";
        yeast.kind = ItemKind::yeast;
        request.items.push_back(yeast);
        auto& line = request.recipe.others.emplace_back();
        line.item = "ale yeast";
        line.stage = Stage::fermenter;
        line.count = 1;
        request.lots.push_back(lot("AY-1", "ale yeast", 0));
        LotState& slurry = request.lots.back();
        slurry.lot.received_amount = slurry.on_hand = Amount::of(Litres(1.0));
        slurry.promised = Amount::of(Litres(0.0));
        request.pins = {{"AY-1", Amount::of(Litres(0.0))}};
        CHECK(refused(request) == "");
        request.pins = {{"AY-1", {}}};
        CHECK(refused(request) == "lot AY-1 is kept by volume, and recipe `bitter` takes ale yeast by the piece");
    }
    SUBCASE("a lot that is not there") {
        request.pins = {{"PAM-9", {}}};
        CHECK(refused(request) == "there is no lot `PAM-9` to take");
    }
}

TEST_CASE("a named lot past its date is taken, and that is said") {
    auto request = bitter();
    request.lots[1].lot.best_before = day("2026-02-01");
    request.pins = {{"PAM-2", {}}};
    const auto planned = draw_up_plan(request);
    CHECK(planned.plan.reserved[0].lot == "PAM-2");
    REQUIRE(!planned.remarks.empty());
    CHECK(planned.remarks[0] == "PAM-2 is taken as you say, though it was best before 2026-02-01");
}

TEST_CASE("a brew too small for its kettle may come to nothing, and no interval reaches below that") {
    auto request = bitter();
    request.volume = Litres(1.0);
    const auto planned = draw_up_plan(request);
    const auto& volume = planned.forecast.volume_l;
    CHECK(volume.value == near(1.0));
    REQUIRE(volume.value - 1.645 * volume.sd < 0.0);
    CHECK(volume.low == 0.0);
    CHECK(volume.high == near(volume.value + 1.645 * volume.sd, 1e-3));
    for (const auto& figure :
         {planned.forecast.colour_ebc, planned.forecast.bitterness_ibu, planned.forecast.alcohol_abv_pct})
        CHECK(figure.low >= 0.0);
    CHECK(planned.forecast.original_gravity_sg.low >= 1.0);
    bool said = false;
    for (const auto& remark : planned.remarks) said = said || remark.find("would leave nothing") != std::string::npos;
    CHECK(said);
}

TEST_CASE("a lot that comes in the morning may be named for that day's brew, and one is good on its last day") {
    auto request = bitter();
    request.lots[1].lot.received = request.date;
    request.lots[1].lot.best_before = request.date;
    request.pins = {{"PAM-2", {}}};
    const auto planned = draw_up_plan(request);
    CHECK(planned.plan.reserved[0].lot == "PAM-2");
    for (const std::string& remark : planned.remarks) CHECK(remark.find("best before") == std::string::npos);
}
