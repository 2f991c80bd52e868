// The figures of a record against the believable ranges that its fields declare (fields.hpp).
#pragma once

#include <concepts>
#include <fmt/format.h>
#include <lotwort/core/fields.hpp>
#include <optional>
#include <string>
#include <type_traits>

namespace lotwort {

// A figure's value in the field's own unit; none where the field is no figure, or states none.
template <class Value>
[[nodiscard]] std::optional<double> figure_in(const Value& value) {
    if constexpr (std::is_arithmetic_v<Value>)
        return static_cast<double>(value);
    else if constexpr (
        requires {
            { value.value() } -> std::convertible_to<double>;
        } &&
        !requires { *value; })
        return value.value();
    else
        return std::nullopt;
}
template <class Value>
[[nodiscard]] std::optional<double> figure_in(const std::optional<Value>& value) {
    return value ? figure_in(*value) : std::nullopt;
}

// Tells of each figure outside its range, and of each that is no number: tell(field, "is 38, which is not from 0 to
// 1"). Lists within the record are not looked at.
template <class Record, class Tell>
void check_ranges(const Record& record, Tell&& tell) {
    for_each_field<Record>([&](const auto& f) {
        const auto figure = figure_in(record.*f.member);
        if (figure && !f.range.holds(*figure))
            tell(f.name, fmt::format("is {}, which is not from {} to {}", *figure, f.range.least, f.range.most));
    });
}

} // namespace lotwort
