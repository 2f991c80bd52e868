#include "trend_words.hpp"
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

// With its sign, but never "-0.0".
std::string sign(double share) {
    const std::string text = fixed(100.0 * share, 1);
    return text.starts_with('-') || text == "0.0" ? text : "+" + text;
}

} // namespace

std::string signed_pct(double share) {
    return sign(share) + " %";
}

std::string difference(const Estimate& e) {
    return fmt::format("{} to {} %", sign(e.low), sign(e.high));
}

LearnedWords learned_words(const std::string& name, const Estimate& e) {
    const bool share =
        name.starts_with("attenuation") || name.starts_with("conversion per") || name.starts_with("packaged");
    const double times = share ? 100.0 : 1.0;
    const char* unit = share ? "%" : "";
    return {with_sd(times * e.value, times * e.sd, unit), interval(times * e.low, times * e.high, times * e.sd, unit)};
}

std::string headline(const Learning& l) {
    std::string text;
    for (const auto& d : l.drift)
        text += wrapped(fmt::format("{} {} by {:.1f} % ({} to {}) from {} on: signalled at {} (p = {}).",
                                    d.quantity == "lauter" ? "Lautering" : "Conversion", d.change < 0 ? "fell" : "rose",
                                    100.0 * std::abs(d.change), signed_pct(d.low), signed_pct(d.high), d.from_brew,
                                    d.signalled_at, d.p_value < 0.001 ? "0.001 or less" : fixed(d.p_value, 3)),
                        2);
    std::size_t odd = 0;
    for (const auto& lot : l.lots) {
        if (!lot.is_odd) continue;
        ++odd;
        text += wrapped(fmt::format("Lot {} ({}) is odd: {} against what lots of its malt usually are ({}), p = {}; "
                                    "against its certificate {} ({}).",
                                    lot.lot, lot.item, signed_pct(lot.against_malt.value), difference(lot.against_malt),
                                    lot.p_value < 0.001 ? "0.001 or less" : fixed(lot.p_value, 3),
                                    signed_pct(lot.difference.value), difference(lot.difference)),
                        2);
    }
    const double by_chance = odd_lot_level * static_cast<double>(l.lots.size());
    if (odd > 0 && by_chance >= 1.0)
        text += wrapped(
            fmt::format("Of {} lots, some {} would look odd by chance alone.", l.lots.size(), fixed(by_chance, 0)), 2);
    return text.empty() ? "Nothing has moved, and no lot is odd, as far as the readings can tell.\n" : text;
}

} // namespace lotwort::report
