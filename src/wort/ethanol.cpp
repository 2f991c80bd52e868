#include "range.hpp"
#include <array>
#include <lotwort/wort/ethanol.hpp>

namespace lotwort::wort {

namespace {

// OIML R 22, table of constants; a row of C for each power of (t - 20).
constexpr std::array<double, 12> A{998.20123,   -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388,
                                   306287.4042, -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426};
constexpr std::array<double, 6> B{-0.20618513,    -0.0052682542, 3.6130013e-05,
                                  -3.8957702e-07, 7.169354e-09,  -9.9739231e-11};
constexpr std::array<std::array<double, 11>, 5> C{{
    {0.1693443461530087, -10.46914743455169, 71.96353469546523, -704.7478054272792, 3924.090430035045,
     -12101.64659068747, 22486.46550400788, -26055.62982188164, 18523.73922069467, -7420.201433430137,
     1285.617841998974},
    {-0.0119301300505701, 0.2517399633803461, -2.170575700536993, 13.53034988843029, -50.29988758547014,
     109.635566657757, -142.2753946421155, 108.043594285623, -44.14153236817392, 7.442971530188783},
    {-0.0006802995733503803, 0.01876837790289664, -0.2002561813734156, 1.02299296671922, -2.895696483903638,
     4.810060584300675, -4.672147440794683, 2.458043105903461, -0.5411227621436812},
    {4.075376675622027e-06, -8.76305857347111e-06, 6.515031360099368e-06, -1.51578483698721e-06},
    {-2.788074354782409e-08, 1.345612883493354e-08},
}};

// sum of c[i] x^i
template <std::size_t N>
double polynomial(const std::array<double, N> &c, double x) {
    double sum = 0.0;
    for (std::size_t i = N; i-- > 0;) sum = sum * x + c[i];
    return sum;
}

} // namespace

double ethanol_density_kg_m3(double mass_fraction, double temperature_c) {
    const double dt = temperature_c - 20.0;
    double mixed = 0.0;
    for (std::size_t i = C.size(); i-- > 0;) mixed = (mixed + mass_fraction * polynomial(C[i], mass_fraction)) * dt;
    return polynomial(A, mass_fraction) + dt * polynomial(B, dt) + mixed;
}

KilogramsPerCubicMetre ethanol_density(Percent by_mass, Celsius at) {
    require_range(by_mass.value(), 0.0, 100.0, "ethanol in per cent by mass");
    require_range(at.value(), -20.0, 40.0, "temperature in C of ethanol and water");
    return KilogramsPerCubicMetre(ethanol_density_kg_m3(by_mass.value() / 100.0, at.value()));
}

Percent alcohol_by_volume_of_mixture(Percent by_mass) {
    const double mixture = ethanol_density(by_mass, Celsius(20.0)).value();
    return by_mass * (mixture / ethanol_density_kg_m3(1.0, 20.0));
}

} // namespace lotwort::wort
