// The answers of `lotwort measure`.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/report/booked.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// A reading, and what it means once temperature and instrument are allowed for.
struct MeasuredReading {
    Reading reading;
    std::optional<double> volume_l; // at 20 C
    std::optional<double> extract_plato;
    std::optional<double> extract_kg;
};

struct Measured {
    std::string brew;
    std::vector<MeasuredReading> readings;
    std::vector<std::string> remarks;
    const Booked* booked = nullptr; // null where they are only shown
};

[[nodiscard]] std::string measure_text(const Measured& measured);
[[nodiscard]] std::string measure_csv(const Measured& measured);
[[nodiscard]] std::string measure_json(const Measured& measured); // lotwort/measure/1

} // namespace lotwort::report
