// Hops age: what is left of the alpha acid on the day they are used.
//
// A certificate is of one day. Warm and open hops lose half their alpha in half a year; frozen under vacuum they lose a
// few per cent. Two roads lead from the day of analysis to the day of use.
//
// By time, temperature and packing (M. Garetz, Brewing Techniques 2 (1994) no. 1):
//
//     alpha = alpha_0 exp(-k TF SF days),   k = -ln(1 - lost/100)/180,   TF = 2^((t - 20)/15)
//
// `lost` is the per cent of its alpha that the hop loses in six months at 20 C unpacked: how well that kind of hop
// keeps. Nobody's certificate states it, so it is assumed: 35 +- 12, for which published tables run from 15 to 65
// (recalled). SF is 1 open or in a plain bag, 0.75 airtight with its air, 0.5 under vacuum, in nitrogen or in a barrier
// foil (recalled, taken as +- 0.1; not known: 0.75 +- 0.15).
//
// By the hop storage index, where a laboratory has measured it again: the index rises as the acids go,
//
//     lost = 110 log10(HSI/0.25)   per cent of alpha + beta, from the fresh hop on
//
// G. B. Nickerson and S. T. Likens, J. Am. Soc. Brew. Chem. 37 (1979) 184-187: slopes of 101.8 to 114.6 by crop, so
// +- 6 %; then alpha = alpha_0 (100 - lost now)/(100 - lost then). An index nobody has measured at the analysis is
// taken as that of a fresh hop, 0.25 +- 0.03. Alpha goes somewhat faster than beta, so this road flatters an old hop.
//
// The templates are in plain numbers, Real double or Dual<N>, and unchecked.
#pragma once

#include <array>
#include <cmath>
#include <lotwort/core/dual.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>
#include <optional>
#include <string_view>

namespace lotwort::wort {

inline constexpr double fresh_hsi = 0.25, fresh_hsi_sd = 0.03;
inline constexpr double hsi_slope = 110.0, hsi_slope_share_sd = 0.06;
inline constexpr double typical_lost_in_six_months_pct = 35.0, typical_lost_in_six_months_sd = 12.0;

// Per cent of alpha + beta lost since the hop was fresh; none below the fresh index.
template <class Index, class Slope>
[[nodiscard]] auto hsi_loss_pct(Index hsi, Slope slope) {
    using std::log;
    using Real = Wider<Index, Slope>;
    if (value_of(hsi) <= fresh_hsi) return Real(0.0);
    return Real(slope * log(hsi / fresh_hsi) / 2.302585092994046);
}

// The index at which so much is lost.
template <class Loss>
[[nodiscard]] Loss hsi_of_loss(Loss lost_pct, double slope = hsi_slope) {
    using std::exp;
    return fresh_hsi * exp(lost_pct * (2.302585092994046 / slope));
}

template <class Real>
[[nodiscard]] Real garetz_temperature_factor(Real t) {
    using std::exp;
    return exp((t - 20.0) * (0.6931471805599453 / 15.0));
}

// k, per day, of a hop that loses so many per cent in six months at 20 C.
template <class Real>
[[nodiscard]] Real garetz_rate_per_day(Real lost_in_six_months_pct) {
    using std::log;
    return -log(1.0 - lost_in_six_months_pct / 100.0) / 180.0;
}

template <class Alpha, class Lost, class Temperature, class Factor, class Days>
[[nodiscard]] auto garetz_alpha_pct(Alpha alpha_pct, Lost lost_in_six_months_pct, Temperature t, Factor storage_factor,
                                    Days days) {
    using std::exp;
    return alpha_pct *
           exp(-garetz_rate_per_day(lost_in_six_months_pct) * garetz_temperature_factor(t) * storage_factor * days);
}

// Alpha now from alpha then by the two indices.
template <class Alpha, class Then, class Now, class Slope>
[[nodiscard]] auto hsi_alpha_pct(Alpha alpha_pct, Then hsi_then, Now hsi_now, Slope slope) {
    return alpha_pct * (100.0 - hsi_loss_pct(hsi_now, slope)) / (100.0 - hsi_loss_pct(hsi_then, slope));
}

enum class Packing { none, bag, airtight, barrier, vacuum, nitrogen, unknown };

struct StorageFactor {
    double value;
    double sd;
};
[[nodiscard]] StorageFactor storage_factor(Packing packing);

// The packing that a brewer's own words name ("vacuum bag", "N2 flushed foil"): the best that is named; unknown where
// none is. Capitals do not matter.
[[nodiscard]] Packing packing_of(std::string_view words);

// What is known of a hop since it was analysed. Each sd is one standard uncertainty.
struct HopStorage {
    Percent alpha;
    Percent alpha_sd;
    double days = 0.0; // from the analysis to the use
    Celsius temperature;
    CelsiusDifference temperature_sd;
    Packing packing = Packing::unknown;
    std::optional<double> hsi_then; // at the analysis
    std::optional<double> hsi_now;  // measured at the use, or shortly before
    Percent lost_in_six_months = Percent(typical_lost_in_six_months_pct);
    Percent lost_in_six_months_sd = Percent(typical_lost_in_six_months_sd);
};

struct AgedAlpha {
    Percent alpha;
    Percent sd;
    double share_left = 1.0; // of the alpha at the analysis
    double hsi = fresh_hsi;  // measured, or as it will be
    bool by_index = false;   // by hsi_now, else by time, temperature and packing
};

// Error(refused): alpha outside 0 to 30 %, days outside 0 to 7300, temperature outside -80 to 60 C, an index outside
// 0.1 to 3, lost_in_six_months outside 0 to 95 %.
[[nodiscard]] AgedAlpha aged_alpha(const HopStorage& storage);

} // namespace lotwort::wort

namespace lotwort {
template <>
struct WordsOf<wort::Packing> {
    static constexpr std::array<std::string_view, 7> list{"none",   "bag",      "airtight", "barrier",
                                                          "vacuum", "nitrogen", "unknown"};
};
} // namespace lotwort
