// The uncertainty of a reading carried through the figures a brewer asks for, held to a Monte Carlo: where the slopes
// alone are enough they agree with the draws; where a figure bends within its width the flag is up, and the second
// order is nearer. docs/methods/instruments.md prints the table.
#include "monte_carlo.hpp"
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/core/propagate.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/blend.hpp>
#include <lotwort/wort/colour.hpp>
#include <lotwort/wort/hop_ageing.hpp>
#include <lotwort/wort/hydrometer.hpp>
#include <lotwort/wort/isomerisation.hpp>
#include <lotwort/wort/refractometer.hpp>
#include <lotwort/wort/volume.hpp>
#include <string>

using namespace lotwort;
using namespace lotwort::wort;
using namespace lotwort::test;

namespace {

constexpr int draws = 100000; // the sd of the drawn sd is 0.2 %

template <std::size_t N, class F>
void hold(const char* what, F&& f, const std::array<double, N>& x, const std::array<double, N>& sd, bool enough) {
    CAPTURE(std::string(what));
    const Propagated p = propagate(f, x, sd);
    const Drawn drawn = monte_carlo(f, x, sd, draws);
    MESSAGE(fmt::format("{}: sd by first order {:.4g}, second {:.4g}, drawn {:.4g}; mean {:.5g}, {:.5g}, {:.5g}{}",
                        what, p.sd, p.second_order_sd, drawn.sd, p.value, p.second_order_mean, drawn.mean,
                        p.first_order_enough ? "" : "; first order is not enough"));
    CHECK(p.first_order_enough == enough);
    const double first_miss = std::abs(p.sd / drawn.sd - 1.0), shift = std::abs(p.value - drawn.mean) / drawn.sd;
    if (enough) {
        CHECK(first_miss < 0.05);
        CHECK(shift < 0.11);
        return;
    }
    CHECK((first_miss > 0.05 || shift > 0.1));
    CHECK(std::abs(p.second_order_mean - drawn.mean) / drawn.sd < shift);
}

const auto stand = [](const auto& x) { return x[0] * isomerisation_ratio(x[1], 100.0); };
const auto aged = [](const auto& x) { return garetz_alpha_pct(x[0], x[1], x[2], x[3], 730.0); };
const auto beer = [](const auto& x) { return morey_ebc(x[0]); };

} // namespace

TEST_CASE("what a brewer reads is read well enough for the slopes alone") {
    MESSAGE("seed ", draw_seed, ", ", draws, " draws a figure");
    hold(
        "extract of 1.048 ± 0.001", [](const auto& x) { return 100.0 * mass_fraction_of_gravity(x[0]); },
        std::array{1.048}, std::array{0.001}, true);
    hold(
        "extract of a stem, 1.048 ± 0.001 at 35 ± 2 °C",
        [](const auto& x) { return 100.0 * mass_fraction_of_mark(x[0], x[1], 20.0); }, std::array{1.048, 35.0},
        std::array{0.001, 2.0}, true);
    hold(
        "alcohol of 12 ± 0.25 and 2.5 ± 0.25 °P", [](const auto& x) { return alcohol_by_volume_pct(x[0], x[1]); },
        std::array{12.0, 2.5}, std::array{0.25, 0.25}, true);
    hold(
        "final gravity of 12 ± 0.2 and 6 ± 0.2 °Bx", [](const auto& x) { return terrill_cubic(x[0], x[1]); },
        std::array{12.0, 6.0}, std::array{0.2, 0.2}, true);
    hold(
        "cold litres of 30 ± 0.3 L at 95 ± 2 °C", [](const auto& x) { return volume_at_l(x[0], 0.12, x[1], 20.0); },
        std::array{30.0, 95.0}, std::array{0.3, 2.0}, true);
    hold(
        "bitterness of 30 ± 1 g, 10 ± 0.5 %, 60 ± 2 min",
        [](const auto& x) { return bitterness_ibu(x[0], x[1], tinseth_utilisation(1.048, x[2]), 20.0); },
        std::array{30.0, 10.0, 60.0}, std::array{1.0, 0.5, 2.0}, true);
    hold("minutes of boil of 30 min at 80 ± 2 °C", stand, std::array{30.0, 80.0}, std::array{1.0, 2.0}, true);
    hold("colour of 12 ± 1 colour units", beer, std::array{12.0}, std::array{1.0}, true);
}

TEST_CASE("where a figure bends within its width the slopes mislead, and that is said") {
    hold("minutes of boil of 30 min at 80 ± 15 °C", stand, std::array{30.0, 80.0}, std::array{1.0, 15.0}, false);
    hold("alpha of 10 % after two years open at 10 ± 8 °C", aged, std::array{10.0, 35.0, 10.0, 1.0},
         std::array{0.5, 12.0, 8.0, 0.1}, false);
    hold(
        "bitterness of 40 ± 12 min of boil",
        [](const auto& x) { return bitterness_ibu(30.0, 10.0, tinseth_utilisation(1.048, x[0]), 20.0); },
        std::array{40.0}, std::array{12.0}, false);
    hold(
        "liquor from 12 to 6 ± 0.8 °P", [](const auto& x) { return dilution_liquor_l(20.0, 0.12, x[0] / 100.0); },
        std::array{6.0}, std::array{0.8}, false);
}
