#include <cmath>
#include <lotwort/brew/mash_grist.hpp>

namespace lotwort {

namespace {

double square(double x) {
    return x * x;
}

// A balance states its figures in g or kg.
double in_kilograms(const Instrument& balance, double figure) {
    return balance.unit && *balance.unit == "g" ? figure / 1000.0 : figure;
}

} // namespace

double reading_sd(const Instrument& i, double value) {
    return std::sqrt(square(i.repeatability.value_or(0.0)) + square(i.repeatability_pct.value_or(0.0) / 100.0 * value) +
                     square(i.resolution.value_or(0.0)) / 12.0);
}

double bias_sd(const Instrument& i, double value) {
    return std::hypot(i.bias_sd.value_or(0.0), i.bias_sd_pct.value_or(0.0) / 100.0 * value);
}

MashGrist mash_grist(const std::vector<WeighedMalt>& malts) {
    MashGrist grist;
    double own = 0.0;
    for (const auto& malt : malts) {
        const double mass = malt.mass.value();
        const double extract = malt.figures.extract_as_is.value;
        grist.mass_kg += mass;
        grist.moisture_kg += mass * malt.figures.moisture_pct.value / 100.0;
        grist.extract_kg += mass * extract;
        grist.lot_error_kg[malt.lot] += mass * malt.figures.extract_as_is.sd;
        const double read = malt.balance.unit && *malt.balance.unit == "g" ? mass * 1000.0 : mass;
        own += square(extract * in_kilograms(malt.balance, reading_sd(malt.balance, read)));
        grist.balance_error_kg[malt.balance.name] += extract * in_kilograms(malt.balance, bias_sd(malt.balance, read));
    }
    double shared = 0.0;
    for (const auto& [name, error] : grist.balance_error_kg) shared += square(error);
    for (const auto& [lot, error] : grist.lot_error_kg) shared += square(error);
    grist.own_weighing_sd_kg = std::sqrt(own);
    grist.extract_sd_kg = std::sqrt(own + shared);
    return grist;
}

} // namespace lotwort
