// How long a year's purchases take: weekly brews, 30 items, 5 suppliers; and 500 small purchases against every order
// tried out (argument `trials`). `mps` writes the year's model for other solvers to standard output.
#include "plan/purchase_trials.hpp"
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <random>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

class Chance {
public:
    explicit Chance(unsigned seed) : engine_(seed) {}
    double of(double low, double high) { return low + (high - low) * double(engine_() % 100001U) / 1e5; }
    int draw(int low, int high) { return low + static_cast<int>(engine_() % static_cast<unsigned>(high - low + 1)); }

private:
    std::mt19937 engine_;
};

struct Kind {
    const char* name;
    int items;
    double mass, pack, price; // of a brew's line; of a pack
    int shelf_life;
};

// Two maltings, two hop merchants, one who sells yeast and salts; each malt and each hop is sold by two. Malts that a
// brew takes more than a sack of are cheaper from ten sacks on.
PurchaseCase year(unsigned seed) {
    const Kind kinds[] = {{"base", 4, 150.0, 25.0, 28.0, 365},
                          {"malt", 9, 18.0, 25.0, 36.0, 365},
                          {"hop", 12, 1.2, 1.0, 21.0, 500},
                          {"yeast", 3, 2.0, 1.0, 62.0, 120},
                          {"salt", 2, 0.15, 1.0, 7.0, 900}};
    Chance chance(seed);
    PurchaseCase wanted;
    wanted.today = *parse_iso_date("2026-03-02");
    wanted.until = wanted.today + std::chrono::days(370);
    for (int s = 0; s < 5; ++s) {
        SupplierTerms terms{"supplier " + std::to_string(s)};
        terms.delivery = chance.draw(12, 45);
        if (s % 2 == 0) terms.free_from = chance.draw(500, 1200);
        if (s % 3 == 0) terms.minimum_order = chance.draw(80, 200);
        terms.closed[0] = terms.closed[6] = true;
        wanted.suppliers.push_back(terms);
    }
    std::vector<std::vector<std::string>> names;
    for (const Kind& kind : kinds) {
        auto& of_kind = names.emplace_back();
        for (int i = 0; i < kind.items; ++i) {
            of_kind.push_back(std::string(kind.name) + " " + std::to_string(i));
            const int first = kind.mass > 10.0 ? 0 : kind.shelf_life == 500 ? 2 : 4;
            for (int k = 0; k < (first == 4 ? 1 : 2); ++k) {
                const double price = std::round(100.0 * kind.price * chance.of(0.85, 1.15)) / 100.0;
                const int supplier = first + k;
                PurchaseOffer offer{
                    "supplier " + std::to_string(supplier), of_kind.back(), kind.pack, {}, 2 + supplier % 3};
                offer.steps = {{1, price}};
                if (kind.mass >= kind.pack) offer.steps.push_back({10, std::round(95.0 * price) / 100.0});
                offer.shelf_life_days = kind.shelf_life;
                wanted.offers.push_back(offer);
            }
            wanted.holding[of_kind.back()].per_day = 0.08 / 365.0 * kind.price / kind.pack; // 8 % a year
        }
    }
    for (int week = 0; week < 52; ++week) {
        const Date day = wanted.today + std::chrono::days(7 * week + 10);
        for (std::size_t k = 0; k < names.size(); ++k) {
            const auto count = static_cast<int>(names[k].size());
            const int first = chance.draw(0, count - 1), lines = k == 1 || k == 2 ? 3 : 1;
            for (int l = 0; l < lines; ++l) {
                const double amount = kinds[k].mass * (k == 3 ? 1.0 : chance.of(0.7, 1.3));
                wanted.needs.push_back({names[k][static_cast<std::size_t>((first + l) % count)], day, amount,
                                        k == 3 ? 0.0 : 0.1 * kinds[k].mass});
            }
        }
    }
    return wanted;
}

void time_year(double seconds) {
    const PurchaseCase wanted = year(1);
    MipOptions limits;
    limits.relative_gap = 0.01;
    limits.seconds = seconds;
    const auto start = std::chrono::steady_clock::now();
    const auto since = [&] { return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(); };
    limits.progress = [&](const MipProgress& now) {
        std::printf("  %6.2f s  best %.2f bound %.2f nodes %d\n", since(), now.best, now.bound, now.nodes);
    };
    const auto plan = plan_purchases(wanted, limits);
    std::printf("year: %zu needs, %zu offers, %.2f s: found %d cost %.2f bound %.2f gap %.3f %% orders %zu deliveries "
                "%.2f goods %.2f left %.2f holding %.2f late %zu nodes %d\n",
                wanted.needs.size(), wanted.offers.size(), since(), plan.found, plan.total_cost, plan.bound,
                100.0 * plan.gap, plan.orders.size(), plan.deliveries, plan.goods, plan.left_value, plan.holding,
                plan.late.size(), plan.nodes);
}

void trials() {
    int off = 0, feasible = 0, wrong = 0;
    for (unsigned seed = 1; seed <= 500; ++seed) {
        const auto wanted = drawn_purchase(seed);
        const auto plan = plan_purchases(wanted);
        const bool whole = plan.late.empty() && !plan.below_safety;
        const double least = tried_out_cost(wanted, plan.total_cost + (whole ? 0.01 : 20.0));
        if (whole != std::isfinite(least)) {
            ++wrong;
            std::printf("seed %u: late %zu, tried out %g\n", seed, plan.late.size(), least);
        }
        if (!whole) continue;
        ++feasible;
        const double within = 1e-6 * std::max(1.0, std::abs(least));
        if (std::abs(plan.total_cost - least) <= within && std::abs(plan.bound - least) <= within) continue;
        ++off;
        std::printf("seed %u: plan %.8f bound %.8f, tried out %.8f\n", seed, plan.total_cost, plan.bound, least);
    }
    std::printf("500 small ones: %d in time, %d off the least cost, %d wrongly called late or in time\n", feasible, off,
                wrong);
}

} // namespace

int main(int argc, char** argv) {
    const std::string what = argc > 1 ? argv[1] : "year";
    if (what == "trials") trials();
    if (what == "mps") std::fputs(purchase_mps(year(1)).c_str(), stdout);
    if (what == "year") time_year(argc > 2 ? std::atof(argv[2]) : 10.0);
    return 0;
}
