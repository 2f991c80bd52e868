#include "range.hpp"
#include <array>
#include <cmath>
#include <lotwort/wort/alcohol.hpp>

namespace lotwort::wort {

namespace {

void require_fermentation(Plato original, Plato left, const std::string &which) {
    require_range(original.value(), 0.0, 35.0, "original extract in Plato");
    require_range(left.value(), least_plato, original.value(), which + " extract in Plato");
}

// Per cent of the original extract that is gone.
Percent share_gone(Plato original, Plato left, const std::string &which) {
    require_fermentation(original, left, which);
    require_range(original.value(), 1e-6, 35.0, "original extract in Plato");
    return Percent(100.0 * ((original - left) / original));
}

struct DutyBand {
    double upper_points;
    double factor;
};

constexpr std::array<DutyBand, 11> duty_bands{{{6.9, 0.125},
                                               {10.4, 0.126},
                                               {17.2, 0.127},
                                               {26.1, 0.128},
                                               {36.0, 0.129},
                                               {46.5, 0.130},
                                               {57.1, 0.131},
                                               {67.9, 0.132},
                                               {78.8, 0.133},
                                               {89.7, 0.134},
                                               {100.7, 0.135}}};

} // namespace

Plato real_extract(Plato original, Plato apparent) {
    require_fermentation(original, apparent, "apparent");
    return Plato(balling_real_extract(original.value(), apparent.value()));
}

Percent alcohol_by_mass(Plato original, Plato apparent) {
    return Percent(balling_alcohol_by_mass(original.value(), real_extract(original, apparent).value()));
}

Percent alcohol_by_volume(Plato original, Plato apparent) {
    require_fermentation(original, apparent, "apparent");
    return Percent(alcohol_by_volume_pct(original.value(), apparent.value()));
}

Percent alcohol_by_volume(SpecificGravity original, SpecificGravity final) {
    return alcohol_by_volume(plato(original), plato(final));
}

Plato original_extract(Percent alcohol_by_mass, Plato real) {
    require_range(alcohol_by_mass.value(), 0.0, 20.0, "alcohol in per cent by mass");
    require_range(real.value(), 0.0, 35.0, "real extract in Plato");
    return Plato(balling_original_extract(alcohol_by_mass.value(), real.value()));
}

Percent apparent_attenuation(Plato original, Plato apparent) {
    return share_gone(original, apparent, "apparent");
}

Percent real_attenuation(Plato original, Plato real) {
    return share_gone(original, real, "real");
}

Percent real_degree_of_fermentation(Plato original, Plato real) {
    return real_attenuation(original, real) / (1.0 - 0.005161 * real.value());
}

Percent alcohol_by_volume_duty_rule(SpecificGravity original, SpecificGravity final) {
    // The table is printed in tenths of a point.
    const double points = std::round(10000.0 * (original - final).value()) / 10.0;
    require_range(points, 0.0, duty_bands.back().upper_points, "gravity points fermented");
    for (const DutyBand &band : duty_bands)
        if (points <= band.upper_points) return Percent(points * band.factor);
    LOTWORT_CHECK(false);
    return Percent();
}

} // namespace lotwort::wort
