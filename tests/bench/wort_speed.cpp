// How fast a wort's density, gravity and extract are had. Target: a hundred million densities in seconds, and the
// extract of a gravity for no more than twenty times the gravity of an extract. Figures in docs/methods/wort.md.
#include <benchmark/benchmark.h>
#include <lotwort/core/propagate.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/hydrometer.hpp>
#include <lotwort/wort/isomerisation.hpp>
#include <vector>

using namespace lotwort;
using namespace lotwort::wort;

namespace {

// Worts of 0 to 25 P at 10 to 90 C, in no order that a compiler could fold.
struct Worts {
    std::vector<double> fraction, temperature, gravity;
    Worts() {
        unsigned state = 12345;
        const auto uniform = [&] {
            state = state * 1664525u + 1013904223u;
            return (state >> 8) / 16777216.0;
        };
        for (int i = 0; i < 4096; ++i) {
            fraction.push_back(0.25 * uniform());
            temperature.push_back(10.0 + 80.0 * uniform());
            gravity.push_back(specific_gravity_of(fraction.back()));
        }
    }
};
const Worts worts;

template <class F>
void each(benchmark::State& state, F&& f) {
    std::size_t i = 0;
    for (auto _ : state) {
        benchmark::DoNotOptimize(f(i));
        i = (i + 1) & 4095;
    }
    state.SetItemsProcessed(state.iterations());
}

void density(benchmark::State& state) {
    each(state, [](std::size_t i) { return sucrose_density_kg_m3(worts.fraction[i], worts.temperature[i]); });
}
BENCHMARK(density);

void hundred_million_densities(benchmark::State& state) {
    for (auto _ : state) {
        double sum = 0.0;
        for (std::size_t i = 0; i < 100'000'000; ++i)
            sum += sucrose_density_kg_m3(worts.fraction[i & 4095], worts.temperature[i & 4095]);
        benchmark::DoNotOptimize(sum);
    }
}
BENCHMARK(hundred_million_densities)->Unit(benchmark::kSecond)->Iterations(1);

void gravity_of_extract(benchmark::State& state) {
    each(state, [](std::size_t i) { return specific_gravity_of(worts.fraction[i]); });
}
BENCHMARK(gravity_of_extract);

void extract_of_gravity(benchmark::State& state) {
    each(state, [](std::size_t i) { return mass_fraction_of_gravity(worts.gravity[i]); });
}
BENCHMARK(extract_of_gravity);

void extract_of_density_at_temperature(benchmark::State& state) {
    each(state, [](std::size_t i) { return mass_fraction_of_density(1000.0 + 0.02 * static_cast<double>(i), 60.0); });
}
BENCHMARK(extract_of_density_at_temperature);

void extract_of_a_stem_reading(benchmark::State& state) {
    each(state, [](std::size_t i) { return plato_from_hydrometer(worts.gravity[i], Celsius(35.0), Celsius(20.0)); });
}
BENCHMARK(extract_of_a_stem_reading);

void alcohol_with_its_uncertainty(benchmark::State& state) {
    each(state, [](std::size_t i) {
        return propagate([](const auto& x) { return alcohol_by_volume_pct(x[0], x[1]); },
                         std::array{100.0 * worts.fraction[i], 2.5}, std::array{0.2, 0.2})
            .sd;
    });
}
BENCHMARK(alcohol_with_its_uncertainty);

void half_an_hour_of_cooling(benchmark::State& state) {
    const std::vector<TimedTemperature> course{{Minutes(0.0), Celsius(100.0)}, {Minutes(30.0), Celsius(20.0)}};
    for (auto _ : state) benchmark::DoNotOptimize(equivalent_boil(course));
}
BENCHMARK(half_an_hour_of_cooling);

} // namespace

BENCHMARK_MAIN();
