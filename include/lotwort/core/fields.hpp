// The fields of a record, declared once.
//
// A certificate's moisture has one name, one unit and one plausible range, whether it is read from an
// exchange file, kept in a column of the ledger, or typed at the command line. Beside each record stands
// its field list; the exchange, the store and the checks walk that list.
//
//     template <> struct FieldsOf<Item> {
//         static constexpr auto list = Fields{field("name", &Item::name), ...};
//     };
//
// A field's name is its name in the exchange file and its column in the ledger; its unit comes last in it.
#pragma once

#include <limits>
#include <optional>
#include <string_view>
#include <utility>

namespace lotwort {

// Inclusive bounds of what is physically believable, in the field's own unit.
struct Range {
    double least = -std::numeric_limits<double>::infinity();
    double most = std::numeric_limits<double>::infinity();
    [[nodiscard]] constexpr bool holds(double value) const { return value >= least && value <= most; }
};

template <class Record, class Value>
struct Field {
    std::string_view name;
    Value Record::*member;
    Range range;
};

template <class Record, class Value>
[[nodiscard]] constexpr Field<Record, Value> field(std::string_view name, Value Record::*member, Range range = {}) {
    return {name, member, range};
}

// Fields of one record, each of its own type. A std::tuple of thirty is thirty classes deep, and every source would
// compile it again; this is flat.
template <std::size_t At, class F>
struct FieldAt {
    F field;
};

template <class Indices, class... F>
class FlatFields;

template <std::size_t... At, class... F>
class FlatFields<std::index_sequence<At...>, F...> : FieldAt<At, F>... {
public:
    constexpr explicit FlatFields(F... fields) : FieldAt<At, F>{fields}... {}
    // visit(field, ...)
    template <class Visit>
    constexpr decltype(auto) apply(Visit&& visit) const {
        return visit(static_cast<const FieldAt<At, F>&>(*this).field...);
    }
};

template <class... F>
struct Fields : FlatFields<std::index_sequence_for<F...>, F...> {
    constexpr explicit Fields(F... fields) : FlatFields<std::index_sequence_for<F...>, F...>(fields...) {}
};

template <class... F, class... More>
[[nodiscard]] constexpr Fields<F..., More...> joined(const Fields<F...>& first, const Fields<More...>& then) {
    return first.apply([&](const auto&... f) {
        return then.apply([&](const auto&... more) { return Fields<F..., More...>(f..., more...); });
    });
}

template <class Record>
struct FieldsOf; // specialised beside each record

template <class Record, class Visit>
constexpr void for_each_field(Visit&& visit) {
    FieldsOf<Record>::list.apply([&](const auto&... f) { (visit(f), ...); });
}

// The words of an enumeration, in the order of its values; specialised beside each.
template <class Enum>
struct WordsOf; // static constexpr std::array<std::string_view, N> list

template <class Enum>
[[nodiscard]] constexpr std::string_view word(Enum value) {
    return WordsOf<Enum>::list[static_cast<std::size_t>(value)];
}

template <class Enum>
[[nodiscard]] constexpr std::optional<Enum> from_word(std::string_view text) {
    for (std::size_t i = 0; i < WordsOf<Enum>::list.size(); ++i)
        if (WordsOf<Enum>::list[i] == text) return static_cast<Enum>(i);
    return std::nullopt;
}

} // namespace lotwort
