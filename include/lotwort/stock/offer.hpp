// What suppliers sell, and what has been ordered of them.
#pragma once

#include <array>
#include <lotwort/core/amount.hpp>
#include <lotwort/core/date.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>
#include <lotwort/stock/lot.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

struct Supplier {
    std::string name;
    std::optional<Money> delivery;
    std::optional<Money> free_delivery_from;
    std::optional<Money> minimum_order;
    std::optional<int> lead_days;
    std::vector<std::string> closed_weekdays;      // monday, tuesday, ...
    std::optional<int> buffer_days = std::nullopt; // that its goods are to come before their use
    friend bool operator==(const Supplier&, const Supplier&) = default;
};

template <>
struct FieldsOf<Supplier> {
    static constexpr auto list = Fields{
        field("name", &Supplier::name),
        field("delivery", &Supplier::delivery, {0.0, 1e9}),
        field("free_delivery_from", &Supplier::free_delivery_from, {0.0, 1e9}),
        field("minimum_order", &Supplier::minimum_order, {0.0, 1e9}),
        field("lead_days", &Supplier::lead_days, {0.0, 3650.0}),
        field("closed_weekdays", &Supplier::closed_weekdays),
        field("buffer_days", &Supplier::buffer_days, {0.0, 365.0}),
    };
};

// The price of one pack once at least `packs` are bought, for all of them.
struct PriceStep {
    int packs = 1;
    Money price;
    friend bool operator==(const PriceStep&, const PriceStep&) = default;
};

template <>
struct FieldsOf<PriceStep> {
    static constexpr auto list =
        Fields{field("packs", &PriceStep::packs, {1.0, 1e6}), field("price", &PriceStep::price, {0.0, 1e9})};
};

struct Offer {
    std::string supplier;
    std::string item;
    std::optional<Kilograms> pack; // one of the three says what a pack holds
    std::optional<Litres> pack_volume;
    std::optional<int> pack_count;
    std::vector<PriceStep> price_steps;
    std::optional<Money> delivery; // as the supplier's; both may state it and must agree
    std::optional<Money> minimum_order;
    std::optional<int> lead_days;
    std::optional<int> shelf_life_days;
    std::optional<Date> valid_until;
    friend bool operator==(const Offer&, const Offer&) = default;
};

template <>
struct FieldsOf<Offer> {
    static constexpr auto list = Fields{
        field("supplier", &Offer::supplier),
        field("item", &Offer::item),
        field("pack_kg", &Offer::pack, {0.0, 1e5}),
        field("pack_l", &Offer::pack_volume, {0.0, 1e5}),
        field("pack_count", &Offer::pack_count, {1.0, 1e6}),
        field("price_steps", &Offer::price_steps),
        field("delivery", &Offer::delivery, {0.0, 1e9}),
        field("minimum_order", &Offer::minimum_order, {0.0, 1e9}),
        field("lead_days", &Offer::lead_days, {0.0, 3650.0}),
        field("shelf_life_days", &Offer::shelf_life_days, {1.0, 36500.0}),
        field("valid_until", &Offer::valid_until),
    };
};

struct OrderLine {
    std::string item;
    std::optional<Kilograms> pack; // one of the three says what a pack holds, where it was stated
    std::optional<Litres> pack_volume;
    std::optional<int> pack_count;
    int packs = 1;
    Money cost;
    friend bool operator==(const OrderLine&, const OrderLine&) = default;
};

template <>
struct FieldsOf<OrderLine> {
    static constexpr auto list = Fields{
        field("item", &OrderLine::item),
        field("pack_kg", &OrderLine::pack, {0.0, 1e5}),
        field("pack_l", &OrderLine::pack_volume, {0.0, 1e5}),
        field("pack_count", &OrderLine::pack_count, {1.0, 1e6}),
        field("packs", &OrderLine::packs, {1.0, 1e6}),
        field("cost", &OrderLine::cost, {0.0, 1e9}),
    };
};

// What a pack holds; none where nobody stated it.
[[nodiscard]] std::optional<Amount> pack_of(const Offer& offer);
[[nodiscard]] std::optional<Amount> pack_of(const OrderLine& line);

// By what freight and discount of an order are shared over its lines.
enum class SharedBy { value, mass };

template <>
struct WordsOf<SharedBy> {
    static constexpr std::array<std::string_view, 2> list{"value", "mass"};
};

struct Order {
    std::string code;
    std::string supplier;
    Date ordered;
    std::optional<Date> arrives;
    std::vector<OrderLine> lines;
    std::vector<std::string> received;           // codes of the lots that came of it
    std::optional<std::string> closed;           // why nothing more will come; none: what has not come is still awaited
    std::optional<Money> freight = std::nullopt; // of all lines, beside their cost
    std::optional<Money> discount = std::nullopt;     // off their cost
    std::optional<SharedBy> shared_by = std::nullopt; // value unless stated
    // billed when lots had come: in no lot's price, and borne by the brews that use them
    std::optional<Money> freight_after = std::nullopt;
    friend bool operator==(const Order&, const Order&) = default;
};

template <>
struct FieldsOf<Order> {
    static constexpr auto list = Fields{
        field("code", &Order::code),
        field("supplier", &Order::supplier),
        field("ordered", &Order::ordered),
        field("arrives", &Order::arrives),
        field("lines", &Order::lines),
        field("received", &Order::received),
        field("closed", &Order::closed),
        field("freight", &Order::freight, {0.0, 1e9}),
        field("discount", &Order::discount, {0.0, 1e9}),
        field("shared_by", &Order::shared_by),
        field("freight_after", &Order::freight_after, {0.0, 1e9}),
    };
};

} // namespace lotwort
