#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/brew/forecast_words.hpp>
#include <vector>

namespace lotwort {

namespace {

constexpr double gravity_seen = 0.0005, colour_seen = 0.05, bitterness_seen = 0.5, alcohol_seen = 0.05;

double off(const Estimate& now, const Estimate& meant) {
    return now.value - meant.value;
}

} // namespace

std::string difference_words(const ForecastGlass& now, const ForecastGlass& meant) {
    const double gravity = off(now.original_gravity_sg, meant.original_gravity_sg);
    const double colour = off(now.colour_ebc, meant.colour_ebc);
    const double bitter = off(now.bitterness_ibu, meant.bitterness_ibu);
    const double alcohol = off(now.alcohol_abv_pct, meant.alcohol_abv_pct);
    std::vector<std::string> parts;
    if (std::abs(gravity) >= gravity_seen)
        parts.push_back(fmt::format("gravity {:.4f} instead of {:.4f}", now.original_gravity_sg.value,
                                    meant.original_gravity_sg.value));
    else
        parts.emplace_back("gravity as forecast");
    if (std::abs(colour) >= colour_seen)
        parts.push_back(fmt::format("{:.1f} EBC {}", std::abs(colour), colour > 0.0 ? "darker" : "paler"));
    if (std::abs(bitter) >= bitterness_seen)
        parts.push_back(fmt::format("{:.0f} IBU {}", std::abs(bitter), bitter > 0.0 ? "more" : "less"));
    if (std::abs(alcohol) >= alcohol_seen)
        parts.push_back(fmt::format("{:.1f} % alcohol {}", std::abs(alcohol), alcohol > 0.0 ? "more" : "less"));
    return fmt::format("{}", fmt::join(parts, ", "));
}

bool are_alike(const ForecastGlass& now, const ForecastGlass& meant) {
    return std::abs(off(now.original_gravity_sg, meant.original_gravity_sg)) < gravity_seen &&
           std::abs(off(now.colour_ebc, meant.colour_ebc)) < colour_seen &&
           std::abs(off(now.bitterness_ibu, meant.bitterness_ibu)) < bitterness_seen &&
           std::abs(off(now.alcohol_abv_pct, meant.alcohol_abv_pct)) < alcohol_seen;
}

} // namespace lotwort
