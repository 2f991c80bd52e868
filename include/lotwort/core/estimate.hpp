// An estimate: a value with its standard uncertainty and the interval that holds the truth nine times in ten.
#pragma once

#include <optional>
#include <string>

namespace lotwort {

struct Estimate {
    double value = 0.0;
    double sd = 0.0;
    double low = 0.0; // 90 % interval
    double high = 0.0;
};

// 1.6449 = the 0.95 quantile of the standard normal distribution
[[nodiscard]] constexpr Estimate normal_estimate(double value, double sd) {
    return {value, sd, value - 1.6448536269514722 * sd, value + 1.6448536269514722 * sd};
}

// An estimate, or why there is none.
struct Estimated {
    std::optional<Estimate> estimate;
    std::string reason; // empty where there is an estimate
};

} // namespace lotwort
