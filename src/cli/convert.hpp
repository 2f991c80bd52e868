// One conversion: what was typed, what it is to be, and what the reading was taken with.
#pragma once

#include <lotwort/core/typed.hpp>
#include <lotwort/report/convert.hpp>
#include <lotwort/stock/lot.hpp>
#include <optional>
#include <string>

namespace lotwort::cli {

struct ConvertRequest {
    std::string given;
    Typed value;
    std::string to;
    std::string from = "sg"; // which gravity a bare number is
    std::optional<Celsius> read_at;
    std::optional<Celsius> stem;
    std::optional<Celsius> at;        // of a volume or a density
    std::optional<TypedGravity> wort; // what a hot volume is of; water unless said
    std::optional<TypedGravity> final_gravity;
    std::optional<std::string> basis;
    std::optional<Percent> moisture;
    std::optional<double> wort_factor; // Brix read / plato
    std::optional<Lot> hop;            // a hop's analysis and storage, for its alpha on a later day
    Date on;                           // that day
};

// Each gives the answer, or nothing where `to` is not its kind. Error(refused) where the two do not go together.
[[nodiscard]] std::optional<report::Converted> convert_alcohol(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_hops(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_extract(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_gravity(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_hot_volume(const ConvertRequest& request);
[[nodiscard]] report::Converted convert_unit(const ConvertRequest& request); // whatever else is typed with a unit

// What was typed as extract, by mass; with the remarks that belong to it. Error(refused) unless it is a gravity.
[[nodiscard]] Plato plato_of(const ConvertRequest& request, std::vector<std::string>& remarks);
[[nodiscard]] Plato plato_of(const TypedGravity& gravity, double wort_factor);

[[noreturn]] void refuse_conversion(const ConvertRequest& request);

} // namespace lotwort::cli
