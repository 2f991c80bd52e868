// A period's account of stock adds up, whatever moved.
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/stock/statement.hpp>
#include <random>

using namespace lotwort;

namespace {

Date day(int n) {
    return *parse_iso_date("2026-01-01") + std::chrono::days(n);
}

Movement moved(const std::string& lot, int on, MovementKind kind, std::int64_t mg) {
    Movement movement;
    movement.on = day(on);
    movement.lot = lot;
    movement.kind = kind;
    movement.change = {Measure::mass, mg};
    return movement;
}

// Lots with what moved of them; the receipt is the first movement of each.
struct Store {
    std::vector<Lot> lots;
    std::map<std::string, std::vector<Movement>> movements;

    void receive(const std::string& code, const std::string& item, int on, std::int64_t mg,
                 std::optional<Money> price) {
        Lot lot;
        lot.code = code;
        lot.item = item;
        lot.received = day(on);
        lot.received_amount = {Measure::mass, mg};
        lot.price = price;
        lots.push_back(lot);
        movements[code].push_back(moved(code, on, MovementKind::receipt, mg));
    }
    LotValues values() {
        return {[this](const std::string& code) {
                    const auto found = std::ranges::find(lots, code, &Lot::code);
                    return found == lots.end() ? std::optional<Lot>() : *found;
                },
                [this](const std::string& code) { return movements[code]; }};
    }
    StockBooks books(int from, int to) {
        LotValues worth = values();
        return stock_books(
            lots, worth, [](const std::string& name) { return name == "hop" ? ItemKind::hop : ItemKind::malt; },
            day(from), day(to));
    }
};

Worth sum_of(const StockAccount& account) {
    Worth sum = account.opening;
    for (const Worth& flow : account.flows) sum += flow;
    return sum;
}

} // namespace

TEST_CASE("a sack used in thirds leaves no cent in a month's books") {
    Store store;
    store.receive("A", "malt", 0, 30'000'000, Money{1000});
    for (const int on : {10, 20, 40}) store.movements["A"].push_back(moved("A", on, MovementKind::brew, -10'000'000));
    const auto first = store.books(0, 30).items.at(0);
    CHECK(first.of(Flow::received).value.minor == 1000);
    CHECK(first.of(Flow::used).value.minor == -667);
    CHECK(first.closing.value.minor == 333);
    const auto second = store.books(31, 60).items.at(0);
    CHECK(second.opening == first.closing);
    CHECK(second.of(Flow::used).value.minor == -333);
    CHECK(second.closing == Worth{{Measure::mass, 0}, Money{0}});
    CHECK(store.books(41, 60).items.empty()); // nothing was there, came or went
}

TEST_CASE("what a count finds short is lost, and what a brew gave back is less used") {
    Store store;
    store.receive("A", "malt", 0, 25'000'000, Money{2500});
    auto& moves = store.movements["A"];
    moves.push_back(moved("A", 1, MovementKind::brew, -10'000'000));
    moves.push_back(moved("A", 2, MovementKind::unused, 4'000'000));
    moves.push_back(moved("A", 3, MovementKind::count, -500'000));
    moves.push_back(moved("A", 4, MovementKind::count, 200'000));
    moves.push_back(moved("A", 5, MovementKind::discard, -1'000'000));
    moves.push_back(moved("A", 6, MovementKind::return_to_supplier, -2'000'000));
    const auto account = store.books(0, 9).items.at(0);
    CHECK(account.of(Flow::used).amount.units == -6'000'000);
    CHECK(account.of(Flow::lost).amount.units == -1'500'000);
    CHECK(account.of(Flow::found).amount.units == 200'000);
    CHECK(account.of(Flow::returned).value.minor == -200);
}

TEST_CASE("opening and movements make the closing, in every period that a year is cut into") {
    std::mt19937 random(7);
    const auto upto = [&](int n) { return std::uniform_int_distribution<int>(0, n)(random); };
    for (int trial = 0; trial < 200; ++trial) {
        Store store;
        for (int i = 0; i < 6; ++i) {
            const std::string code = std::string(1, static_cast<char>('A' + i));
            const std::int64_t came = 1 + upto(50'000'000);
            const int on = upto(300);
            store.receive(code, i % 3 == 0 ? "hop" : "malt", on, came,
                          upto(5) == 0 ? std::nullopt : std::optional(Money{upto(99'999)}));
            std::int64_t left = came;
            for (int at = on; at < 365 && left > 0; at += upto(40)) {
                constexpr MovementKind kinds[] = {MovementKind::brew, MovementKind::discard, MovementKind::count,
                                                  MovementKind::return_to_supplier};
                const MovementKind kind = kinds[upto(3)];
                const std::int64_t by = kind == MovementKind::count && upto(1) == 1
                                            ? upto(1000)
                                            : -std::min<std::int64_t>(left, upto(20'000'000));
                left += by;
                store.movements[code].push_back(moved(code, at, kind, by));
            }
        }
        std::map<std::string, Worth> last;
        for (int from = 0; from < 365;) {
            const int to = std::min(364, from + upto(60));
            const StockBooks books = store.books(from, to);
            for (const StockAccount& item : books.items) {
                CHECK(sum_of(item) == item.closing);
                if (last.contains(item.item)) CHECK(item.opening == last.at(item.item));
                last[item.item] = item.closing;
            }
            for (const StockAccount& kind : by_kind(books.items)) CHECK(sum_of(kind) == kind.closing);
            from = to + 1;
        }
    }
}
