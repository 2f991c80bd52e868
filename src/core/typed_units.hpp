// The units that may be typed, and what one of each is. Used by typed*.cpp alone.
#pragma once

#include <functional>
#include <lotwort/core/typed.hpp>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort::typed_detail {

struct UnitRow {
    std::string_view spelling; // lower case; what is typed is lowered first
    Dimension dimension;
    double factor; // value = (typed + offset) * factor, in the unit of the type
    double offset;
    TypedValue (*make)(double);
};

[[nodiscard]] std::span<const UnitRow> unit_rows();

// A volume an hour or a minute, a volume per mass: galus/h, l/min, qtus/lb, in lower case. None: it is no such unit.
[[nodiscard]] std::optional<UnitRow> quotient_of(std::string_view lowered);

// What a size that differs by country, and is refused without it, is of one country: gal, qt, pt, floz, bbl and these
// per hour or mass. None: it is no such size.
[[nodiscard]] std::optional<UnitRow> in_one_country(std::string_view lowered);

// What a dimension is called, the two units offered to who types a number alone, and the usual ones.
struct DimensionWords {
    std::string_view name;
    std::string_view first_unit;
    std::string_view second_unit; // may be empty
    std::string_view units;
};
[[nodiscard]] DimensionWords words_of(Dimension dimension);

// `unit` may be used where `expected` is asked for.
[[nodiscard]] bool fits(const UnitRow& unit, Dimension expected);

// How much of the text's beginning is digits and the signs between them: 1,250kg has 5, 2 500g has 5, 1e3 has 1.
[[nodiscard]] std::size_t length_of_number(std::string_view text);

// The plain numbers that digits with signs between them may mean. 2,5 is 2.5; 1,250 is 1.250 or 1250; 1.250,5 and
// 1 250,5 are 1250.5; the point alone begins decimals. Empty: no number is written so.
[[nodiscard]] std::vector<std::string> meanings_of_number(std::string_view text);

// Throws where the reader of an option does not take what could be read: its range, a deviation, a temperature.
using Demand = std::function<void(const Typed&)>;

// As parse_typed; a refusal offers only what passes the demand, which is not made of `text` itself. The unit is offered
// to a number that has none, the dimension's own two where it is empty.
[[nodiscard]] Typed parse_for(std::string_view text, Dimension expected, const Demand& demand,
                              std::string_view offered_unit = "");

} // namespace lotwort::typed_detail
