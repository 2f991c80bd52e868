#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/figures.hpp>

namespace lotwort::report {

std::string gravity_and_plato(double gravity) {
    return fmt::format("{} ({} °P)", fixed(gravity, 4), fixed(in_plato(normal_estimate(gravity, 0.0)).value, 1));
}

std::string to_be_weighed(Amount amount) {
    if (amount.measure == Measure::count) return to_text(amount);
    // in milligrams or microlitres
    const auto size = std::abs(amount.units);
    double step = 1'000.0;
    if (size >= 1'000'000)
        step = 10'000.0;
    else if (amount.measure == Measure::mass)
        step = size < 100'000 ? 10.0 : 100.0;
    const auto steps = std::llround(static_cast<double>(amount.units) / step);
    if (steps == 0) return to_text(amount); // less than a scale shows
    return to_text(Amount{amount.measure, steps * static_cast<std::int64_t>(step)});
}

std::string on_the_scale(Amount amount) {
    constexpr std::int64_t gram = 1'000; // in milligrams; a millilitre in microlitres
    if (amount.measure == Measure::count || std::abs(amount.units) < 1'000 * gram) return to_text(amount);
    amount.units = (amount.units + (amount.units < 0 ? -gram : gram) / 2) / gram * gram;
    return to_text(amount);
}

std::string round_litres(double litres) {
    return shortest(std::round(litres * 100.0) / 100.0);
}

} // namespace lotwort::report
