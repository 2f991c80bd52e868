// Records to columns and back, by their field lists.
//
// A field's column has the field's name; money is kept in hundredths (price_minor), an amount of stock in the
// column of its measure (mass_mg, volume_ul or pieces; the other two stay NULL). Lists inside a record have
// tables of their own and are passed over here, and so are the fields named in `but`.
#pragma once

#include "sqlite.hpp"
#include <algorithm>
#include <concepts>
#include <fmt/format.h>
#include <initializer_list>
#include <lotwort/core/amount.hpp>
#include <lotwort/core/date.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/stock/lot.hpp>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

namespace lotwort::store {

using Names = std::initializer_list<std::string_view>;

template <class T>
struct OptionalOf : std::false_type {
    using Inner = T;
};
template <class T>
struct OptionalOf<std::optional<T>> : std::true_type {
    using Inner = T;
};

template <class T>
inline constexpr bool is_list = false;
template <class T>
inline constexpr bool is_list<std::vector<T>> = true;

template <class T>
concept Worded = requires {
    WordsOf<T>::list;
};

template <class T>
concept Measured = requires(T t) {
    { t.value() } -> std::same_as<double>;
    T(1.0);
};

template <class Value>
inline constexpr bool has_column = !is_list<Value> && !std::is_same_v<typename OptionalOf<Value>::Inner, Certificate>;

template <class Record, class Visit>
void for_each_column(Names but, Visit&& visit) {
    for_each_field<Record>([&]<class Value>(const Field<Record, Value>& f) {
        if constexpr (has_column<Value>)
            if (std::find(but.begin(), but.end(), f.name) == but.end()) visit(f);
    });
}

// `"name", "kind", ...` in the order of the field list, each after `prefix`.
template <class Record>
std::string columns_of(Names but = {}, std::string_view prefix = "") {
    std::string text;
    const auto add = [&](std::string_view name, std::string_view ending = "") {
        text += fmt::format("{}{}\"{}{}\"", text.empty() ? "" : ", ", prefix, name, ending);
    };
    for_each_column<Record>(but, [&]<class Value>(const Field<Record, Value>& f) {
        using Inner = typename OptionalOf<Value>::Inner;
        if constexpr (std::is_same_v<Inner, Amount>) {
            add("mass_mg");
            add("volume_ul");
            add("pieces");
        } else
            add(f.name, std::is_same_v<Inner, Money> ? "_minor" : "");
    });
    return text;
}

// "?, ?, ?" for as many columns as the text names.
[[nodiscard]] inline std::string marks(std::string_view columns) {
    std::string text = "?";
    for (const char c : columns)
        if (c == ',') text += ", ?";
    return text;
}

// Error(refused) where a figure is no number or not within its range: "item `x`: moisture_pct 45 is not ...".
void check_range(std::string_view whose, std::string_view field, double value, Range range);
void check_text(std::string_view whose, std::string_view field, std::string_view text);

// The figure in the unit its range is stated in.
[[nodiscard]] double in_range_unit(Amount amount);

template <class T>
void bind_value(Query& query, const T& value, std::string_view whose, std::string_view name, Range range) {
    if constexpr (std::is_same_v<T, std::optional<std::string>>) {
        // an empty text says nothing
        if (value && !value->empty())
            bind_value(query, *value, whose, name, range);
        else
            query.null();
    } else if constexpr (OptionalOf<T>::value) {
        if (value)
            bind_value(query, *value, whose, name, range);
        else
            query.null();
    } else if constexpr (std::is_same_v<T, std::string>) {
        check_text(whose, name, value);
        query.text(value);
    } else if constexpr (Worded<T>)
        query.text(word(value));
    else if constexpr (std::is_same_v<T, Date>)
        query.text(to_iso(value));
    else if constexpr (std::is_same_v<T, Money>) {
        check_range(whose, name, static_cast<double>(value.minor) / 100.0, range);
        query.integer(value.minor);
    } else if constexpr (Measured<T>) {
        check_range(whose, name, value.value(), range);
        query.real(value.value());
    } else if constexpr (std::is_same_v<T, Amount>) {
        check_range(whose, name, in_range_unit(value), range);
        for (const auto measure : {Measure::mass, Measure::volume, Measure::count})
            if (measure == value.measure)
                query.integer(value.units);
            else
                query.null();
    } else {
        check_range(whose, name, static_cast<double>(value), range);
        if constexpr (std::is_integral_v<T>)
            query.integer(value);
        else
            query.real(value);
    }
}

[[nodiscard]] Amount read_amount(Query& query); // of the three columns
[[nodiscard]] Date read_date(Query& query);

template <class T>
void read_value(Query& query, T& value) {
    if constexpr (OptionalOf<T>::value) {
        if (query.is_null()) {
            query.skip();
            value.reset();
        } else
            read_value(query, value.emplace());
    } else if constexpr (std::is_same_v<T, std::string>)
        value = query.read_text();
    else if constexpr (Worded<T>) {
        const auto text = query.read_text();
        const auto read = from_word<T>(text);
        if (!read) query.refuse_value(text);
        value = *read;
    } else if constexpr (std::is_same_v<T, Date>)
        value = read_date(query);
    else if constexpr (std::is_same_v<T, Money>)
        value.minor = query.read_integer();
    else if constexpr (Measured<T>)
        value = T(query.read_real());
    else if constexpr (std::is_same_v<T, Amount>)
        value = read_amount(query);
    else if constexpr (std::is_integral_v<T>)
        value = static_cast<T>(query.read_integer());
    else
        value = query.read_real();
}

template <class Record>
void bind_columns(Query& query, const Record& record, std::string_view whose, Names but = {}) {
    for_each_column<Record>(but, [&](const auto& f) { bind_value(query, record.*f.member, whose, f.name, f.range); });
}

template <class Record>
void read_columns(Query& query, Record& record, Names but = {}) {
    for_each_column<Record>(but, [&](const auto& f) { read_value(query, record.*f.member); });
}

// A record's row in `table`, after the leading columns `keys` (whole numbers). Returns the row's id.
template <class Record>
std::int64_t insert(Connection& connection, std::string_view table, std::string_view key_columns,
                    std::initializer_list<std::int64_t> keys, const Record& record, std::string_view whose,
                    Names but = {}) {
    const std::string own = columns_of<Record>(but);
    const std::string columns = fmt::format("{}{}{}", key_columns, own.empty() ? "" : ", ", own);
    Query query(connection, fmt::format("INSERT INTO {} ({}) VALUES ({})", table, columns, marks(columns)));
    for (const auto key : keys) query.integer(key);
    bind_columns(query, record, whose, but);
    return query.run_new();
}

// The lines of a record (a recipe's grist) in their order.
template <class Line>
void insert_lines(Connection& connection, std::string_view table, std::string_view parent_column, std::int64_t parent,
                  const std::vector<Line>& lines, std::string_view whose) {
    const std::string keys = fmt::format("{}, position", parent_column);
    for (std::size_t i = 0; i < lines.size(); ++i)
        insert(connection, table, keys, {parent, static_cast<std::int64_t>(i)}, lines[i], whose);
}

template <class Line>
std::vector<Line> read_lines(Connection& connection, std::string_view table, std::string_view parent_column,
                             std::int64_t parent) {
    Query query(connection, fmt::format("SELECT {} FROM {} WHERE {} = ? ORDER BY position", columns_of<Line>(), table,
                                        parent_column));
    query.integer(parent);
    std::vector<Line> lines;
    while (query.next()) read_columns(query, lines.emplace_back());
    return lines;
}

} // namespace lotwort::store
