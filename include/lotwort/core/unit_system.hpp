// Whose units people work in: a house's preference. Values are metric everywhere; only answers are said in others.
#pragma once

#include <array>
#include <lotwort/core/fields.hpp>
#include <string_view>

namespace lotwort {

enum class UnitSystem { metric, us };

template <>
struct WordsOf<UnitSystem> {
    static constexpr std::array<std::string_view, 2> list{"metric", "us"};
};

} // namespace lotwort
