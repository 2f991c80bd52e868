// What the ledger counts: an amount of stock as a whole number of its smallest unit.
//
// Doubles are for measurements and estimates; a stock that is added to and taken from for ten years must
// come out at exactly nothing when the last of it is used.
#pragma once

#include <cstdint>
#include <lotwort/core/quantity.hpp>
#include <string>

namespace lotwort {

enum class Measure { mass, volume, count };

// mass in mg, volume in uL, count in pieces; signed, so that a change of stock is an Amount too.
struct Amount {
    Measure measure = Measure::mass;
    std::int64_t units = 0;

    [[nodiscard]] static Amount of(Kilograms mass); // rounded to the nearest mg
    [[nodiscard]] static Amount of(Grams mass);
    [[nodiscard]] static Amount of(Litres volume); // rounded to the nearest uL
    [[nodiscard]] static Amount pieces(std::int64_t count) { return {Measure::count, count}; }

    [[nodiscard]] Kilograms kilograms() const; // only for a mass
    [[nodiscard]] Grams grams() const;         // only for a mass
    [[nodiscard]] Litres litres() const;       // only for a volume

    friend bool operator==(const Amount &, const Amount &) = default;
};

// Only amounts of one measure add, subtract and compare; anything else is a bug.
[[nodiscard]] Amount operator+(Amount a, Amount b);
[[nodiscard]] Amount operator-(Amount a, Amount b);
[[nodiscard]] Amount operator-(Amount a);
[[nodiscard]] bool operator<(Amount a, Amount b);

// As a person writes it, exactly: 25 kg, 330 g, 1.5 L, 250 ml, 3 pieces. Below 1 kg in grams, below 1 L in millilitres.
[[nodiscard]] std::string to_text(Amount amount);

} // namespace lotwort
