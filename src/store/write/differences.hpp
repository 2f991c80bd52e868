// Where two records of one name part company.
#pragma once

#include <algorithm>
#include <initializer_list>
#include <lotwort/core/fields.hpp>
#include <string>
#include <string_view>

namespace lotwort::store {

// The names of the fields that differ, "recipe, boil_minutes"; empty where none does. `but` are passed over.
template <class Record>
[[nodiscard]] std::string differences(const Record& a, const Record& b, std::initializer_list<std::string_view> but) {
    std::string text;
    for_each_field<Record>([&](const auto& f) {
        if (std::find(but.begin(), but.end(), f.name) != but.end() || a.*f.member == b.*f.member) return;
        text += (text.empty() ? "" : ", ") + std::string(f.name);
    });
    return text;
}

} // namespace lotwort::store
