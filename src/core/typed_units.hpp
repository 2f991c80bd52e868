// The units that may be typed, and what one of each is. Used by typed*.cpp alone.
#pragma once

#include <lotwort/core/typed.hpp>
#include <span>
#include <string_view>

namespace lotwort::typed_detail {

struct UnitRow {
    std::string_view spelling; // lower case; what is typed is lowered first
    std::string_view shown;    // as a hint shows it
    Dimension dimension;
    double factor; // value = (typed + offset) * factor, in the unit of the type
    double offset;
    TypedValue (*make)(double);
};

[[nodiscard]] std::span<const UnitRow> unit_rows();

// Sizes that differ by country and are refused without it: gal, qt, pt, floz, bbl.
[[nodiscard]] bool differs_by_country(std::string_view lowered);

// What a dimension is called, and the two spellings shown first to who types a number alone.
struct DimensionWords {
    std::string_view name;
    std::string_view first_unit;
    std::string_view second_unit; // may be empty
};
[[nodiscard]] DimensionWords words_of(Dimension dimension);

// `unit` may be used where `expected` is asked for.
[[nodiscard]] bool fits(const UnitRow& unit, Dimension expected);

} // namespace lotwort::typed_detail
