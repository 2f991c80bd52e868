// What plans keep of what was promised, and what a booking takes from which.
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/brew/promises.hpp>
#include <random>

using namespace lotwort;

namespace {

Date day(int number) {
    return *parse_iso_date("2026-03-01") + std::chrono::days(number);
}

Amount kg(double mass) {
    return Amount::of(Kilograms(mass));
}

LotState lot(const std::string& code, double mass) {
    LotState state;
    state.lot.code = code;
    state.lot.item = "pale ale malt";
    state.lot.received = day(0);
    state.lot.received_amount = state.on_hand = kg(mass);
    return state;
}

Plan plan(const std::string& code, int on, std::vector<Reservation> reserved) {
    Plan made;
    made.code = code;
    made.date = day(on);
    made.recipe = "pale ale";
    made.reserved = std::move(reserved);
    return made;
}

Book moved(const std::string& code, Amount change) {
    Book part;
    Movement& movement = part.movements.emplace_back();
    movement.lot = code;
    movement.change = change;
    return part;
}

} // namespace

TEST_CASE("of too little the earlier brew has its own, whatever plan was made first") {
    const std::vector plans{plan("LATE", 9, {{0, "A", kg(10)}}), plan("EARLY", 3, {{0, "A", kg(10)}})};
    const auto lost = lost_promises(plans, {lot("A", 25)}, moved("A", -kg(8)));
    REQUIRE(lost.size() == 1);
    CHECK(lost[0].plan.code == "LATE");
    CHECK(lost[0].lost == std::vector<TakenLot>{{"A", kg(3)}});
    CHECK(lost_promises(plans, {lot("A", 25)}, moved("A", -kg(5))).empty()); // that much was free
}

TEST_CASE("a lot that goes on hold, or into another, keeps no promise") {
    const std::vector plans{plan("P1", 3, {{0, "A", kg(10)}, {1, "B", kg(1)}})};
    const std::vector lots{lot("A", 25), lot("B", 5)};
    Book held;
    held.lots.push_back(lots[0].lot);
    held.lots.back().held = "weevils";
    Book together;
    together.lots.push_back(lot("AB", 30).lot);
    together.lots.back().made_from = {{"A", kg(25)}, {"B", kg(5)}};
    CHECK(lost_promises(plans, lots, held).at(0).lost == std::vector<TakenLot>{{"A", kg(10)}});
    CHECK(lost_promises(plans, lots, together).at(0).lost == std::vector<TakenLot>{{"A", kg(10)}, {"B", kg(1)}});
}

TEST_CASE("the plan that is brewed loses nothing, and the other what the brew took beyond it") {
    const std::vector plans{plan("P1", 3, {{0, "A", kg(10)}}), plan("P2", 4, {{0, "A", kg(10)}})};
    Book part;
    Brew& brew = part.brews.emplace_back();
    brew.plan = "P1";
    brew.additions.push_back({"A", Stage::mash, kg(12), {}, {}, {}});
    CHECK(lost_promises(plans, {lot("A", 22)}, part).empty());
    const auto lost = lost_promises(plans, {lot("A", 20)}, part);
    REQUIRE(lost.size() == 1);
    CHECK(lost[0].plan.code == "P2");
    CHECK(lost[0].lost == std::vector<TakenLot>{{"A", kg(2)}});
}

TEST_CASE("what plans keep is never more than is there, nor than they reserve, and what they lose is the difference") {
    std::mt19937 random(11);
    const auto upto = [&](int n) { return std::uniform_int_distribution<int>(0, n)(random); };
    const std::vector<std::string> codes{"A", "B", "C"};
    for (int trial = 0; trial < 300; ++trial) {
        std::vector<LotState> lots;
        for (const auto& code : codes) lots.push_back(lot(code, upto(30)));
        std::vector<Plan> plans;
        for (int p = 0; p < 4; ++p) {
            Plan made = plan("P" + std::to_string(p), upto(5), {});
            for (int r = upto(3); r > 0; --r)
                made.reserved.push_back({r, codes[static_cast<std::size_t>(upto(2))], kg(1 + upto(10))});
            plans.push_back(made);
        }
        const std::string of = codes[static_cast<std::size_t>(upto(2))];
        const Book part = moved(of, -kg(upto(10)));
        const auto after = once_booked(lots, part);
        const auto sum = [&](const std::vector<Plan>& all, const std::string& code) {
            std::int64_t units = 0;
            for (const Plan& one : all)
                for (const Reservation& r : one.reserved)
                    if (r.lot == code) units += r.amount.units;
            return units;
        };
        const auto kept = kept_promises(plans, lots), left = kept_promises(plans, after);
        std::int64_t lost = 0;
        for (const LostPromise& promise : lost_promises(plans, lots, part))
            for (const TakenLot& taken : promise.lost) {
                CHECK(taken.lot == of);
                CHECK(taken.amount.units > 0);
                lost += taken.amount.units;
            }
        CHECK(lost == sum(kept, of) - sum(left, of));
        for (const LotState& state : lots) {
            const auto reserved = sum(plans, state.lot.code);
            CHECK(sum(kept, state.lot.code) == std::min(reserved, state.on_hand.units));
        }
    }
}

TEST_CASE("of a lot that does not reach for both the earlier plan keeps its promise, in whatever order they stand") {
    const auto kept =
        kept_promises({plan("LATE", 9, {{0, "A", kg(10)}}), plan("EARLY", 3, {{0, "A", kg(10)}})}, {lot("A", 12)});
    REQUIRE(kept.size() == 2);
    CHECK(kept[0].code == "EARLY");
    CHECK(kept[0].reserved == std::vector<Reservation>{{0, "A", kg(10)}});
    CHECK(kept[1].reserved == std::vector<Reservation>{{0, "A", kg(2)}});
}

TEST_CASE("what was weighed out and not used is back in its lot") {
    Book part;
    Brew& brew = part.brews.emplace_back();
    brew.code = "B1";
    Addition& addition = brew.additions.emplace_back();
    addition.lot = "A";
    addition.amount = kg(5);
    Unused& unused = brew.unused.emplace_back();
    unused.lot = "A";
    unused.amount = kg(2);
    CHECK(once_booked({lot("A", 25)}, part).front().on_hand == kg(22));
}
