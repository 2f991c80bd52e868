// Where two records of the same name part, field by field.
#pragma once

#include "faults.hpp"
#include "record_writer.hpp"
#include <fmt/format.h>
#include <functional>
#include <initializer_list>
#include <string>
#include <string_view>

namespace lotwort {

// A value as it would be written, cut where it is long; `nothing` where it is absent.
template <class Value>
[[nodiscard]] std::string told(const Value& value) {
    constexpr std::size_t longest = 60;
    if (is_absent(value)) return "nothing";
    std::string text;
    if constexpr (std::is_same_v<Value, Amount>) {
        text = to_text(value);
    } else {
        JsonWriter w(0, JsonWriter::Digits::exact);
        write_value(w, present(value));
        text = std::move(w).text();
        text.pop_back();
    }
    if (text.size() <= longest) return text;
    std::size_t cut = longest;
    while ((static_cast<unsigned char>(text[cut]) & 0xC0U) == 0x80U) --cut; // not within a letter
    return text.substr(0, cut) + " ...";
}

// How a line begins; asked only where it is told.
using Prefix = std::function<std::string()>;

// Adds a line for each field in which the file's record differs from the ledger's:
// `source: lot PM-01: price: 32.5 in the file, 31 in the ledger`. Fields in `aside` are not looked at.
template <class Record>
void list_differences(const Record& file, const Record& ledger, const Prefix& prefix,
                      std::initializer_list<std::string_view> aside, FaultLines& lines) {
    for_each_exchange_field<Record>([&](const auto& f) {
        const auto& here = value_in(file, f);
        const auto& there = value_in(ledger, f);
        if (here == there || (is_absent(here) && is_absent(there))) return;
        if (std::find(aside.begin(), aside.end(), f.name) != aside.end()) return;
        using Value = std::decay_t<decltype(here)>;
        if constexpr (is_optional<Value>) {
            if constexpr (HasFields<typename Value::value_type>) {
                if (here && there)
                    return list_differences(
                        *here, *there, [&] { return fmt::format("{}{}.", prefix(), f.name); }, {}, lines);
            }
        }
        lines.add([&] {
            return fmt::format("{}{}: {} in the file, {} in the ledger", prefix(), f.name, told(here), told(there));
        });
    });
}

} // namespace lotwort
