// The answers of `lotwort convert`: one figure, or a table of them.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// A published rule's figure beside the answer, in the answer's unit.
struct ByRule {
    std::string rule;
    double value = 0.0;
};

// A second figure that comes with the answer.
struct AlsoConverted {
    std::string name; // for machines, its unit in it: water_kg
    std::string what; // for people: water
    double value = 0.0;
    std::optional<double> sd;
    std::string shown; // kg
    int decimals = 2;
};

struct Converted {
    std::string given; // as typed
    double value = 0.0;
    std::string unit;         // for machines: plato, sg, l, l-per-kg, ...
    std::string shown;        // for people: °P, SG, L, L°/kg, ...
    int decimals = 2;         // as the trade reads that unit
    std::optional<double> sd; // one standard deviation, where the figure is an estimate
    // Where first order is not enough for the sd: what it would have been, and the mean to second order.
    std::optional<double> first_order_sd;
    std::optional<double> mean;
    std::optional<std::string> basis;
    std::optional<double> at_c;
    std::vector<AlsoConverted> also;
    std::vector<ByRule> rules;
    std::vector<std::string> remarks; // what was assumed, in sentences
};

[[nodiscard]] std::string convert_text(const Converted& converted);
[[nodiscard]] std::string convert_json(const Converted& converted); // lotwort/convert/1
[[nodiscard]] std::string convert_csv(const Converted& converted);

// A range of values down the page, and a range of an option across it where there is one.
struct ConvertedTable {
    std::string given;                         // the range as typed
    std::string across;                        // the option's name; empty: none
    std::vector<std::string> rows;             // the values, as one would type them
    std::vector<std::string> columns;          // the option's values; one empty word where there is no option
    std::vector<std::vector<Converted>> cells; // [row][column]
    std::vector<std::string> remarks;          // of all cells, each once
};

[[nodiscard]] std::string convert_table_text(const ConvertedTable& table);
[[nodiscard]] std::string convert_table_json(const ConvertedTable& table); // lotwort/convert/1, with rows
[[nodiscard]] std::string convert_table_csv(const ConvertedTable& table);

} // namespace lotwort::report
