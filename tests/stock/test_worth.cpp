// What lots are worth and what movements take of it: by hand, and on random stores where nothing may be made or lost.
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/stock/worth.hpp>
#include <random>

using namespace lotwort;

namespace {

Amount kg(double mass) {
    return Amount::of(Kilograms(mass));
}

Date day(int number) {
    return *parse_iso_date("2026-03-01") + std::chrono::days(number);
}

// A store in memory: lots, and their movements by day and then as booked.
struct Store {
    std::map<std::string, Lot> lots;
    std::map<std::string, std::vector<Movement>> movements;
    int ids = 0;

    LotValues values() const {
        return {[this](const std::string& code) { return std::optional(lots.at(code)); },
                [this](const std::string& code) { return movements.at(code); }};
    }

    Movement& book(const std::string& lot, MovementKind kind, Amount change, Date on) {
        Movement made;
        made.id = fmt::format("m{}", ++ids);
        made.lot = lot;
        made.kind = kind;
        made.change = change;
        made.on = on;
        auto& list = movements[lot];
        return *list.insert(std::ranges::upper_bound(list, on, {}, &Movement::on), made);
    }

    void receive(const std::string& code, Amount amount, std::optional<Money> price, Date on,
                 std::vector<Portion> made_from = {}) {
        Lot& lot = lots[code];
        lot.code = code;
        lot.received = on;
        lot.received_amount = amount;
        lot.price = price;
        lot.made_from = std::move(made_from);
        book(code, MovementKind::receipt, amount, on);
        for (const Portion& source : lot.made_from)
            book(source.lot, MovementKind::move, -source.amount, on).reason = "into " + code;
    }

    Amount on_hand(const std::string& code) const {
        Amount sum{Measure::mass, 0};
        for (const Movement& movement : movements.at(code)) sum = sum + movement.change;
        return sum;
    }
};

std::vector<std::int64_t> changes(const Store& store, const std::string& lot) {
    std::vector<std::int64_t> all;
    LotValues values = store.values();
    for (const auto& step : values.steps(store.lots.at(lot))) all.push_back(step.change.value().minor);
    return all;
}

} // namespace

TEST_CASE("what is left of a lot is worth its share of the price") {
    const Amount received = kg(25.0);
    CHECK(value_at_cost({3250}, received, received) == Money{3250});
    CHECK(value_at_cost({3250}, kg(24.2), received) == Money{3146});      // 31.46 exactly
    CHECK(value_at_cost({1000}, kg(25.0 / 3.0), received) == Money{333}); // 3.333...
    CHECK(value_at_cost({1000}, kg(0.0), received) == Money{0});
    CHECK(value_at_cost({1}, kg(12.5), received) == Money{1}); // a half goes away from nothing
    CHECK(value_at_cost({1}, -kg(12.5), received) == Money{-1});
    // a million kilograms at the largest price: no overflow on the way
    const Amount most = kg(1e6);
    CHECK(value_at_cost({100'000'000'000}, most, most) == Money{100'000'000'000});
}

TEST_CASE("three equal parts of a sack for 10.00 come to 10.00") {
    Store store;
    store.receive("A", kg(3), Money{1000}, day(0));
    for (int i = 1; i <= 3; ++i) store.book("A", MovementKind::brew, -kg(1), day(i));
    CHECK(changes(store, "A") == std::vector<std::int64_t>{1000, -333, -334, -333});
}

TEST_CASE("a surplus is worth what the rest is, and what was taken back changes nothing") {
    Store store;
    store.receive("A", kg(10), Money{2000}, day(0));
    store.book("A", MovementKind::count, kg(0.5), day(1));
    const std::string wrong = *store.book("A", MovementKind::discard, -kg(4), day(2)).id;
    store.book("A", MovementKind::reversal, kg(4), day(2)).reverses = wrong;
    store.book("A", MovementKind::brew, -kg(10.5), day(3));
    CHECK(changes(store, "A") == std::vector<std::int64_t>{2000, 100, -2100});
}

TEST_CASE("a lot made of others cost what they lost by it") {
    Store store;
    store.receive("A", kg(3), Money{1000}, day(0));
    store.receive("B", kg(7), Money{500}, day(0));
    store.receive("C", kg(1), std::nullopt, day(1), {{"A", kg(1)}});
    store.receive("D", kg(9), std::nullopt, day(2), {{"A", kg(2)}, {"B", kg(7)}});
    LotValues values = store.values();
    CHECK(values.price(store.lots.at("C")) == Money{333});
    CHECK(values.price(store.lots.at("D")) == Money{1167});
    CHECK(values.left(store.lots.at("A"), kg(0)) == Money{0});
    // a use that is booked late takes its turn, and the lots made since have the rest
    store.lots.at("B").price = std::nullopt;
    LotValues again = store.values();
    CHECK(again.price(store.lots.at("D")) == std::nullopt); // nobody knows what B cost
}

TEST_CASE("purchases are what was used, lost, found, given back and is in store, to the last hundredth") {
    std::mt19937_64 random(20260301);
    const auto upto = [&](std::int64_t n) { return std::uniform_int_distribution<std::int64_t>(0, n)(random); };
    for (int trial = 0; trial < 400; ++trial) {
        Store store;
        std::int64_t bought = 0;
        std::vector<std::string> codes;
        const auto any_lot = [&] { return codes[static_cast<std::size_t>(upto(std::ssize(codes) - 1))]; };
        for (int step = 0; step < 40; ++step) {
            const Date on = day(step / 2);
            const auto kind = codes.empty() ? 0 : upto(9);
            const std::string code = fmt::format("L{}", codes.size());
            if (kind <= 1) {
                const Money price{upto(3000)};
                bought += price.minor;
                store.receive(code, {Measure::mass, 1 + upto(40)}, price, on);
                codes.push_back(code);
                continue;
            }
            const std::string of = any_lot();
            const std::int64_t there = store.on_hand(of).units;
            if (kind == 2) {
                store.book(of, MovementKind::count, {Measure::mass, upto(5)}, on);
            } else if (kind == 3 &&
                       store.movements[of].size() > 1) { // taken back, whatever it was but a receipt or move
                const Movement back =
                    store.movements[of][static_cast<std::size_t>(1 + upto(std::ssize(store.movements[of]) - 2))];
                const bool stands = std::ranges::any_of(standing(store.movements[of]),
                                                        [&](const Movement& m) { return m.id == back.id; });
                if (!stands || back.kind == MovementKind::move || back.kind == MovementKind::receipt) continue;
                if (there < back.change.units) continue;
                store.book(of, MovementKind::reversal, -back.change, back.on).reverses = back.id;
            } else if (there == 0) {
                continue;
            } else if (kind == 4) {
                store.receive(code, {Measure::mass, there}, std::nullopt, on, {{of, {Measure::mass, there}}});
                codes.push_back(code);
            } else if (kind == 5) {
                const std::string other = any_lot();
                const std::int64_t more = store.on_hand(other).units, part = 1 + upto(there - 1);
                if (other == of || more == 0) continue;
                store.receive(code, {Measure::mass, part + more}, std::nullopt, on,
                              {{of, {Measure::mass, part}}, {other, {Measure::mass, more}}});
                codes.push_back(code);
            } else { // some of it late
                const auto out = kind == 6   ? MovementKind::discard
                                 : kind == 7 ? MovementKind::return_to_supplier
                                             : MovementKind::brew;
                const Date late = std::max(store.lots.at(of).received, on - std::chrono::days(upto(3)));
                store.book(of, out, {Measure::mass, -1 - upto(there - 1)}, late);
            }
        }
        LotValues values = store.values();
        std::int64_t gone = 0, in_store = 0;
        for (const std::string& code : codes) {
            const Lot& lot = store.lots.at(code);
            const auto left = values.left(lot, store.on_hand(code));
            REQUIRE(left);
            in_store += left->minor;
            if (store.on_hand(code).units == 0) CHECK(left->minor == 0);
            const auto price = static_cast<double>(values.price(lot)->minor);
            for (const auto& step : values.steps(lot)) {
                const auto share = price * static_cast<double>(step.movement.change.units) /
                                   static_cast<double>(lot.received_amount.units);
                CHECK(std::abs(static_cast<double>(step.change->minor) - share) <= 1.0); // never a hundredth off
                if (step.movement.kind != MovementKind::receipt && step.movement.kind != MovementKind::move)
                    gone -= step.change->minor;
            }
        }
        CHECK(bought == gone + in_store);
    }
}
