// Bitterness from hops in the boil.
//
// How much of a hop's alpha acid ends in the beer as bitterness depends on how long it boils and how strong
// the wort is. Tinseth's published table and its formula:
//
//     U = 1.65 * 0.000125^(SG - 1) * (1 - exp(-0.04 min)) / 4.15
//     IBU = U * alpha acid in mg / litres
//
// G. Tinseth, hop utilisation numbers, 1995. SG is the mean of kettle full and cast-out, true SG 20/20. The table
// runs over 1.030 to 1.130 and 0 to 120 min (three decimals, tests/golden/tinseth.tsv); a brewhouse may differ by
// a fifth, which is why its own factor is worth finding. Minutes in a stand, or at altitude, are first brought to
// minutes of boil (isomerisation.hpp).
#pragma once

#include <array>
#include <cmath>
#include <lotwort/core/dual.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

// Utilisation as a fraction of the alpha acid. Gravity and minutes are each double or Dual<N>.
template <class Gravity, class Time>
[[nodiscard]] auto tinseth_utilisation(Gravity gravity, Time boil_minutes) {
    using std::exp;
    constexpr double ln_base = -8.987196820661973; // ln 0.000125
    return 1.65 / 4.15 * (1.0 - exp(-0.04 * boil_minutes)) * exp(ln_base * (gravity - 1.0));
}

// mg/L of iso-alpha acid from a mass of hops.
template <class Mass, class Alpha, class Utilisation, class Volume>
[[nodiscard]] constexpr auto bitterness_ibu(Mass mass_g, Alpha alpha_pct, Utilisation utilisation, Volume volume_l) {
    return utilisation * mass_g * alpha_pct * 10.0 / volume_l;
}

// The grams of hops that give that bitterness.
template <class Bitterness, class Alpha, class Utilisation, class Volume>
[[nodiscard]] constexpr auto hops_g(Bitterness ibu, Alpha alpha_pct, Utilisation utilisation, Volume volume_l) {
    return ibu * volume_l / (10.0 * alpha_pct * utilisation);
}

// Error(refused) for negative minutes or a gravity outside 0.99 to 1.2.
[[nodiscard]] double utilisation(SpecificGravity gravity, Minutes boil);

// Error(refused) where the volume is nothing.
[[nodiscard]] BitternessUnits bitterness(Grams hops, Percent alpha, double utilisation, Litres beer);

// The hops that give that bitterness. Error(refused) where the alpha or the utilisation is nothing.
[[nodiscard]] Grams hops_for(BitternessUnits bitterness, Percent alpha, double utilisation, Litres beer);

// Bitterness units over gravity points, the brewer's measure of balance. Error(refused) unless the wort is above 1.
[[nodiscard]] double bitterness_ratio(BitternessUnits bitterness, SpecificGravity original);

// The words for it. Common practice without a source: below 0.3 soft, to 0.6 balanced, to 1 bitter, above 1 firmly
// bitter, as a firmly bitter pale ale is.
enum class Balance { soft, balanced, bitter, firmly_bitter };
[[nodiscard]] Balance balance_of(double bitterness_ratio);

// Grams of dry hops a litre. The words are common practice without a source: below 1.5 light, to 5 modest, to 10
// generous, above that heavy. Error(refused) where the volume is nothing.
[[nodiscard]] double dry_hop_rate_g_per_l(Grams hops, Litres beer);
enum class DryHopping { none, light, modest, generous, heavy };
[[nodiscard]] DryHopping dry_hopping_of(double rate_g_per_l);

} // namespace lotwort::wort

namespace lotwort {
template <>
struct WordsOf<wort::Balance> {
    static constexpr std::array<std::string_view, 4> list{"soft", "balanced", "bitter", "firmly bitter"};
};
template <>
struct WordsOf<wort::DryHopping> {
    static constexpr std::array<std::string_view, 5> list{"none", "light", "modest", "generous", "heavy"};
};
} // namespace lotwort
