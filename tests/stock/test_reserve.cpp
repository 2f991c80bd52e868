// Which lots a plan takes, by hand: three deliveries of one malt, each with its own reason to be taken or not.
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/stock/reserve.hpp>

using namespace lotwort;

namespace {

Date day(const char* iso) {
    return *parse_iso_date(iso);
}

LotState lot(const char* code, double kg, const char* received, const char* best_before = nullptr) {
    LotState state;
    state.lot.code = code;
    state.lot.item = "pale ale malt";
    state.lot.received = day(received);
    state.lot.received_amount = Amount::of(Kilograms(kg));
    if (best_before != nullptr) state.lot.best_before = day(best_before);
    state.on_hand = state.lot.received_amount;
    state.promised = Amount::of(Kilograms(0.0));
    return state;
}

Amount kg(double mass) {
    return Amount::of(Kilograms(mass));
}

} // namespace

TEST_CASE("the lot that spoils first is used first, whichever came first") {
    const std::vector lots{lot("OLD", 25, "2026-01-02"), lot("LATE", 25, "2026-01-03", "2027-06-01"),
                           lot("SOON", 3, "2026-02-01", "2026-12-01")};
    const auto got = reserve(lots, "pale ale malt", kg(5), day("2026-03-01"));
    CHECK(got.taken == std::vector<TakenLot>{{"SOON", kg(3)}, {"LATE", kg(2)}});
    CHECK(got.missing == kg(0));
    CHECK(got.passed_over.empty());
}

TEST_CASE("among lots of one date the earlier delivery goes first, then the code decides") {
    const std::vector lots{lot("C", 1, "2026-01-05"), lot("B", 1, "2026-01-02"), lot("A", 1, "2026-01-05")};
    const auto got = reserve(lots, "pale ale malt", kg(3), day("2026-03-01"));
    CHECK(got.taken == std::vector<TakenLot>{{"B", kg(1)}, {"A", kg(1)}, {"C", kg(1)}});
}

TEST_CASE("a lot is good on its best-before day and not the day after") {
    const std::vector lots{lot("A", 5, "2026-01-02", "2026-03-01")};
    CHECK(reserve(lots, "pale ale malt", kg(5), day("2026-03-01")).missing == kg(0));
    const auto late = reserve(lots, "pale ale malt", kg(5), day("2026-03-02"));
    CHECK(late.taken.empty());
    CHECK(late.missing == kg(5));
    REQUIRE(late.passed_over.size() == 1);
    CHECK(late.passed_over[0].why == "best before 2026-03-01");
}

TEST_CASE("what is held, has not come, or is promised is left alone and said") {
    std::vector lots{lot("HELD", 25, "2026-01-02"), lot("COMING", 25, "2026-04-01"), lot("SHARED", 10, "2026-01-02")};
    lots[0].lot.held = "damp sack";
    lots[2].promised = kg(8);
    const auto got = reserve(lots, "pale ale malt", kg(5), day("2026-03-01"));
    CHECK(got.taken == std::vector<TakenLot>{{"SHARED", kg(2)}});
    CHECK(got.missing == kg(3));
    REQUIRE(got.passed_over.size() == 3);
    const auto why = [&](const char* code) { return std::ranges::find(got.passed_over, code, &PassedOver::lot)->why; };
    CHECK(why("HELD") == "held: damp sack");
    CHECK(why("COMING") == "comes on 2026-04-01");
    CHECK(why("SHARED") == "promised to other brews");
}

TEST_CASE("two lines of one recipe do not take the same sack") {
    std::vector lots{lot("A", 5, "2026-01-02")};
    const auto first = reserve(lots, "pale ale malt", kg(4), day("2026-03-01"));
    promise(lots, first.taken);
    const auto second = reserve(lots, "pale ale malt", kg(4), day("2026-03-01"));
    CHECK(second.taken == std::vector<TakenLot>{{"A", kg(1)}});
    CHECK(second.missing == kg(3));
}

TEST_CASE("another item's lots and lots in another measure do not serve") {
    std::vector lots{lot("A", 5, "2026-01-02"), lot("B", 5, "2026-01-02")};
    lots[0].lot.item = "wheat malt";
    lots[1].lot.received_amount = lots[1].on_hand = Amount::pieces(5);
    lots[1].promised = Amount::pieces(0);
    const auto got = reserve(lots, "pale ale malt", kg(4), day("2026-03-01"));
    CHECK(got.taken.empty());
    CHECK(got.missing == kg(4));
    REQUIRE(got.passed_over.size() == 1);
    CHECK(got.passed_over[0].why == "kept in another unit (5 pieces)");
}

TEST_CASE("overpromised lots give nothing, and never a negative amount") {
    std::vector lots{lot("A", 2, "2026-01-02")};
    lots[0].promised = kg(3);
    const auto got = reserve(lots, "pale ale malt", kg(1), day("2026-03-01"));
    CHECK(got.taken.empty());
    CHECK(got.missing == kg(1));
}

TEST_CASE("a lot that is named goes first, and gives no more than is said of it") {
    const std::vector lots{lot("OLD", 25, "2026-01-02", "2026-06-01"), lot("NEW", 25, "2026-02-01", "2027-06-01"),
                           lot("THIRD", 25, "2026-02-02", "2027-07-01")};
    const auto take = [&](const std::vector<Pin>& pins) {
        return reserve(lots, "pale ale malt", kg(5), day("2026-03-01"), pins).taken;
    };
    CHECK(take({{"NEW", {}}}) == std::vector<TakenLot>{{"NEW", kg(5)}});
    CHECK(take({{"NEW", kg(2)}}) == std::vector<TakenLot>{{"NEW", kg(2)}, {"OLD", kg(3)}});
    CHECK(take({{"THIRD", kg(1)}, {"NEW", kg(2)}}) ==
          std::vector<TakenLot>{{"THIRD", kg(1)}, {"NEW", kg(2)}, {"OLD", kg(2)}});
    CHECK(take({{"OLD", kg(0)}}) == std::vector<TakenLot>{{"NEW", kg(5)}}); // none of it
}

TEST_CASE("a lot that is named serves past its date, but not on hold and not before it comes") {
    std::vector lots{lot("PAST", 25, "2026-01-02", "2026-02-01"), lot("HELD", 25, "2026-01-02"),
                     lot("COMING", 25, "2026-04-01")};
    lots[1].lot.held = "damp sack";
    const auto got =
        reserve(lots, "pale ale malt", kg(5), day("2026-03-01"), {{"HELD", {}}, {"COMING", {}}, {"PAST", {}}});
    CHECK(got.taken == std::vector<TakenLot>{{"PAST", kg(5)}});
    CHECK(got.passed_over.size() == 2);
}

TEST_CASE("what one line takes of a named amount is gone for the next") {
    std::vector<Pin> pins{{"A", kg(3)}, {"B", {}}};
    use_up(pins, {{"A", kg(2)}, {"B", kg(4)}});
    CHECK(pins == std::vector<Pin>{{"A", kg(1)}, {"B", {}}});
}

TEST_CASE("what comes in the morning is there for the day's brew") {
    const auto got = reserve({lot("A", 25, "2026-03-01")}, "pale ale malt", kg(5), day("2026-03-01"));
    CHECK(got.taken == std::vector<TakenLot>{{"A", kg(5)}});
}
