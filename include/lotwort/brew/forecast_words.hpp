// One forecast beside another, in a brewer's words.
#pragma once

#include <lotwort/core/estimate.hpp>
#include <string>

namespace lotwort {

// What a glass shows of a forecast.
struct ForecastGlass {
    Estimate original_gravity_sg, colour_ebc, bitterness_ibu, alcohol_abv_pct;
};

template <class Figures>
[[nodiscard]] ForecastGlass glass_of(const Figures& f) {
    return {f.original_gravity_sg, f.colour_ebc, f.bitterness_ibu, f.alcohol_abv_pct};
}

// "gravity 1.0512 instead of 1.0480, 0.4 EBC paler, 2 IBU more". A difference of less than half a point of gravity,
// 0.05 EBC, half a bitterness unit or 0.05 % of alcohol is not named. The gravity is then "as forecast".
[[nodiscard]] std::string difference_words(const ForecastGlass& now, const ForecastGlass& meant);
[[nodiscard]] bool are_alike(const ForecastGlass& now, const ForecastGlass& meant);

} // namespace lotwort
