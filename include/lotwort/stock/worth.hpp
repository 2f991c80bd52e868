// What a lot's stock is worth, and what each movement takes of it.
//
// A sack that cost 10.00 is used in three equal parts, and they cost 3.33, 3.34 and 3.33. Each takes what the sack is
// worth before it less what it is worth after. So all of them come to the price exactly, and what empties the sack
// takes the rest. A brewery's purchases are then what went into brews, what was lost, found and given back, and what
// is in store, to the last hundredth.
//
//     worth = price * left / received, to the nearest hundredth
//     what a movement changes = worth after - worth before, in turn of days, and of one day as booked
//
// A surplus that a count finds is worth what the rest of the lot is. What was taken back, and what took it back, is
// left out. A lot made of others cost what they lost by it: sharing out and putting together makes no money and loses
// none.
#pragma once

#include <functional>
#include <lotwort/stock/lot.hpp>
#include <lotwort/stock/movement.hpp>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

// What is left of a lot's price: price * left / received, to the nearest hundredth, halves away from nothing.
[[nodiscard]] Money value_at_cost(Money price, Amount left, Amount received);

// Movements that neither were taken back nor take one back, in their order.
[[nodiscard]] std::vector<Movement> standing(const std::vector<Movement>& movements);

// The lot that a movement of kind move went into; empty of all others.
[[nodiscard]] std::string_view moved_into(const Movement& movement);

class LotValues {
public:
    using ReadLot = std::function<std::optional<Lot>(const std::string& code)>;
    using ReadMovements = std::function<std::vector<Movement>(const std::string& code)>; // by day, then as booked

    // They are asked once for each lot.
    LotValues(ReadLot read_lot, ReadMovements read_movements);

    // A standing movement, and what it changed of the lot's worth; none where the lot has no price.
    struct Step {
        Movement movement;
        std::optional<Money> change;
    };
    // The receipt is the first, and changes it by the price.
    [[nodiscard]] const std::vector<Step>& steps(const Lot& lot);

    // Of all that came. Of a lot made of others what they lost by it, where all of these have a price; else its own.
    [[nodiscard]] std::optional<Money> price(const Lot& lot);

    // Of what is left.
    [[nodiscard]] std::optional<Money> left(const Lot& lot, Amount on_hand);

    // What so much more (or less, where it is negative) changes of a lot of which so much is there.
    [[nodiscard]] std::optional<Money> change(const Lot& lot, Amount there, Amount by);

private:
    [[nodiscard]] std::optional<Money> moved_into_it(const Lot& lot);

    ReadLot read_lot_;
    ReadMovements read_movements_;
    std::map<std::string, std::optional<Money>, std::less<>> prices_; // of lots made of others
    std::map<std::string, std::vector<Step>, std::less<>> steps_;
};

} // namespace lotwort
