// A purchase to be planned, and the plan: values alone. How they are dealt with: purchase.hpp.
#pragma once

#include <array>
#include <functional>
#include <lotwort/core/date.hpp>
#include <lotwort/plan/mip.hpp>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace lotwort::plan {

// What a unit of stock counts towards a need on a day: 1, unless hops age or a malt's extract differs from its card's.
// `arrived` is the day it came.
using Worth = std::function<double(Date arrived, Date day)>;

// An item that may serve a need in place of its own: a unit of it counts `factor` units.
struct Alternative {
    std::string item;
    double factor = 1.0;
};

// So much of an item, used on a day.
struct PurchaseNeed {
    std::string item;
    Date day;
    double amount = 0.0;
    double safety = 0.0;  // B1: stock of the item that must be left after the day
    std::string brew{};   // whose need it is; may be empty
    bool by_mass = false; // the recipe states a mass, and that is weighed: a unit counts 1, rich or poor
    std::vector<Alternative> alternatives{};
    int line = -1;                          // of the brew's recipe; -1: none
    std::optional<std::size_t> set_aside{}; // the supply that is kept for it: it is served by that, and by nothing else
};

// What is there or on its way: a lot, or a line of an open order.
struct PurchaseSupply {
    std::string name;
    std::string item;
    double amount = 0.0;
    Date from{};                // usable from this day on
    std::optional<Date> last{}; // and on this day for the last time (best before)
    Worth worth = nullptr;
    bool ordered = false;   // an open order, not yet in the house
    bool set_aside = false; // kept for the need that names it, or for a brew beyond the horizon
};

struct PurchaseStep {
    int packs = 1;      // from so many packs of one order on,
    double price = 0.0; // the price of each of them (B3)
};

// A pack that a supplier sells.
struct PurchaseOffer {
    std::string supplier;
    std::string item;
    double pack = 1.0;                 // units of the item in a pack
    std::vector<PurchaseStep> steps{}; // rising in packs, at least one
    int lead_days = 0;
    std::optional<int> shelf_life_days{}; // B6: serves uses before arrival + this
    std::optional<Date> valid_until{};    // last day to order
    std::optional<int> worth_days{};      // over which what is left at the end loses its value; none: it keeps it
    Worth worth = nullptr;
};

struct SupplierTerms {
    std::string name;
    double delivery = 0.0;                // B5: once per order day
    std::optional<double> free_from{};    // goods from which delivery is free
    double minimum_order = 0.0;           // B4: goods of an order, or no order
    std::array<bool, 7> closed{};         // by weekday from Sunday: neither order nor arrival
    std::map<Date, double> delivery_on{}; // instead of `delivery`, by order day
    bool delivery_known = true;           // false: nobody said, and orders within a week are put together
    int buffer_days = 0;                  // goods are counted on, and kept, from so many days after they arrive
};

// Money per unit and day for what is in stock at the day's end.
struct Holding {
    double per_day = 0.0;
    std::map<Date, double> on{}; // instead of per_day
    [[nodiscard]] double of(Date day) const {
        const auto found = on.find(day);
        return found == on.end() ? per_day : found->second;
    }
};

// A rule over what serves several needs together (a grist's colour, its enzymes): low <= sum of what each unit that
// serves a need counts <= high. `supply` is null for what is yet to be bought.
struct BlendRule {
    std::string name;
    std::vector<std::size_t> needs; // of PurchaseCase::needs
    std::function<double(std::size_t need, const std::string& item, const PurchaseSupply* supply)> per_unit;
    double low = -no_limit, high = no_limit;
};

struct PurchaseCase {
    Date today;
    Date until; // the horizon: the last day that counts
    std::vector<PurchaseNeed> needs;
    std::vector<PurchaseSupply> supplies;
    std::vector<PurchaseOffer> offers;
    std::vector<SupplierTerms> suppliers;   // one who is not listed delivers for nothing, on any day
    std::map<std::string, Holding> holding; // by item
    // The most of an item that counts for anything when it is left at the end: what will still be used of it before it
    // has aged. Items that are not listed count however much is left.
    std::map<std::string, double> most_left;
    std::vector<BlendRule> blends;
    std::optional<double> budget{};                           // the most that all orders may cost
    std::map<std::size_t, std::pair<int, int>> packs_between; // by offer: least and most packs over the horizon
};

struct PurchaseLine {
    std::size_t offer = 0; // of PurchaseCase::offers
    int packs = 0;
    double price = 0.0; // of one
    double cost = 0.0;
};

struct PurchaseOrderPlan {
    std::string supplier;
    Date order_by;
    Date arrives;
    std::vector<PurchaseLine> lines;
    double goods = 0.0;
    double delivery = 0.0;
    [[nodiscard]] double cost() const { return goods + delivery; }
};

// What cannot be had in time. Nothing of it is lost: where it can be had at all, it is bought for `earliest`.
struct PurchaseLate {
    std::string item;
    std::string brew;
    Date date;
    std::optional<Date> earliest{}; // none: nobody sells it, or the budget does not reach
    double amount_short = 0.0;
    bool for_money = false; // the budget is the reason
};

// A safety stock that is not kept: nothing of the item comes in time, or there is no money for it.
struct SafetyShort {
    std::string item;
    Date day;           // of the use after which most of it lacks
    double asked = 0.0; // the safety stock
    double lacks = 0.0; // of it
};

// So much of a supply or of an order's line serves a need.
struct PurchaseUse {
    std::size_t need = 0;
    std::optional<std::size_t> supply{};
    std::optional<std::size_t> order{}, line{};
    double amount = 0.0;
};

struct PurchasePlan {
    bool found = false;                    // no answer within the limits: false
    std::vector<PurchaseOrderPlan> orders; // by day to order by
    std::vector<PurchaseLate> late;
    std::vector<PurchaseUse> uses;
    double goods = 0.0, deliveries = 0.0, holding = 0.0, left_value = 0.0;
    double total_cost = 0.0;     // goods + deliveries + holding - left_value
    double put_together = 0.0;   // of it, that orders were put together: apart they would cost so much less
    double bound = 0.0;          // no plan costs less
    double gap = 0.0;            // (total_cost - bound) / max(1, |total_cost|)
    bool proven_optimal = false; // gap, but for put_together, <= 0.001, and looked_twice
    bool looked_twice = false;   // the bound is our own, or a second search in another way found nothing below it
    bool below_safety = false;   // before anything can come, or for want of money, the safety stock is not kept
    std::vector<SafetyShort> safety_short; // of which item, an entry each
    int nodes = 0;
    double seconds = 0.0; // that the search took, by the wall clock
    [[nodiscard]] double spent() const { return goods + deliveries; }
};

} // namespace lotwort::plan
