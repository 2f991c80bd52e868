// The answer of `lotwort convert`.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

struct Converted {
    std::string given; // as typed
    double value = 0.0;
    std::string unit;         // for machines: plato, sg, l, l-per-kg, ...
    std::string shown;        // for people: °P, SG, L, L°/kg, ...
    int decimals = 2;         // as the trade reads that unit
    std::optional<double> sd; // one standard deviation, where the figure is an estimate
    std::optional<std::string> basis;
    std::optional<double> at_c;
    std::vector<std::string> remarks; // what was assumed, in sentences
};

[[nodiscard]] std::string convert_text(const Converted& converted);
[[nodiscard]] std::string convert_json(const Converted& converted); // lotwort/convert/1

} // namespace lotwort::report
