// The grist of a brew as one: its mass, laboratory extract and moisture, with the extract's uncertainty.
#pragma once

#include <lotwort/brew/brewhouse.hpp>
#include <lotwort/core/quantity.hpp>
#include <lotwort/stock/malt.hpp>
#include <map>
#include <string>
#include <vector>

namespace lotwort {

// One weighing of one lot.
struct WeighedMalt {
    std::string lot;
    Kilograms mass;
    MaltFigures figures;
    Instrument balance;
};

struct MashGrist {
    double mass_kg = 0.0;
    double moisture_kg = 0.0;
    double extract_kg = 0.0;                        // X = sum mass * as-is fine-grind extract
    double extract_sd_kg = 0.0;                     // lots and weighing
    double own_weighing_sd_kg = 0.0;                // of the single weighings alone, the balances' bias beside it
    std::map<std::string, double> lot_error_kg;     // M_lot u(e_lot) of each lot
    std::map<std::string, double> balance_error_kg; // sum e_i b_i of each balance
};

// Weighings of one lot share the lot's error; weighings on one balance share its bias:
// u^2(X) = sum_lot (M_lot u(e_lot))^2 + sum_i (e_i s_i)^2 + sum_balance (sum_i e_i b_i)^2 (GUM 5.2.2)
[[nodiscard]] MashGrist mash_grist(const std::vector<WeighedMalt>& malts);

// One standard deviation of a single reading of `value`: repeatability, its per cent form and the scale's
// step as a rectangular distribution (step/sqrt(12), GUM 4.3.7); and the sd of the instrument's bias there.
[[nodiscard]] double reading_sd(const Instrument& instrument, double value);
[[nodiscard]] double bias_sd(const Instrument& instrument, double value);

} // namespace lotwort
