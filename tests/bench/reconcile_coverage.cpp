// Do the intervals hold the truth? Simulated brews with known truth, noisy instruments with biases of their
// own and readings left out at random, reconciled; prints coverage, errors against the naive figure, false
// alarms, and how slips are found. Fixed seed. usage: reconcile_coverage [brews per kind, default 2000]
#include "infer/simulated_brew.hpp"
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <functional>
#include <map>
#include <random>

using namespace lotwort;
using namespace lotwort::test;

namespace {

struct Kind {
    std::string name;
    Sparge sparge;
    double wash_stages;
    double strike_per_kg;
};
const std::vector<Kind> kinds{{"no sparge", Sparge::none, 1.0, 6.6},
                              {"one batch", Sparge::batch, 2.0, 3.1},
                              {"two batches", Sparge::batch, 3.0, 3.1},
                              {"continuous", Sparge::continuous, 2.6, 2.9}};

struct Drawn {
    SimulatedBrew brew;
    std::map<std::string, double> bias;
};

class Brewery {
public:
    explicit Brewery(unsigned seed) : chance_(seed) {}
    double normal(double mean, double sd) { return std::normal_distribution<double>(mean, sd)(chance_); }
    bool coin(double p) { return std::bernoulli_distribution(p)(chance_); }

    // A brew of the kind, brewed on a brewhouse that expects the nominal figures.
    Drawn draw(const Kind& kind, double missing) {
        Truth nominal{.sparge = kind.sparge, .wash_stages = kind.wash_stages};
        nominal.grist_kg = std::round(normal(4.7, 0.6) * 100.0) / 100.0;
        nominal.strike_l = kind.strike_per_kg * nominal.grist_kg;
        nominal.sparge_l = kind.sparge == Sparge::none ? 0.0 : 33.0 - nominal.strike_l;
        nominal.conversion = 0.92;
        nominal.lauter_of_expected = 1.0;
        nominal.absorption_l_per_kg = 1.0;
        nominal.boil_off_l_per_h = 3.2;
        nominal.boil_minutes = 60.0;
        nominal.kettle_loss_l = 1.5;

        Truth truth = nominal;
        truth.grist_kg = nominal.grist_kg - normal(0.0, std::hypot(0.02, 0.01));
        truth.extract_fine_dry_pct = normal(nominal.extract_fine_dry_pct, 0.9);
        truth.moisture_pct = normal(nominal.moisture_pct, 0.2);
        truth.conversion = normal(nominal.conversion, 0.025);
        truth.lauter_of_expected = normal(1.0, 0.02);
        truth.absorption_l_per_kg = normal(1.0, 0.08);
        truth.boil_off_l_per_h = normal(3.2, 0.4);
        truth.kettle_loss_l = normal(1.5, 0.3);
        truth.top_up_l = normal(0.0, 0.023);

        Drawn out{simulate(truth), {}};
        const auto expected = simulate(nominal);
        out.brew.input.brewhouse = expected.input.brewhouse;
        out.brew.input.lots = expected.input.lots;
        out.brew.input.brew.additions = expected.input.brew.additions;
        read_everything(out.brew);
        for (const auto& i : out.brew.input.instruments) out.bias[i.name] = normal(0.0, *i.bias_sd);
        auto& readings = out.brew.input.brew.readings;
        std::erase_if(readings, [&](const Reading&) { return coin(missing); });
        for (auto& r : readings) err(r, out);
        return out;
    }

private:
    void err(Reading& r, const Drawn& out) {
        if (r.volume) {
            const double own = r.volume_instrument == "liquor marks"   ? 0.12
                               : r.volume_instrument == "kettle marks" ? 0.2
                                                                       : 0.17;
            r.volume = *r.volume + Litres(normal(out.bias.at(*r.volume_instrument), own));
        }
        if (r.gravity_sg) r.gravity_sg = *r.gravity_sg + GravityDifference(normal(out.bias.at("hydrometer"), 0.0004));
    }
    std::mt19937 chance_;
};

// Fermenter volume times gravity over certified extract: what most brewers work out.
std::optional<double> naive_brewhouse(const ReconcileInput& in) {
    std::optional<double> litres, sg;
    for (const auto& r : in.brew.readings) {
        if (r.point != ReadingPoint::fermenter) continue;
        if (r.volume) litres = r.volume->value();
        if (r.gravity_sg) sg = r.gravity_sg->value();
    }
    if (!litres || !sg) return std::nullopt;
    const double grist = in.brew.additions.front().amount.kilograms().value();
    const auto& c = *in.lots.at("malt").lot.certificate;
    const double plato = 135.997 * std::pow(*sg, 3) - 630.272 * *sg * *sg + 1111.14 * *sg - 616.868; // ASBC cubic
    return *litres * *sg * 0.998203 * plato / 100.0 /
           (grist * c.extract->value() / 100.0 * (1.0 - c.moisture->value() / 100.0));
}

void coverage(int brews) {
    fmt::print("{:<12}{:>12}{:>9}{:>9}{:>9}{:>10}{:>9}{:>9}\n", "", "efficiency", "holds %", "rmse", "mean sd", "naive",
               "alarms %", "n");
    for (const auto& kind : kinds) {
        Brewery brewery(20260301);
        struct Tally {
            int held = 0;
            double square = 0.0, sd = 0.0;
        };
        std::array<Tally, 5> tally;
        double naive_square = 0.0, ours_square = 0.0;
        int naive_n = 0, alarms = 0, tested = 0;
        for (int i = 0; i < brews; ++i) {
            const auto drawn = brewery.draw(kind, 0.25);
            const auto r = reconcile(drawn.brew.input);
            const std::array<double, 5> truth{drawn.brew.conversion, drawn.brew.lauter, drawn.brew.kettle_yield,
                                              drawn.brew.transfer, drawn.brew.brewhouse};
            const std::array<const Estimated*, 5> found{&r.efficiencies.conversion, &r.efficiencies.lauter,
                                                        &r.efficiencies.kettle_yield, &r.efficiencies.transfer,
                                                        &r.efficiencies.brewhouse};
            for (std::size_t k = 0; k < 5; ++k) {
                const auto& e = found[k]->estimate.value();
                tally[k].held += truth[k] >= e.low && truth[k] <= e.high;
                tally[k].square += (e.value - truth[k]) * (e.value - truth[k]);
                tally[k].sd += e.sd;
            }
            if (r.test.degrees_of_freedom > 0) {
                ++tested;
                alarms += !r.test.passed;
            }
            if (const auto naive = naive_brewhouse(drawn.brew.input)) {
                ++naive_n;
                naive_square += (*naive - truth[4]) * (*naive - truth[4]);
                ours_square += std::pow(r.efficiencies.brewhouse.estimate->value - truth[4], 2);
            }
        }
        const std::array<const char*, 5> names{"conversion", "lauter", "kettle yield", "transfer", "brewhouse"};
        for (std::size_t k = 0; k < 5; ++k)
            fmt::print("{:<12}{:>12}{:>9.1f}{:>9.4f}{:>9.4f}{:>10}{:>9}{:>9}\n", k == 0 ? kind.name : "", names[k],
                       100.0 * tally[k].held / brews, std::sqrt(tally[k].square / brews), tally[k].sd / brews,
                       k == 4 ? fmt::format("{:.4f}", std::sqrt(naive_square / naive_n)) : "",
                       k == 0 ? fmt::format("{:.1f}", 100.0 * alarms / tested) : "",
                       k == 0 ? fmt::to_string(brews) : "");
        fmt::print("{:<12}brewhouse rmse where the naive figure exists: {:.4f}\n", "",
                   std::sqrt(ours_square / naive_n));
    }
}

struct Slip {
    std::string name;
    std::string reading;
    std::function<void(Reading&)> make;
};

void power(int brews) {
    const std::vector<Slip> slips{
        {"kettle volume +2.5 L", "kettle-full-volume", [](Reading& r) { r.volume = *r.volume + Litres(2.5); }},
        {"kettle gravity +0.006", "kettle-full-gravity",
         [](Reading& r) { r.gravity_sg = *r.gravity_sg + GravityDifference(0.006); }},
        {"fermenter volume -2 L", "fermenter-volume", [](Reading& r) { r.volume = *r.volume - Litres(2.0); }},
        {"fermenter gravity +0.009", "fermenter-gravity",
         [](Reading& r) { r.gravity_sg = *r.gravity_sg + GravityDifference(0.009); }},
    };
    fmt::print("\n{:<28}{:>10}{:>10}{:>12}\n", "slip (one batch sparge)", "found %", "named %", "with ties %");
    for (const auto& slip : slips) {
        Brewery brewery(7);
        int found = 0, named = 0, tied = 0;
        for (int i = 0; i < brews; ++i) {
            auto drawn = brewery.draw(kinds[1], 0.0);
            for (auto& r : drawn.brew.input.brew.readings)
                if (r.id == slip.reading) slip.make(r);
            const auto r = reconcile(drawn.brew.input);
            if (r.test.passed) continue;
            ++found;
            if (r.suspects.empty()) continue;
            const auto& first = r.suspects.front();
            const bool alone = first.reading == slip.reading;
            bool with = alone;
            for (const auto& other : first.cannot_be_told_from) with = with || other.starts_with(slip.reading + " ");
            named += alone;
            tied += with;
        }
        fmt::print("{:<28}{:>10.1f}{:>10.1f}{:>12.1f}\n", slip.name, 100.0 * found / brews, 100.0 * named / brews,
                   100.0 * tied / brews);
    }
}

} // namespace

int main(int argc, char** argv) {
    const int brews = argc > 1 ? std::atoi(argv[1]) : 2000;
    coverage(brews);
    power(brews);
}
