// How often 90 % intervals hold the truth: lots, malts, levels, and the next brew's gravity and volume, over simulated
// breweries with the scales estimated. `learn_coverage [breweries] [first seed]`.
#include "infer/simulated_house.hpp"
#include <chrono>
#include <cmath>
#include <cstdio>
#include <lotwort/brew/forecast.hpp>
#include <map>

using namespace lotwort;
using namespace lotwort::test;

namespace {

struct Tally {
    int held = 0, of = 0;
    double square = 0.0, width = 0.0, sum = 0.0;
    void add(const Estimate& e, double truth) {
        held += e.low <= truth && truth <= e.high;
        ++of;
        square += (e.value - truth) * (e.value - truth);
        width += e.sd * e.sd;
        sum += e.value - truth;
    }
};

} // namespace

int main(int argc, char** argv) {
    const int breweries = argc > 1 ? std::atoi(argv[1]) : 200;
    const unsigned first = argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : 1;
    const bool known = argc > 3; // the scales as stated instead of estimated
    std::map<std::string, Tally> tally;
    const auto start = std::chrono::steady_clock::now();
    for (int i = 0; i < breweries; ++i) {
        std::mt19937 chance(first + static_cast<unsigned>(i));
        HouseWish wish;
        wish.seed = 1000 + first + static_cast<unsigned>(i);
        wish.kind = i % 4;
        wish.brews = std::uniform_int_distribution<int>(30, 200)(chance);
        wish.use = i % 8 < 6 ? LotUse::in_turn : LotUse::one_by_one;
        // true scales scatter about the stated ones by as much again as a brewer may be wrong
        const auto factor = [&](double sd) {
            return known ? 1.0 : std::exp(std::normal_distribution<double>(0.0, sd)(chance));
        };
        wish.conversion_scatter *= factor(0.25);
        wish.lauter_scatter *= factor(0.25);
        wish.conversion_walk *= factor(0.5);
        wish.lauter_walk *= factor(0.5);
        wish.lot_scatter *= factor(0.25);
        SimulatedHouse house(wish);
        house.request.scales = known ? Scales::as_stated : Scales::estimated;
        // what the next brew takes may open a lot, which is then known from its item alone
        const auto malts = house.next_malts();
        const double grist = house.next_grist_kg();
        const auto learned = learn(house.request);
        for (const auto& lot : learned.lots)
            tally["lots"].add(lot.difference, std::exp(house.truth.lots.at(lot.lot)) - 1.0);
        for (const auto& item : learned.items)
            tally["malts"].add(item.difference, std::exp(house.truth.items.at(item.item)) - 1.0);
        for (std::size_t b = 0; b < learned.levels.size(); ++b) {
            tally["conversion level"].add(learned.levels[b].conversion, std::exp(house.truth.conversion_level[b]));
            tally["lauter level"].add(learned.levels[b].lauter, std::exp(house.truth.lauter_level[b]));
        }
        const auto f = forecast(house.recipe, Litres(23.0), kit_of(*house.request.brewhouse),
                                house.planned(malts, grist), {}, Kilograms(0.0), &learned.next);
        house.brew(malts, grist);
        tally["next gravity"].add(f.original_gravity_sg, house.truth.original_gravity.back());
        tally["next volume"].add(f.volume_l, house.truth.volume.back());
        tally["next volume " + std::to_string(wish.kind)].add(f.volume_l, house.truth.volume.back());
        const char* const names[3] = {"boil-off", "absorption", "kettle loss"};
        for (std::size_t k = 0; k < 3; ++k)
            tally[names[k]].add(normal_estimate(learned.next.mean[2 + k], std::sqrt(learned.next.cov(2 + k, 2 + k))),
                                house.truth.constants[k]);
        for (const auto& drift : learned.drift) {
            (void)drift;
            tally["false drift"].held++;
        }
        tally["false drift"].of += wish.brews;
    }
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    std::printf("%d breweries, scales %s, %.1f s\n", breweries, known ? "known" : "estimated", seconds);
    for (const auto& [name, t] : tally)
        std::printf("%-18s held %6.2f %% of %d; rmse %.5f, rms sd %.5f, mean error %+.5f\n", name.c_str(),
                    100.0 * t.held / t.of, t.of, std::sqrt(t.square / t.of), std::sqrt(t.width / t.of), t.sum / t.of);
}
