#include "range.hpp"
#include <algorithm>
#include <cctype>
#include <lotwort/core/propagate.hpp>
#include <lotwort/wort/hop_ageing.hpp>
#include <lotwort/wort/hop_analysis.hpp>

namespace lotwort::wort {

namespace {

struct NamedPacking {
    std::string_view word;
    Packing packing;
};

// Best first: a vacuum bag is vacuum, a foil flushed with nitrogen nitrogen. A word counts from its beginning.
constexpr std::array<NamedPacking, 20> packing_words{{
    {"vacuum", Packing::vacuum},
    {"vac", Packing::vacuum},
    {"nitrogen", Packing::nitrogen},
    {"n2", Packing::nitrogen},
    {"inert", Packing::nitrogen},
    {"co2", Packing::nitrogen},
    {"flushed", Packing::nitrogen},
    {"barrier", Packing::barrier},
    {"foil", Packing::barrier},
    {"airtight", Packing::airtight},
    {"air-tight", Packing::airtight},
    {"jar", Packing::airtight},
    {"sealed", Packing::airtight},
    {"bag", Packing::bag},
    {"sack", Packing::bag},
    {"bale", Packing::bag},
    {"box", Packing::bag},
    {"none", Packing::none},
    {"open", Packing::none},
    {"loose", Packing::none},
}};

bool names(const std::string& lower, std::string_view word) {
    for (std::size_t at = lower.find(word); at != std::string::npos; at = lower.find(word, at + 1))
        if (at == 0 || !std::isalnum(static_cast<unsigned char>(lower[at - 1]))) return true;
    return false;
}

void require_storage(const HopStorage& s) {
    require_range(s.alpha.value(), 0.0, 30.0, "alpha acid in per cent");
    require_range(s.alpha_sd.value(), 0.0, 30.0, "standard uncertainty of the alpha acid in per cent");
    require_range(s.days, 0.0, 7300.0, "days from analysis to use");
    require_range(s.temperature.value(), -80.0, 60.0, "storage temperature in C");
    require_range(s.temperature_sd.value(), 0.0, 60.0, "standard uncertainty of the storage temperature in C");
    require_range(s.lost_in_six_months.value(), 0.0, 95.0, "alpha acid lost in six months in per cent");
    require_range(s.lost_in_six_months_sd.value(), 0.0, 95.0, "standard uncertainty of the loss in per cent");
    for (const auto& index : {s.hsi_then, s.hsi_now})
        if (index) require_range(*index, 0.1, 3.0, "hop storage index");
}

Propagated by_time(const HopStorage& s) {
    const StorageFactor factor = storage_factor(s.packing);
    return propagate(
        [&](const auto& x) { return garetz_alpha_pct(x[0], x[1], x[2], x[3], s.days); },
        std::array{s.alpha.value(), s.lost_in_six_months.value(), s.temperature.value(), factor.value},
        std::array{s.alpha_sd.value(), s.lost_in_six_months_sd.value(), s.temperature_sd.value(), factor.sd});
}

Propagated by_index(const HopStorage& s) {
    const double then = s.hsi_then.value_or(fresh_hsi);
    const double then_sd = s.hsi_then ? hsi_share_sd_between * then : fresh_hsi_sd;
    return propagate(
        [](const auto& x) { return hsi_alpha_pct(x[0], x[1], x[2], x[3]); },
        std::array{s.alpha.value(), then, *s.hsi_now, hsi_slope},
        std::array{s.alpha_sd.value(), then_sd, hsi_share_sd_between * *s.hsi_now, hsi_slope_share_sd * hsi_slope});
}

} // namespace

StorageFactor storage_factor(Packing packing) {
    switch (packing) {
    case Packing::none:
    case Packing::bag:
        return {1.0, 0.1};
    case Packing::airtight:
        return {0.75, 0.1};
    case Packing::barrier:
    case Packing::vacuum:
    case Packing::nitrogen:
        return {0.5, 0.1};
    case Packing::unknown:
        return {0.75, 0.15};
    }
    LOTWORT_CHECK(false);
    return {1.0, 0.1};
}

Packing packing_of(std::string_view words) {
    std::string lower(words);
    std::ranges::transform(lower, lower.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    const auto found = std::ranges::find_if(packing_words, [&](const auto& named) { return names(lower, named.word); });
    return found == packing_words.end() ? Packing::unknown : found->packing;
}

AgedAlpha aged_alpha(const HopStorage& storage) {
    require_storage(storage);
    AgedAlpha out;
    out.by_index = storage.hsi_now.has_value();
    const Propagated aged = out.by_index ? by_index(storage) : by_time(storage);
    out.alpha = std::clamp(Percent(aged.value), Percent(0.0), storage.alpha); // no index makes a hop younger
    out.sd = Percent(aged.estimate().sd);
    if (storage.alpha.value() > 0.0) out.share_left = out.alpha / storage.alpha;
    const double lost_then = hsi_loss_pct(storage.hsi_then.value_or(fresh_hsi), hsi_slope);
    out.hsi = storage.hsi_now.value_or(hsi_of_loss(100.0 - out.share_left * (100.0 - lost_then)));
    return out;
}

} // namespace lotwort::wort
