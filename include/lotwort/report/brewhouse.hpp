// The answers of `lotwort brewhouse`.
#pragma once

#include <lotwort/brew/kit.hpp>
#include <lotwort/report/booked.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

// A brewhouse as stated, and with typical values where nothing is.
struct ShownBrewhouse {
    Brewhouse brewhouse;
    Kit kit;
};

// What an instrument can read: one standard deviation of a reading, and of the bias that its readings share.
struct ShownInstrument {
    Instrument instrument;
    double at = 0.0; // the value that the figures are for, in its unit
    double reading_sd = 0.0;
    double bias_sd = 0.0;
    bool typical = false; // nobody has stated one of this kind
};

// Decimals in which what an instrument shows is printed, in its own unit: to the gram, 0.0001 of gravity, else 0.01.
[[nodiscard]] int places_of(const Instrument& instrument);

[[nodiscard]] std::string brewhouse_list_text(const std::vector<ShownBrewhouse>& brewhouses,
                                              const std::vector<ShownInstrument>& instruments);
[[nodiscard]] std::string brewhouse_text(const ShownBrewhouse& shown, const std::vector<ShownInstrument>& instruments);

// lotwort/brewhouse/1: "brewhouses" as stated, each with "in_use" (every figure, typical ones included) and
// "assumed" (the names of those that are typical), and "instruments". With `booked`, its fields too.
[[nodiscard]] std::string brewhouse_json(const std::vector<ShownBrewhouse>& brewhouses,
                                         const std::vector<ShownInstrument>& instruments, const Booked* booked);

} // namespace lotwort::report
