#include "../../src/verbs/receive/lot_code.hpp"
#include "../../src/verbs/stock/lot_day.hpp"
#include <doctest/doctest.h>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/desk/stock_list.hpp>

using namespace lotwort;
using namespace lotwort::verbs;

namespace {

const Date today = *parse_iso_date("2026-03-10");

StockRow row(const std::string& item, const std::string& lot, double kg) {
    StockRow r;
    r.item = item;
    r.lot = lot;
    r.on_hand = Amount::of(Kilograms(kg));
    r.promised = Amount::of(Kilograms(0.0));
    r.received_amount = Amount::of(Kilograms(25.0));
    return r;
}

} // namespace

TEST_CASE("an item's lots add up; what is promised or held is not free") {
    auto a = row("pale ale malt", "PAM-1", 20.0);
    a.promised = Amount::of(Kilograms(5.0));
    a.price = Money{3250};
    a.best_before = *parse_iso_date("2027-03-01");
    auto b = row("pale ale malt", "PAM-2", 25.0);
    b.held = "weevils";
    b.best_before = *parse_iso_date("2026-12-01");
    const auto list = stock_list({a, b}, {}, today, "EUR");
    REQUIRE(list.lines.size() == 1);
    const auto& line = list.lines.front();
    CHECK(line.lots == 2);
    CHECK(line.on_hand == Amount::of(Kilograms(45.0)));
    CHECK(line.promised == Amount::of(Kilograms(5.0)));
    CHECK(line.free == Amount::of(Kilograms(15.0)));
    CHECK(to_iso(*line.best_before) == "2026-12-01");
    CHECK(*line.value == Money{2600}); // 32.50 * 20/25
    CHECK(list.value == Money{2600});
    CHECK(list.lots_without_price == 1);
}

TEST_CASE(
    "lots of one item stand in the order they expire, those without a date last, empty ones only when asked for") {
    auto late = row("malt", "A", 1.0);
    late.best_before = *parse_iso_date("2027-01-01");
    auto soon = row("malt", "B", 1.0);
    soon.best_before = *parse_iso_date("2026-06-01");
    const auto never = row("malt", "C", 1.0);
    const auto empty = row("malt", "D", 0.0);
    const auto codes = [&](StockChoice choice) {
        choice.by_lot = true;
        std::string text;
        for (const auto& line : stock_list({never, late, empty, soon}, choice, today, "EUR").lines) text += line.lot;
        return text;
    };
    CHECK(codes({}) == "BAC");
    CHECK(codes({true, true, std::nullopt}) == "BACD");
    CHECK(codes({true, true, "hop"}).empty());
}

TEST_CASE("yeast kept in pieces does not add to yeast kept by mass") {
    auto pieces = row("ale yeast", "AY-1", 0.0);
    pieces.kind = ItemKind::yeast;
    pieces.on_hand = pieces.promised = pieces.received_amount = Amount::pieces(3);
    pieces.promised = Amount::pieces(0);
    auto mass = row("ale yeast", "AY-2", 0.5);
    mass.kind = ItemKind::yeast;
    CHECK(stock_list({pieces, mass}, {}, today, "EUR").lines.size() == 2);
}

namespace {
std::string next_code(std::string_view item, const std::vector<std::string>& taken) {
    LotCodes codes;
    for (const std::string& code : taken) codes.take(code, item);
    return codes.next(item);
}
} // namespace

TEST_CASE("a lot nobody names gets initials and the next number") {
    CHECK(next_code("pale ale malt", {}) == "PAM-1");
    CHECK(next_code("pale ale malt", {"PAM-1", "PAM-9", "PAM-x", "PAMX-12", "OTHER-40"}) == "PAM-10");
    CHECK(next_code("Munich malt", {}) == "MM-1");
    CHECK(next_code("sucrose", {}) == "SUC-1");
    CHECK(next_code("crème malt", {}) == "CM-1"); // the accent does not begin a word
    CHECK(next_code("麦芽", {}) == "LOT-1");
    CHECK(next_code("PAM", {"PAM-99999999999999999999"}) == "PAM-1");
    CHECK(next_code("one two three four five", {}) == "OTTF-1");
}

TEST_CASE("items of like initials are told apart by their lots' codes") {
    LotCodes codes;
    for (const char* item :
         {"caramel malt", "crystal malt", "chocolate malt", "caramel malt", "crystal malt", "rye", "ryegrass"})
        codes.take(codes.next(item), item);
    CHECK(codes.next("caramel malt") == "CM-3");
    CHECK(codes.next("crystal malt") == "CRM-3");
    CHECK(codes.next("chocolate malt") == "CHM-2");
    CHECK(codes.next("ryegrass") == "RYEG-2");
    CHECK(codes.next("rye") == "RYE-2");
    codes.take("CM-7", "wheat"); // named so by hand: neither's any longer
    CHECK(codes.next("caramel malt") == "CAM-1");
}

TEST_CASE("stock on a day of the past leaves out what came later") {
    Movement first;
    first.on = *parse_iso_date("2026-03-01");
    first.change = Amount::of(Kilograms(25.0));
    Movement second = first;
    second.on = *parse_iso_date("2026-03-05");
    second.change = Amount::of(Kilograms(-5.0));
    CHECK(on_hand_at({first, second}, Measure::mass, *parse_iso_date("2026-02-28")) == Amount::of(Kilograms(0.0)));
    CHECK(on_hand_at({first, second}, Measure::mass, *parse_iso_date("2026-03-04")) == Amount::of(Kilograms(25.0)));
    CHECK(on_hand_at({first, second}, Measure::mass, *parse_iso_date("2026-03-05")) == Amount::of(Kilograms(20.0)));
}
