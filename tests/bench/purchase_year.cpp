// A simulated year of two hundred breweries: what each brew takes is not what its forecast says. Bought by the plan,
// drawn up anew every two weeks, against the habit of ordering each brew's recipe rounded up to packs.
#include "plan/brewery.hpp"
#include "plan/chance.hpp"
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/plan/purchase_demand.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

constexpr int weeks = 52, plan_ahead_days = 35, replan_days = 14;
constexpr double express = 1.5; // what lacks on the brew day costs so many times its price

class Fate : public Chance {
public:
    using Chance::Chance;
    double normal() { // Box and Muller
        const double u = (double(engine_()) + 1.0) / 4294967297.0, v = (double(engine_()) + 1.0) / 4294967297.0;
        return std::sqrt(-2.0 * std::log(u)) * std::cos(6.283185307179586 * v);
    }
};

struct House {
    std::vector<Item> items;
    std::vector<Supplier> suppliers;
    std::vector<Offer> offers;
    std::vector<BrewToFill> brews;
};

Offer offer(const char* supplier, const char* item, double pack, double price, double more_from, double then) {
    Offer made;
    made.supplier = supplier;
    made.item = item;
    made.pack = Kilograms(pack);
    made.price_steps = {{1, Money{std::llround(100.0 * price)}}};
    if (more_from > 0.0) made.price_steps.push_back({int(more_from), Money{std::llround(100.0 * then)}});
    return made;
}

HopLine hops(const char* item, double ibu, double grams) {
    HopLine line;
    line.item = item;
    if (ibu > 0.0) {
        line.minutes = Minutes(60.0);
        line.bitterness = BitternessUnits(ibu);
    } else {
        line.stage = Stage::dry;
        line.days = 4;
        line.mass = Grams(grams);
    }
    return line;
}

House house(unsigned seed) {
    Chance chance(seed);
    House made;
    made.items = {malt("pale", "base", 81.5, 4.0, 6.0, 160.0), malt("munich", "high-kilned", 80.0, 4.5, 16.0, 80.0),
                  malt("crystal", "caramel", 75.0, 5.0, 120.0, 0.0), hop("bitter", 11.0, "resin"),
                  hop("floral", 5.0, "floral")};
    Supplier maltings, merchant;
    maltings.name = "maltings";
    maltings.delivery = Money{100 * chance.draw(20, 45)};
    maltings.lead_days = chance.draw(2, 5);
    maltings.closed_weekdays = {"saturday", "sunday"};
    if (chance.draw(0, 1) == 1) maltings.free_delivery_from = Money{100 * chance.draw(300, 700)};
    merchant.name = "merchant";
    merchant.delivery = Money{100 * chance.draw(9, 18)};
    merchant.lead_days = chance.draw(2, 7);
    merchant.closed_weekdays = {"sunday"};
    made.suppliers = {maltings, merchant};
    const double dear = chance.of(0.9, 1.2);
    made.offers = {offer("maltings", "pale", 25.0, 27.0 * dear, 10, 25.4 * dear),
                   offer("maltings", "munich", 25.0, 31.0 * dear, 0, 0),
                   offer("maltings", "crystal", 25.0, 38.0 * dear, 0, 0),
                   offer("merchant", "bitter", 1.0, 24.0 * dear, 5, 22.0 * dear),
                   offer("merchant", "floral", 1.0, 29.0 * dear, 5, 26.0 * dear)};
    const double volume = chance.of(150.0, 800.0);
    for (int week = 0; week < weeks; ++week) {
        BrewToFill brew = pale_ale(("P" + std::to_string(week)).c_str(), "2026-03-02");
        brew.date += std::chrono::days(7 * week + 11);
        brew.volume = brew.brewhouse.volume = brew.recipe.volume = Litres(volume);
        const int kind = chance.draw(0, 2);
        brew.recipe.original_gravity = SpecificGravity(kind == 2 ? 1.058 : 1.048);
        brew.recipe.grist = {{"pale", Percent(kind == 1 ? 70.0 : 92.0), {}}};
        brew.recipe.grist.push_back({kind == 1 ? "munich" : "crystal", Percent(kind == 1 ? 30.0 : 8.0), {}});
        brew.recipe.hops = {hops("bitter", kind == 2 ? 45.0 : 30.0, 0.0)};
        if (kind != 1) brew.recipe.hops.push_back(hops("floral", 0.0, volume * 2.0));
        made.brews.push_back(std::move(brew));
    }
    return made;
}

// One way of buying, lived through a year.
struct Year {
    int uses = 0, shorts = 0, orders = 0, brews = 0, brews_short = 0;
    double goods = 0.0, deliveries = 0.0, express = 0.0, left = 0.0;
    [[nodiscard]] double cost() const { return goods + deliveries + express - left; }
};

enum class Way { plan, habit, habit_with_an_eye_on_stock };

class Life {
public:
    Life(const House& house, unsigned seed, Way way) : house_(house), way_(way), today_(day("2026-03-02")) {
        Fate chance(seed + 77777U);
        level_ = chance.normal();
        for (std::size_t b = 0; b < house.brews.size(); ++b) {
            own_.push_back(chance.normal());
            rich_.push_back(chance.normal());
        }
    }

    Year run(double service) {
        std::size_t next = 0;
        for (int d = 0; next < house_.brews.size(); ++d, today_ += std::chrono::days(1)) {
            arrive();
            if (way_ == Way::plan) {
                if (d % replan_days == 0) draw_up(service);
                place();
            } else if (way_ != Way::plan) {
                order_by_habit();
            }
            if (house_.brews[next].date == today_) brew(next++);
        }
        for (const LotState& state : lots_) {
            const double kg = state.on_hand.kilograms().value();
            const double age = double((today_ - state.lot.received).count());
            const Item& item = *std::ranges::find(house_.items, state.lot.item, &Item::name);
            year_.left += kg * unit_price(state.lot.item) * std::max(0.0, 1.0 - age / usual_worth_days(item.kind));
        }
        return year_;
    }

private:
    [[nodiscard]] const Offer& offer_of(const std::string& item) const {
        return *std::ranges::find(house_.offers, item, &Offer::item);
    }
    [[nodiscard]] double unit_price(const std::string& item) const {
        const Offer& o = offer_of(item);
        return double(o.price_steps.front().price.minor) / 100.0 / o.pack->value();
    }

    void arrive() {
        for (Order& order : open_)
            if (*order.arrives == today_)
                for (const OrderLine& line : order.lines) {
                    LotState state;
                    state.lot.code = "L" + std::to_string(++lot_);
                    state.lot.item = line.item;
                    state.lot.received = today_;
                    state.lot.received_amount = state.on_hand = Amount::of(*line.pack * double(line.packs));
                    lots_.push_back(state);
                }
        std::erase_if(open_, [&](const Order& order) { return *order.arrives <= today_; });
    }

    void draw_up(double service) {
        PurchaseWish wish;
        wish.today = today_;
        wish.items = house_.items;
        wish.suppliers = house_.suppliers;
        wish.offers = house_.offers;
        wish.lots = lots_;
        wish.orders = open_;
        wish.service = service;
        wish.buffer_days = 1;
        if (const auto days = (today_ - began_).count(); days >= 28) { // as the program does
            wish.later =
                LaterUse{today_ + std::chrono::days(plan_ahead_days + 1), today_ + std::chrono::days(90), {}, ""};
            for (const auto& [item, kg] : used_)
                wish.later->used[item] = kg / double(days) * double((wish.later->until - wish.later->from).count() + 1);
        }
        for (const BrewToFill& brew : house_.brews)
            if (brew.date >= today_ && (brew.date - today_).count() <= plan_ahead_days) wish.brews.push_back(brew);
        const DrawnPurchase drawn = draw_purchase(wish);
        MipOptions limits;
        limits.relative_gap = 0.01;
        limits.most_nodes = 100;
        const PurchasePlan found = plan_purchases(drawn.wanted, limits);
        planned_.clear();
        for (const PurchaseOrderPlan& order : found.orders) {
            if ((order.order_by - today_).count() >= replan_days) continue; // it will be looked at again
            Order made;
            made.supplier = order.supplier;
            made.ordered = order.order_by;
            made.arrives = order.arrives;
            for (const PurchaseLine& line : order.lines) {
                const Offer& o = house_.offers[drawn.offers[line.offer]];
                made.lines.push_back({o.item, o.pack, {}, {}, line.packs, Money{std::llround(100.0 * line.cost)}});
            }
            planned_.push_back({made, order.goods, order.delivery});
        }
    }

    void place() {
        for (const auto& [order, goods, delivery] : planned_) {
            if (order.ordered != today_) continue;
            ++year_.orders;
            year_.goods += goods;
            year_.deliveries += delivery;
            open_.push_back(order);
        }
    }

    // Each brew's recipe, rounded up to packs, ordered on the last day that will do.
    void order_by_habit() {
        for (const BrewToFill& brew : house_.brews)
            for (const Supplier& supplier : house_.suppliers) {
                SupplierTerms terms;
                terms.name = supplier.name;
                terms.closed[6] = supplier.name == "maltings";
                terms.closed[0] = true;
                Date last = brew.date - std::chrono::days(*supplier.lead_days);
                while (!arrival_of(terms, *supplier.lead_days, last)) last -= std::chrono::days(1);
                if (last == today_) order_for(brew, supplier);
            }
    }

    void order_for(const BrewToFill& brew, const Supplier& supplier) {
        std::map<std::string, double> recipe;
        for (const Need& need : nominal_brew(brew, house_.items).needs)
            if (offer_of(need.item).supplier == supplier.name) recipe[need.item] += need.mass_kg;
        Order made;
        made.arrives = today_ + std::chrono::days(*supplier.lead_days);
        double goods = 0.0;
        for (const auto& [item, kg] : recipe) {
            const Offer& o = offer_of(item);
            double wanted = kg;
            if (way_ == Way::habit_with_an_eye_on_stock) wanted -= there(item);
            const int packs = int(std::ceil(wanted / o.pack->value() - 1e-9));
            if (packs <= 0) continue;
            double price = 0.0;
            for (const PriceStep& step : o.price_steps)
                if (packs >= step.packs) price = double(step.price.minor) / 100.0;
            goods += packs * price;
            made.lines.push_back({item, o.pack, {}, {}, packs, Money{}});
        }
        if (made.lines.empty()) return;
        ++year_.orders;
        year_.goods += goods;
        const bool free = supplier.free_delivery_from && goods >= double(supplier.free_delivery_from->minor) / 100.0;
        if (!free) year_.deliveries += double(supplier.delivery->minor) / 100.0;
        open_.push_back(made);
    }

    [[nodiscard]] double there(const std::string& item) const {
        double kg = 0.0;
        for (const LotState& state : lots_)
            if (state.lot.item == item) kg += state.on_hand.kilograms().value();
        for (const Order& order : open_)
            for (const OrderLine& line : order.lines)
                if (line.item == item) kg += line.pack->value() * line.packs;
        return kg;
    }

    // What the brew takes in truth: half of the forecast's variance is the house's, the other half the brew's own;
    // bittering hops by what the lot holds in alpha.
    void brew(std::size_t b) {
        const BrewToFill& brew = house_.brews[b];
        const Nominal nominal = nominal_brew(brew, house_.items);
        const Estimate& og = nominal.forecast.original_gravity_sg;
        const double sd = og.sd / (og.value - 1.0);
        const double malts = std::exp(sd * std::sqrt(0.5) * (level_ + own_[b]) - 0.5 * sd * sd);
        std::map<std::string, double> taken;
        for (const Need& need : nominal.needs) {
            double kg = need.mass_kg;
            if (need.is_grist) kg *= malts;
            if (need.stage == Stage::boil) {
                const Figure alpha = alpha_pct(*std::ranges::find(house_.items, need.item, &Item::name));
                kg /= std::max(0.4, 1.0 + alpha.sd / alpha.value * rich_[b]);
            }
            taken[need.item] += kg;
        }
        const int before = year_.shorts;
        for (const auto& [item, kg] : taken) {
            used_[item] += kg;
            take(item, kg);
        }
        ++year_.brews;
        year_.brews_short += year_.shorts > before ? 1 : 0;
    }

    void take(const std::string& item, double kg) {
        ++year_.uses;
        for (LotState& state : lots_) {
            if (state.lot.item != item) continue;
            const Amount part = std::min(state.on_hand, Amount::of(Kilograms(kg)));
            state.on_hand = state.on_hand - part;
            kg -= part.kilograms().value();
        }
        std::erase_if(lots_, [](const LotState& state) { return state.on_hand.units == 0; });
        if (kg < 1e-5) return;
        ++year_.shorts;
        year_.express += express * kg * unit_price(item);
    }

    struct Planned {
        Order order;
        double goods, delivery;
    };
    const House& house_;
    Way way_;
    Date today_, began_ = today_;
    std::map<std::string, double> used_;
    double level_ = 0.0;
    std::vector<double> own_, rich_;
    std::vector<LotState> lots_;
    std::vector<Order> open_;
    std::vector<Planned> planned_;
    int lot_ = 0;
    Year year_;
};

void print_table(const Year (&all)[3], unsigned breweries) {
    const char* names[] = {"the plan", "the habit", "the habit, stock looked at"};
    std::printf("%u breweries, of each a year of weekly brews\n", breweries);
    std::printf("%-28s %8s %8s %8s %8s %9s %9s %9s %9s %9s\n", "", "uses", "short %", "brews %", "orders", "left",
                "goods*", "delivery", "express", "cost");
    for (std::size_t w = 0; w < 3; ++w) {
        const Year& y = all[w];
        std::printf("%-28s %8d %8.2f %8.2f %8.1f %9.0f %9.0f %9.0f %9.0f %9.0f\n", names[w], y.uses,
                    100.0 * y.shorts / y.uses, 100.0 * y.brews_short / y.brews, double(y.orders) / breweries,
                    y.left / breweries, (y.goods - y.left) / breweries, y.deliveries / breweries, y.express / breweries,
                    y.cost() / breweries);
    }
    std::printf(
        "* less what is left; the plan costs %.1f %% less than the habit, %.1f %% less than the habit that looks "
        "at the stock\n",
        100.0 * (1.0 - all[0].cost() / all[1].cost()), 100.0 * (1.0 - all[0].cost() / all[2].cost()));
    std::fflush(stdout);
}

} // namespace

// Number of breweries (200), service level (0.95) and the first seed (1); the table so far after every twenty.
int main(int argc, char** argv) {
    const unsigned breweries = argc > 1 ? unsigned(std::atoi(argv[1])) : 200U;
    const double service = argc > 2 ? std::atof(argv[2]) : 0.95;
    Year all[3];
    const unsigned first = argc > 3 ? unsigned(std::atoi(argv[3])) : 1U;
    for (unsigned n = 1; n <= breweries; ++n) {
        const unsigned seed = first + n - 1;
        const House made = house(seed);
        for (const Way way : {Way::plan, Way::habit, Way::habit_with_an_eye_on_stock}) {
            const Year year = Life(made, seed, way).run(service);
            Year& sum = all[std::size_t(way)];
            sum.uses += year.uses;
            sum.shorts += year.shorts;
            sum.brews += year.brews;
            sum.brews_short += year.brews_short;
            sum.orders += year.orders;
            sum.goods += year.goods;
            sum.deliveries += year.deliveries;
            sum.express += year.express;
            sum.left += year.left;
        }
        if (n % 20 == 0 || n == breweries) print_table(all, n);
    }
    return 0;
}
