// A tank: what it holds and till when. A tank that is filled, emptied or cleaned is stated anew; what it was before
// stays in the ledger.
//
// Days in use are counted from the day that beer is run in; on the day that it is free again it may be filled.
#pragma once

#include <array>
#include <lotwort/core/date.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace lotwort {

// Beer ferments in the one, and is kept bright for packaging in the other.
enum class TankKind { fermenter, bright };

template <>
struct WordsOf<TankKind> {
    static constexpr std::array<std::string_view, 2> list{"fermenter", "bright"};
};

struct Tank {
    std::string name;
    TankKind kind = TankKind::fermenter;
    Litres volume{0.0};
    std::optional<Date> cleaned;      // the last time
    std::optional<std::string> holds; // code of the brew that is in it, of several the first
    std::optional<Date> since;        // the day it was filled or emptied, or its other use began
    std::optional<Date> till;         // when it is free again, where that is stated
    std::optional<std::string>
        used_for; // what it is in use for, where it is no beer of this ledger; with no day: for good
    friend bool operator==(const Tank&, const Tank&) = default;
};

template <>
struct FieldsOf<Tank> {
    static constexpr auto list = Fields{
        field("name", &Tank::name),
        field("kind", &Tank::kind),
        field("volume_l", &Tank::volume, {0.1, 1e6}),
        field("cleaned", &Tank::cleaned),
        field("holds", &Tank::holds),
        field("since", &Tank::since),
        field("till", &Tank::till),
        field("used_for", &Tank::used_for),
    };
};

} // namespace lotwort
