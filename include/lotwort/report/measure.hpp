// The answers of `lotwort measure`.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/infer/reading_meaning.hpp>
#include <lotwort/report/booked.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

struct MeasuredReading {
    Reading reading;
    ReadingMeaning means;
    std::string fault; // why it has no meaning; empty where it has
};

struct Measured {
    std::string brew;
    std::vector<MeasuredReading> readings;
    std::vector<std::string> remarks;
    const Booked* booked = nullptr; // null where they are only shown
};

// Parts of a reading as they are typed: 23.4L@95C, 23.4kg or 32cm; 1.050@24C, 12P or 12Bx. Empty where it has none.
[[nodiscard]] std::string typed_volume(const Reading& reading);
[[nodiscard]] std::string typed_gravity(const Reading& reading);
[[nodiscard]] std::string typed_reading(const Reading& reading); // both

// A sentence with the reading's id, and what to type.
[[nodiscard]] std::string gravity_remark(const GravityDoubt& doubt, const std::string& brew);

[[nodiscard]] std::string measure_text(const Measured& measured);
[[nodiscard]] std::string measure_csv(const Measured& measured);
[[nodiscard]] std::string measure_json(const Measured& measured); // lotwort/measure/1

} // namespace lotwort::report
