// A year's purchases of many kinds: 52 weekly brews, 30 items, 5 suppliers, and what is different from case to case:
// lead times by offer, closed days, buffers, shelf lives, hops that age and are sold in two crops, holding, stock to
// begin with, what counts of the rest. `purchase_kinds SECONDS CASES FIRST-SEED` says each one's gap; with `milder`
// behind it, of cases in which stock ages too, and some of which have a budget.
#include "plan/chance.hpp"
#include "plan/purchase_trials.hpp"
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <iterator>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/plan/verify_purchase.hpp>
#include <map>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

constexpr int weeks = 52;
bool is_milder = false; // the fourth word: `milder`

struct Drawn {
    PurchaseCase wanted;
    std::string kind; // what is different in it
};

void draw_suppliers(Chance& chance, Drawn& drawn) {
    const bool buffered = chance.once_in(2), weekdays = chance.once_in(3), strict = chance.once_in(3);
    for (SupplierTerms& terms : drawn.wanted.suppliers) {
        if (buffered) terms.buffer_days = chance.draw(1, 3);
        if (weekdays) terms.closed[static_cast<std::size_t>(chance.draw(1, 5))] = true;
        if (strict) terms.minimum_order = chance.draw(150, 500);
    }
    if (buffered) drawn.kind += " buffer";
    if (weekdays) drawn.kind += " weekdays";
    if (strict) drawn.kind += " minimum";
}

void draw_offers(Chance& chance, Drawn& drawn) {
    const bool leads = chance.once_in(2), short_lives = chance.once_in(3);
    for (PurchaseOffer& offer : drawn.wanted.offers) {
        if (leads) offer.lead_days = chance.draw(0, 9);
        if (short_lives && offer.shelf_life_days) offer.shelf_life_days = *offer.shelf_life_days / chance.draw(1, 4);
        offer.worth_days = chance.draw(100, 700);
    }
    if (leads) drawn.kind += " leads";
    if (short_lives) drawn.kind += " spoils";
}

// Hops lose alpha as they lie, a tenth to a third in a year by their sort; the old crop is cheaper, while it is sold.
void draw_hops(Chance& chance, Drawn& drawn) {
    const bool ages = chance.once_in(2), crops = chance.once_in(2);
    std::vector<PurchaseOffer> old_crops;
    std::map<std::string, double> rate_of; // a day, by hop
    for (PurchaseOffer& offer : drawn.wanted.offers) {
        if (!offer.item.starts_with("hop")) continue;
        if (ages) {
            const double rate = rate_of.try_emplace(offer.item, chance.draw(3, 12) / 10000.0).first->second;
            offer.worth = [rate](Date arrived, Date day) {
                return std::exp(-rate * static_cast<double>((day - arrived).count()));
            };
        }
        if (!crops) continue;
        PurchaseOffer old = offer;
        for (PurchaseStep& step : old.steps) step.price = std::round(80.0 * step.price) / 100.0;
        old.valid_until = drawn.wanted.today + std::chrono::days(chance.draw(60, 250));
        old_crops.push_back(std::move(old));
    }
    std::ranges::move(old_crops, std::back_inserter(drawn.wanted.offers));
    if (ages) drawn.kind += " ages";
    if (crops) drawn.kind += " crops";
}

void draw_stock(Chance& chance, Drawn& drawn) {
    PurchaseCase& wanted = drawn.wanted;
    const double holding = chance.once_in(3) ? 0.0 : chance.of(0.5, 4.0); // times 8 % a year
    for (auto& [item, cost] : wanted.holding) cost.per_day *= holding;
    const bool stock = chance.once_in(2), rest = chance.once_in(2);
    std::map<std::string, double> used;
    for (const PurchaseNeed& need : wanted.needs) used[need.item] += need.amount;
    for (const auto& [item, amount] : used) {
        if (stock)
            wanted.supplies.push_back({"lot of " + item, item, chance.of(0.0, 0.3) * amount,
                                       wanted.today - std::chrono::days(1), std::nullopt});
        if (rest) wanted.most_left[item] = chance.of(0.0, 0.2) * amount;
    }
    drawn.kind += holding == 0.0 ? " free" : holding > 2.0 ? " dear" : " kept";
    if (stock) drawn.kind += " stock";
    if (rest) drawn.kind += " rest";
}

// Drawn after all else, so that the cases of before stay what they were: in two of three the stock ages and spoils as
// what is bought does, and hops lose a third of what they did; in one of five the money reaches for a part of the year.
void draw_more(Chance& chance, Drawn& drawn) {
    PurchaseCase& wanted = drawn.wanted;
    if (chance.once_in(3)) return;
    for (PurchaseOffer& offer : wanted.offers)
        if (offer.worth)
            offer.worth = [was = offer.worth](Date arrived, Date day) { return std::cbrt(was(arrived, day)); };
    for (PurchaseSupply& supply : wanted.supplies) {
        const auto like = std::ranges::find(wanted.offers, supply.item, &PurchaseOffer::item);
        if (like == wanted.offers.end()) continue;
        supply.worth = like->worth;
        if (like->shelf_life_days) supply.last = wanted.today + std::chrono::days(*like->shelf_life_days / 2);
    }
    drawn.kind += " milder";
    if (!chance.once_in(5)) return;
    double goods = 0.0;
    for (const PurchaseNeed& need : wanted.needs) {
        const auto like = std::ranges::find(wanted.offers, need.item, &PurchaseOffer::item);
        if (like != wanted.offers.end()) goods += need.amount * like->steps.front().price / like->pack;
    }
    wanted.budget = chance.of(0.3, 0.9) * goods;
    drawn.kind += " budget";
}

Drawn drawn_year(unsigned seed) {
    Drawn drawn{weekly_purchase(seed, weeks), ""};
    Chance chance(seed + 1000U);
    draw_suppliers(chance, drawn);
    draw_offers(chance, drawn);
    draw_hops(chance, drawn);
    draw_stock(chance, drawn);
    if (is_milder) draw_more(chance, drawn);
    return drawn;
}

} // namespace

int main(int argc, char** argv) {
    const double seconds = argc > 1 ? std::atof(argv[1]) : 10.0;
    const unsigned cases = argc > 2 ? unsigned(std::atoi(argv[2])) : 20U;
    const unsigned first = argc > 3 ? unsigned(std::atoi(argv[3])) : 1U;
    is_milder = argc > 4;
    std::vector<double> gaps;
    for (unsigned seed = first; seed < first + cases; ++seed) {
        const Drawn drawn = drawn_year(seed);
        MipOptions limits;
        limits.relative_gap = 0.01;
        limits.seconds = seconds;
        const auto start = std::chrono::steady_clock::now();
        const PurchasePlan plan = plan_purchases(drawn.wanted, limits);
        const double took = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
        gaps.push_back(100.0 * plan.gap);
        std::printf("%4u %6.1f s  cost %10.2f bound %10.2f gap %6.2f %%  orders %3zu late %3zu breaches %zu %s\n", seed,
                    took, plan.total_cost, plan.bound, 100.0 * plan.gap, plan.orders.size(), plan.late.size(),
                    purchase_breaches(drawn.wanted, plan).size(), drawn.kind.c_str());
        std::fflush(stdout);
    }
    std::ranges::sort(gaps);
    const auto within = [&](double most) {
        return std::ranges::count_if(gaps, [most](double gap) { return gap <= most; });
    };
    std::printf("of %u: %td within 1 %%, %td within 2 %%, %td within 5 %%; median %.2f %%, the widest %.2f %%\n", cases,
                within(1.0), within(2.0), within(5.0), gaps[gaps.size() / 2], gaps.back());
    return 0;
}
