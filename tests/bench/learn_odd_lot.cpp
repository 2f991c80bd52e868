// A lot far under its certificate: is it named, and are ordinary lots left alone? And forecasts of the next brew's
// gravity beside two habits. `learn_odd_lot [breweries] [seed]`.
#include "../../src/infer/learn/drift.hpp"
#include "infer/simulated_house.hpp"
#include <cmath>
#include <cstdio>
#include <lotwort/brew/balance.hpp>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/wort/gravity.hpp>

using namespace lotwort;
using namespace lotwort::test;
using infer_detail::at_rest_conversion_walk;
using infer_detail::at_rest_lauter_walk;

namespace {

struct Share {
    int held = 0, of = 0;
    void add(bool yes) {
        held += yes;
        ++of;
    }
    [[nodiscard]] double pct() const { return of == 0 ? 0.0 : 100.0 * held / of; }
};

void odd_lots(int breweries, unsigned seed, LotUse use, double missing) {
    Share odd_held, odd_named, ordinary_held, ordinary_named, drift_there, drift_without;
    for (int i = 0; i < breweries; ++i) {
        HouseWish wish;
        wish.seed = seed + static_cast<unsigned>(i);
        wish.kind = i % 4;
        wish.brews = 60;
        wish.use = use;
        wish.lot_scatter = 0.012;
        wish.item_scatter = 0.003;
        wish.odd_lot = 4;
        wish.odd = -0.04;
        wish.missing = missing;
        wish.conversion_walk = at_rest_conversion_walk; // so that drift called is drift falsely called
        wish.lauter_walk = at_rest_lauter_walk;
        const SimulatedHouse house(wish);
        const auto learned = learn(house.request);
        wish.odd = 0.0; // the same brewery with that lot as good as its paper
        drift_without.add(!learn(SimulatedHouse(wish).request).drift.empty());
        for (const auto& lot : learned.lots) {
            const double truth = std::exp(house.truth.lots.at(lot.lot)) - 1.0;
            const bool held = lot.difference.low <= truth && truth <= lot.difference.high;
            if (lot.lot == house.truth.odd_lot) {
                if (lot.uses < 5) continue;
                odd_held.add(held);
                odd_named.add(lot.is_odd);
            } else {
                ordinary_held.add(held);
                ordinary_named.add(lot.is_odd);
            }
        }
        drift_there.add(!learned.drift.empty());
    }
    std::printf("%s, %.0f %% of readings missing: odd lot held %.1f %%, named %.1f %% (of %d); ordinary held %.1f %%, "
                "named %.1f %% (of %d); drift "
                "called in %.1f %% of series of 60, in %.1f %% without the odd lot\n",
                use == LotUse::in_turn         ? "lots in turn, mixed"
                : use == LotUse::whole_in_turn ? "lots in turn, alone in the grist"
                                               : "one after another",
                100.0 * missing, odd_held.pct(), odd_named.pct(), odd_held.of, ordinary_held.pct(),
                ordinary_named.pct(), ordinary_held.of, drift_there.pct(), drift_without.pct());
}

// The brewhouse efficiency that the readings alone give, by the naive formula: what a brewer notes down.
double naive_efficiency(const ReconcileInput& in, const std::vector<PlannedMalt>& malts) {
    double extract = 0.0;
    for (const auto& malt : malts) extract += malt.mass.value() * malt.figures.extract_as_is.value;
    std::optional<double> litres, gravity;
    for (const auto& r : in.brew.readings)
        if (r.point == ReadingPoint::fermenter) {
            if (r.volume) litres = r.volume->value();
            if (r.gravity_sg) gravity = r.gravity_sg->value();
        }
    if (!litres || !gravity) return 0.0;
    const double plato = wort::plato(SpecificGravity(*gravity)).value();
    return *litres * *gravity * 0.998 * plato / 100.0 / extract;
}

void forecasts(int breweries, unsigned seed) {
    const char* const kinds[4] = {"no sparge", "one batch", "two batches", "continuous"};
    for (int kind = 0; kind < 4; ++kind) {
        double ours = 0.0, last = 0.0, five = 0.0;
        int n = 0;
        for (int i = 0; i < breweries; ++i) {
            HouseWish wish;
            wish.seed = seed + static_cast<unsigned>(1000 * kind + i);
            wish.kind = kind;
            wish.brews = 40;
            SimulatedHouse house(wish);
            std::vector<double> noted;
            for (std::size_t b = 0; b < house.request.brews.size(); ++b) {
                std::vector<std::pair<std::string, double>> lots;
                double mass = 0.0;
                for (const auto& a : house.request.brews[b].brew.additions) mass += a.amount.kilograms().value();
                for (const auto& a : house.request.brews[b].brew.additions)
                    lots.emplace_back(a.lot, a.amount.kilograms().value() / mass);
                const double e = naive_efficiency(house.request.brews[b], house.planned(lots, mass));
                if (e > 0.0) noted.push_back(e);
            }
            if (noted.size() < 5) continue;
            const auto malts = house.next_malts();
            const double grist = house.next_grist_kg();
            const auto learned = learn(house.request);
            const auto planned = house.planned(malts, grist);
            const auto f = forecast(house.recipe, Litres(23.0), kit_of(*house.request.brewhouse), planned, {},
                                    Kilograms(0.0), &learned.next);
            house.brew(malts, grist);
            const double truth = house.truth.original_gravity.back();
            double extract = 0.0, mean = 0.0;
            for (const auto& malt : planned) extract += malt.mass.value() * malt.figures.extract_as_is.value;
            for (std::size_t k = noted.size() - 5; k < noted.size(); ++k) mean += noted[k] / 5.0;
            // the habit: extract times efficiency into the volume that is meant
            const auto habit = [&](double efficiency) {
                double w = 0.11;
                for (int step = 0; step < 20; ++step)
                    w = extract * efficiency / (23.0 * wort::sucrose_density_kg_m3(w, 20.0) / 1000.0);
                return wort::specific_gravity_of(w);
            };
            ours += std::pow(f.original_gravity_sg.value - truth, 2);
            last += std::pow(habit(noted.back()) - truth, 2);
            five += std::pow(habit(mean) - truth, 2);
            ++n;
        }
        const auto rms = [&](double sum) { return 1000.0 * std::sqrt(sum / n); };
        std::printf(
            "%-12s rmse of original gravity, points: learned %.2f, last brew %.2f (%.0f %% above), mean of five "
            "%.2f (%.0f %% above), %d breweries\n",
            kinds[kind], rms(ours), rms(last), 100.0 * (rms(last) / rms(ours) - 1.0), rms(five),
            100.0 * (rms(five) / rms(ours) - 1.0), n);
    }
}

} // namespace

int main(int argc, char** argv) {
    const int breweries = argc > 1 ? std::atoi(argv[1]) : 200;
    const unsigned seed = argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : 9000;
    for (const double missing : {0.0, 0.25})
        for (const LotUse use : {LotUse::whole_in_turn, LotUse::in_turn, LotUse::one_by_one})
            odd_lots(breweries, seed, use, missing);
    if (argc > 3) return 0;
    forecasts(breweries, seed + 500000);
}
