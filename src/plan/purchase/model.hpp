// The purchase plan as rows and columns.
#pragma once

#include <lotwort/plan/purchase_case.hpp>

namespace lotwort::plan {

// Something that serves needs: a supply, or an offer bought on an order day.
struct PurchaseSource {
    std::optional<std::size_t> supply{};
    std::size_t offer = 0, group = 0; // of a purchase
    std::string item{};
    Date from{};                                     // first day of use
    std::optional<Date> spoilt{};                    // first day of no use
    double value_share = 0.0;                        // of its price, at the horizon
    double amount = 0.0;                             // of a supply
    bool set_aside = false;                          // a supply that serves the need that names it alone
    std::vector<int> packs{};                        // columns: whole packs, by price step
    std::vector<std::pair<std::size_t, int>> uses{}; // need and column
};

// One supplier's orders of one day.
struct PurchaseGroup {
    std::string supplier;
    Date order_day;
    double delivery = 0.0;
    int open = -1, free = -1; // columns; none where nothing depends on there being an order
    std::vector<std::size_t> sources{};
};

struct PurchaseModel {
    Mip mip;
    std::vector<PurchaseSource> sources;
    std::vector<PurchaseGroup> groups;
    std::vector<int> missing; // by need; none where needs must be met
    std::vector<int> below;   // by need: safety stock that is not kept
    double constant = 0.0;    // money no choice alters
};

// Offers (by number) and the days on which they are ordered.
using OrderDays = std::set<std::pair<std::size_t, Date>>;

// What there is, and what may be bought when; its columns come later. only: no other order days than these.
void add_purchase_sources(const PurchaseCase& wanted, PurchaseModel& model, const OrderDays* only);

// Does it cost anything that there is an order at all?
[[nodiscard]] bool needs_opening(const PurchaseCase& wanted, const PurchaseGroup& group);

// Is it the need's own item, or may it stand in?
[[nodiscard]] bool serves_item(const PurchaseNeed& need, const std::string& item);

[[nodiscard]] bool serves(const PurchaseSource& source, const PurchaseNeed& need);

// Is it on the shelf after the need's day, for the safety stock?
[[nodiscard]] bool is_there_after(const PurchaseSource& source, const PurchaseNeed& need);

// The most packs of the source that any plan would buy at once.
[[nodiscard]] int most_packs(const PurchaseCase& wanted, const PurchaseSource& source);

// lenient: needs and safety stocks may go unmet at the price of `missing` and `below` alone (money counts nothing):
// what can be had at all?
[[nodiscard]] PurchaseModel purchase_model(const PurchaseCase& wanted, bool lenient, const OrderDays* only = nullptr);

// What a unit of the source counts towards the need.
[[nodiscard]] double counts(const PurchaseCase& wanted, const PurchaseSource& source, const PurchaseNeed& need);

} // namespace lotwort::plan
