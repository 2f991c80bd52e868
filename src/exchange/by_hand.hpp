// A figure as a person writes it in a file: mass = "250lb" beside mass_kg = 113.4.
#pragma once

#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>
#include <string_view>

namespace lotwort {

// The unit that ends the name of a field of that kind; empty where no text stands for its figure.
template <class Value>
inline constexpr std::string_view unit_in_name{};
template <>
inline constexpr std::string_view unit_in_name<Kilograms> = "_kg";
template <>
inline constexpr std::string_view unit_in_name<Grams> = "_g";
template <>
inline constexpr std::string_view unit_in_name<Litres> = "_l";
template <>
inline constexpr std::string_view unit_in_name<Percent> = "_pct";
template <>
inline constexpr std::string_view unit_in_name<Minutes> = "_minutes";
template <>
inline constexpr std::string_view unit_in_name<Celsius> = "_c";
template <>
inline constexpr std::string_view unit_in_name<Ebc> = "_ebc";
template <>
inline constexpr std::string_view unit_in_name<SpecificGravity> = "_sg";
template <>
inline constexpr std::string_view unit_in_name<BitternessUnits> = "_ibu";
template <>
inline constexpr std::string_view unit_in_name<LitresPerKilogram> = "_l_per_kg";
template <>
inline constexpr std::string_view unit_in_name<LitresPerHour> = "_l_per_h";
template <>
inline constexpr std::string_view unit_in_name<Metres> = "_m";

// The name under which a text stands: `mass` of mass_kg, `boil_off` of boil_off_l_per_h, `lauter` of
// lauter_pct_of_expected; `minutes` as it is. Empty where there is none.
template <class Value>
[[nodiscard]] constexpr std::string_view name_by_hand(std::string_view field) {
    constexpr std::string_view unit = unit_in_name<Value>;
    if (unit.empty()) return {};
    if (field == unit.substr(1)) return field;
    if (field.ends_with(unit)) return field.substr(0, field.size() - unit.size());
    const auto at = field.find("_pct_of_");
    return at == std::string_view::npos ? std::string_view{} : field.substr(0, at);
}

// The figure as the command line takes it, in the unit of the field. Error(refused).
[[nodiscard]] double figure_by_hand(std::string_view text, Kilograms, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, Grams, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, Litres, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, Percent, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, Minutes, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, Celsius, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, Ebc, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, SpecificGravity, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, BitternessUnits, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, LitresPerKilogram, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, LitresPerHour, Range believable);
[[nodiscard]] double figure_by_hand(std::string_view text, Metres, Range believable);

} // namespace lotwort
