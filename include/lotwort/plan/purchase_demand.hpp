// What the planned brews will use of what, day by day, with the safety stock that their uncertainty asks for. Beside
// it, what is there for it: together a case for purchase.hpp.
//
// A brew of the 20th wants 40 kg of pale malt. It wants extract, in truth: a sack that yields more goes further. It
// may also want 42 kg, for the mash does not always give what the forecast says. How much more it may want is the
// forecast's own uncertainty. The safety stock covers that, and not a per cent of everything.
#pragma once

#include <lotwort/plan/needs.hpp>
#include <lotwort/plan/purchase_case.hpp>
#include <lotwort/stock/order_rest.hpp>

namespace lotwort::plan {

// The z with which a normal demand is met at that probability: service 0.95 gives 1.645. 0.5 to 0.9999; below, 0.
// The newsvendor's order is mean + sd * z at service p / (p + h).
[[nodiscard]] double service_factor(double service);

// How an open plan stands: what it has reserved and will find on its day, and what it lacks beside, line by line of its
// recipe. A plan that has reserved nothing lacks all it needs.
struct KeptPlan {
    struct Lack {
        int line = 0;
        std::string item;
        Amount missing;
    };
    std::vector<Reservation> reserved;
    std::vector<Lack> lacking;
};

// What brews are taken to use beyond those that are planned: nobody orders for it, but a sack that is left over is used
// up by it.
struct LaterUse {
    Date from, until;                   // the days after the plans
    std::map<std::string, double> used; // by item, over these days, in its unit
    std::string how;                    // that it is known: "as in the same days a year before"
    [[nodiscard]] double a_day(const std::string& item) const {
        const auto found = used.find(item);
        const auto days = static_cast<double>((until - from).count() + 1);
        return found == used.end() || days <= 0.0 ? 0.0 : found->second / days;
    }
};

struct PurchaseWish {
    Date today;
    std::vector<BrewToFill> brews;        // the open plans
    std::map<std::string, KeptPlan> kept; // by brew; one that is not listed has reserved nothing and needs nominal_brew
    std::vector<Item> items;
    std::vector<LotState> lots; // promised: what plans have reserved, these and others
    std::vector<Order> orders;
    std::vector<Supplier> suppliers;
    std::vector<Offer> offers;
    double service = 0.95;
    double holding_pct_per_year = 0.0; // of the price of what is in stock
    int buffer_days = 0;               // so many days before its use it comes, where its supplier states none
    std::optional<int> horizon_days;   // brews later than that are left out; none: all brews
    std::optional<double> budget;
    bool allow_substitutes = false; // other malts and hops may serve, by the rules of substitution S4 to S9
    std::optional<LaterUse> later;  // none: nothing is known of it, and the plans' own pace is taken
};

// Where the amounts of a case come from.
struct DrawnPurchase {
    PurchaseCase wanted;
    std::vector<std::size_t> offers;                  // of the wish, by offer of the case
    std::vector<std::size_t> orders;                  // of the wish, by supply of the case (no_order: a lot)
    std::map<std::string, Measure> measure;           // by item
    std::vector<std::string> says;                    // what was assumed or left out, in sentences
    std::vector<std::pair<std::string, Date>> beyond; // brews later than the horizon, by date
    // So much of an item, in whole milligrams, microlitres or pieces.
    [[nodiscard]] Amount amount_of(const std::string& item, double units) const;
    static constexpr std::size_t no_order = static_cast<std::size_t>(-1);
};

// A plan is served first by what it has reserved, and that serves nothing else. What it lacks beside (of a brew
// without a plan: what nominal_brew asks for) is met from free stock, open orders and offers. Malts count by extract
// at the learned efficiency, hops by the alpha that is left on the day. What is bought ages from its arrival as hops
// do in a cool room. Of an item that is there for all its uses, safety stock included, nothing is bought.
//
// Safety is z times the standard deviation of what is used within lead time plus the longest wait for an order day,
// up to each use. A brew's malts vary with the forecast's gravity, its boiled hops with the alpha of lots against
// their card. Error(refused) as nominal_brew.
[[nodiscard]] DrawnPurchase draw_purchase(const PurchaseWish& wish);

// The days an item keeps its worth where nobody states a shelf life: a year, hops two, yeast a hundred and twenty days.
[[nodiscard]] int usual_worth_days(ItemKind kind);

} // namespace lotwort::plan
