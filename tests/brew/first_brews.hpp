// First brews of simulated houses, each forecast from a volume alone and from an efficiency that its brewer tells: the
// judge of what one number is worth.
#pragma once

namespace lotwort::test {

struct FirstBrews {
    int brews = 0;
    double gravity_rms = 0.0;  // of forecast less truth, specific gravity
    double volume_rms_l = 0.0;
    double efficiency_rms = 0.0; // of the extract in the fermenter, points
    double gravity_held = 0.0; // share of brews within the 90 % interval
    double volume_held = 0.0;
};

struct WithAndWithout {
    FirstBrews with, without;
};

// Houses of 23 L whose levels lie about the typical ones by `wide` times what kit_of takes as a level's sd; brews lie
// about their house's level as kit_of has it, malts about the typical extract. What is told is the house's mean brew,
// give or take `told_sd` points, into the fermenter. Both forecasts are of a grist and liquor planned by the same kit.
[[nodiscard]] WithAndWithout forecast_first_brews(int houses, double wide, double told_sd, unsigned long long seed);

} // namespace lotwort::test
