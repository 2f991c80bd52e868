#include <cmath>
#include <lotwort/brew/mash_grist.hpp>
#include <map>

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
    std::map<std::string, double> lot_error;  // M_lot u(e_lot), signs alike within a lot
    std::map<std::string, double> bias_error; // sum e_i b_i of a balance
    double own = 0.0;
    for (const auto& malt : malts) {
        const double mass = malt.mass.value();
        const double extract = malt.figures.extract_as_is.value;
        grist.mass_kg += mass;
        grist.moisture_kg += mass * malt.figures.moisture_pct.value / 100.0;
        grist.extract_kg += mass * extract;
        lot_error[malt.lot] += mass * malt.figures.extract_as_is.sd;
        const double read = malt.balance.unit && *malt.balance.unit == "g" ? mass * 1000.0 : mass;
        own += square(extract * in_kilograms(malt.balance, reading_sd(malt.balance, read)));
        bias_error[malt.balance.name] += extract * in_kilograms(malt.balance, bias_sd(malt.balance, read));
    }
    double weighing = own;
    for (const auto& [name, error] : bias_error) weighing += square(error);
    double lots = 0.0;
    for (const auto& [lot, error] : lot_error) lots += square(error);
    grist.weighing_sd_kg = std::sqrt(weighing);
    grist.extract_sd_kg = std::sqrt(weighing + lots);
    return grist;
}

} // namespace lotwort
