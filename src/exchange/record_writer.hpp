// Writes any record that has a field list, in its canonical form: fields in the order of the list, absent
// ones and empty lists left out, amounts and money as exact decimals.
#pragma once

#include "exchange_fields.hpp"
#include <lotwort/exchange/json_writer.hpp>
#include <string>
#include <vector>

namespace lotwort {

// units / 10^digits, exactly: 12.345678, -0.5, 25.
[[nodiscard]] std::string decimal_text(std::int64_t units, int digits);

// The amount's field. A brewer weighs malt in kilograms and hops in grams.
void write_amount(JsonWriter& w, Amount amount, bool in_grams);

template <HasFields Record>
void write_record(JsonWriter& w, const Record& record);

template <class Value>
void write_value(JsonWriter& w, const Value& value) {
    if constexpr (HasFields<Value>)
        write_record(w, value);
    else if constexpr (std::is_enum_v<Value>)
        w.value(word(value));
    else if constexpr (std::is_same_v<Value, Money>)
        w.number_text(decimal_text(value.minor, 2));
    else if constexpr (std::is_same_v<Value, DipMark>)
        w.begin_array(JsonWriter::Layout::one_line).value(value.depth).value(value.volume).end_array();
    else if constexpr (is_list<Value>) {
        constexpr bool of_records = HasFields<typename Value::value_type>;
        w.begin_array(of_records ? JsonWriter::Layout::lines : JsonWriter::Layout::one_line);
        for (const auto& entry : value) write_value(w, entry);
        w.end_array();
    } else
        w.value(value);
}

// Whether a field is left out. An empty text says nothing, and no reader takes it.
template <class Value>
[[nodiscard]] bool is_absent(const Value& value) {
    if constexpr (is_optional<Value>)
        return !value || is_absent(*value);
    else if constexpr (is_list<Value> || std::is_same_v<Value, std::string>)
        return value.empty();
    else
        return false;
}

template <class Value>
[[nodiscard]] const auto& present(const Value& value) {
    if constexpr (is_optional<Value>)
        return *value;
    else
        return value;
}
template <class Value>
const auto& present(const Value&&) = delete;

template <class Record, class AnyField>
void write_field(JsonWriter& w, const Record& record, const AnyField& f) {
    const auto& value = value_in(record, f);
    if constexpr (std::is_same_v<std::decay_t<decltype(value)>, Amount>) {
        bool in_grams = false;
        if constexpr (std::is_same_v<Record, Addition>) in_grams = record.stage != Stage::mash;
        write_amount(w, value, in_grams);
    } else if (!is_absent(value)) {
        w.key(f.name);
        write_value(w, present(value));
    }
}

template <class Record>
void write_fields(JsonWriter& w, const Record& record) {
    for_each_exchange_field<Record>([&](const auto& f) { write_field(w, record, f); });
}

template <HasFields Record>
void write_record(JsonWriter& w, const Record& record) {
    w.begin_object(one_line<Record> ? JsonWriter::Layout::one_line : JsonWriter::Layout::lines);
    write_fields(w, record);
    w.end_object();
}

} // namespace lotwort
