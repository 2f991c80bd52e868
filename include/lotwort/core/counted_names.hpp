// Names that are counted (m1, m2, ..., m10): told apart without a table of them.
#pragma once

#include <functional>
#include <string_view>

namespace lotwort {

// Whether each name comes after the one before, a shorter one before a longer, so that none stands twice; `name_of`
// says what a record goes by, and empty names are passed over.
template <class Records, class NameOfRecord>
[[nodiscard]] bool names_rise(const Records& records, NameOfRecord&& name_of) {
    std::string_view before;
    for (const auto& record : records) {
        const std::string_view name = std::invoke(name_of, record);
        if (name.empty()) continue;
        if (name.size() < before.size() || (name.size() == before.size() && name <= before)) return false;
        before = name;
    }
    return true;
}

} // namespace lotwort
