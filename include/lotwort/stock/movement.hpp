// A movement: one change of one lot's stock. Movements are never altered; a wrong one is answered by an
// equal and opposite one that names it.
#pragma once

#include <array>
#include <lotwort/core/amount.hpp>
#include <lotwort/core/date.hpp>
#include <lotwort/core/fields.hpp>
#include <optional>
#include <string>

namespace lotwort {

// move: into another lot that was made of this one. unused: weighed for a brew that was given up, and back.
enum class MovementKind { receipt, brew, count, discard, reversal, return_to_supplier, move, unused };

template <>
struct WordsOf<MovementKind> {
    static constexpr std::array<std::string_view, 8> list{"receipt",  "brew",   "count", "discard",
                                                          "reversal", "return", "move",  "unused"};
};

// Where in the brew an addition goes.
enum class Stage { mash, kettle, boil, stand, fermenter, dry };

template <>
struct WordsOf<Stage> {
    static constexpr std::array<std::string_view, 6> list{"mash", "kettle", "boil", "stand", "fermenter", "dry"};
};

struct Movement {
    std::optional<std::string> id; // unique in its file; what `reverses` of another names
    Date on;
    std::string lot;
    MovementKind kind = MovementKind::count;
    Amount change; // signed; written as mass_kg, volume_l or count
    std::optional<std::string> reason;
    std::optional<std::string> brew;
    std::optional<Stage> stage;
    std::optional<Minutes> minutes;
    std::optional<std::string> reverses;               // id of the movement taken back
    std::optional<std::string> package = std::nullopt; // run that it primed; stated in its brew, and no field here
    friend bool operator==(const Movement&, const Movement&) = default;
};

template <>
struct FieldsOf<Movement> {
    static constexpr auto list = Fields{
        field("id", &Movement::id),
        field("on", &Movement::on),
        field("lot", &Movement::lot),
        field("kind", &Movement::kind),
        field("mass_kg", &Movement::change, {-1e6, 1e6}),
        field("reason", &Movement::reason),
        field("brew", &Movement::brew),
        field("stage", &Movement::stage),
        field("minutes", &Movement::minutes, {0.0, 100000.0}),
        field("reverses", &Movement::reverses),
    };
};

} // namespace lotwort
