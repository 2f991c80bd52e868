// An efficiency that is told, in what is concluded from brews: there before the first reading, overtaken by many.
#include "../../src/infer/learn/model.hpp"
#include "../../src/infer/reconcile/equations.hpp"
#include "near.hpp"
#include "simulated_brew.hpp"
#include "simulated_house.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <Eigen/Dense>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/infer/learn.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/infer/score.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::infer_detail;

namespace {

SimulatedHouse typical_house(unsigned seed, int brews) {
    HouseWish wish = read_whole(seed, brews);
    wish.typical = true;
    return SimulatedHouse(wish);
}

Brewhouse telling(Brewhouse house, double percent, double sd) {
    house.efficiency_fermenter = Percent(percent);
    house.efficiency_sd = Percent(sd);
    return house;
}

double sd_of_brewhouse_efficiency(ReconcileInput in) {
    in.brew.readings.clear();
    return reconcile(in).efficiencies.brewhouse.estimate->sd;
}

} // namespace

TEST_CASE("without readings a brew is concluded to be what its forecast said, and as surely") {
    auto house = typical_house(21, 1);
    auto in = house.request.brews.front();
    in.brewhouse = telling(in.brewhouse, 68.0, 2.0);
    in.brew.readings.clear();
    double mass = 0.0;
    std::vector<std::pair<std::string, double>> malts;
    for (const auto& a : in.brew.additions) mass += a.amount.kilograms().value();
    for (const auto& a : in.brew.additions) malts.emplace_back(a.lot, a.amount.kilograms().value() / mass);
    const Forecast f = forecast(house.recipe, house.recipe.volume, kit_of(in.brewhouse), house.planned(malts, mass), {},
                                Kilograms(0.0));
    const auto r = reconcile(in);
    const Estimate& concluded = *r.efficiencies.brewhouse.estimate;
    CHECK(concluded.value == near(f.brewhouse_efficiency, 0.01));
    // the forecast is of liquor that is measured out, a brew without readings is of liquor that nobody measured
    const double untold = sd_of_brewhouse_efficiency([&] {
        auto plain = in;
        plain.brewhouse = without_told_efficiency(plain.brewhouse);
        return plain;
    }());
    CHECK(concluded.sd < 0.9 * untold);
    // apart from each other the five figures would be known less well together
    const Kit kit = kit_of(in.brewhouse);
    auto apart = in;
    apart.brewhouse = without_told_efficiency(in.brewhouse);
    apart.brewhouse.conversion = Percent(100.0 * kit.conversion);
    apart.brewhouse.conversion_sd = Percent(100.0 * kit.conversion_sd);
    apart.brewhouse.lauter_of_expected = Percent(100.0 * kit.lauter_of_expected);
    apart.brewhouse.lauter_sd = Percent(100.0 * kit.lauter_sd);
    apart.brewhouse.kettle_loss = Litres(kit.kettle_loss_l);
    apart.brewhouse.kettle_loss_sd = Litres(kit.kettle_loss_sd_l);
    apart.brewhouse.absorption = LitresPerKilogram(kit.absorption_l_per_kg);
    apart.brewhouse.absorption_sd = LitresPerKilogram(kit.absorption_sd_l_per_kg);
    apart.brewhouse.boil_off = LitresPerHour(kit.boil_off_l_per_h);
    apart.brewhouse.boil_off_sd = LitresPerHour(kit.boil_off_sd_l_per_h);
    CHECK(concluded.sd < 0.97 * sd_of_brewhouse_efficiency(apart));
}

TEST_CASE("learning's sentences that follow one another have the covariance of the levels") {
    const auto house = typical_house(22, 0);
    const Brewhouse told = telling(*house.request.brewhouse, 66.0, 1.0);
    const HousePrior p = house_prior(told);
    const Kit kit = kit_of(told);
    REQUIRE(kit.level_covariance);
    // x = F x + e, e apart from each other: the covariance is (I - F)^-1 diag(apart^2) (I - F)^-T
    constexpr auto n = static_cast<Eigen::Index>(house_figures);
    Eigen::MatrixXd left = Eigen::MatrixXd::Identity(n, n), apart = Eigen::MatrixXd::Zero(n, n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const auto a = static_cast<std::size_t>(i);
        apart(i, i) = p.apart_sd[a] * p.apart_sd[a];
        for (Eigen::Index j = 0; j < n; ++j) left(i, j) -= p.follows[a][static_cast<std::size_t>(j)];
    }
    const Eigen::MatrixXd inverse = left.inverse(), covariance = inverse * apart * inverse.transpose();
    const std::array<double, house_figures> unit{kit.conversion, kit.lauter_of_expected, 1.0, 1.0, 1.0};
    for (std::size_t i = 0; i < house_figures; ++i)
        for (std::size_t j = 0; j < house_figures; ++j) {
            CAPTURE(i);
            CAPTURE(j);
            const double wanted = (*kit.level_covariance)[i][j] / (unit[i] * unit[j]);
            const double size =
                std::sqrt((*kit.level_covariance)[i][i] * (*kit.level_covariance)[j][j]) / (unit[i] * unit[j]);
            CHECK(covariance(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) ==
                  near(wanted, 0.0, 1e-3 * size));
        }
    CHECK(std::exp(p.mean[0]) == near(kit.conversion));
    CHECK(kit.level_covariance->at(0).at(4) > 0.0);
}

TEST_CASE("before the first brew learning says what was told, and many brews overtake it") {
    const auto learned_level = [](int brews, std::optional<double> told) {
        auto house = typical_house(23, brews);
        if (told) {
            for (auto& brew : house.request.brews) brew.brewhouse = telling(brew.brewhouse, *told, 3.0);
            house.request.brewhouse = telling(*house.request.brewhouse, *told, 3.0);
        }
        house.request.scales = Scales::as_stated;
        const Learned next = learn(house.request).next;
        return next.mean[0] + next.mean[1]; // ln conversion and lautering
    };
    const double untold_first = learned_level(0, {}), told_first = learned_level(0, 55.0);
    const double untold_few = learned_level(3, {}), told_few = learned_level(3, 55.0);
    const double untold_many = learned_level(24, {}), told_many = learned_level(24, 55.0);
    CHECK(untold_first - told_first > 0.1);
    CHECK(untold_few - told_few > 0.005); // learning takes it as what is known so far
    // what marks and hydrometer may err by in every brew is all that it can still decide
    CHECK(std::abs(untold_many - told_many) < 0.5 * (untold_first - told_first));
    CHECK(std::abs(untold_many - told_many) < 0.8 * std::abs(untold_few - told_few));
}

TEST_CASE("what two brews of one fermenter share is their house's, and another house's levels are others") {
    for (const bool is_told : {false, true}) {
        auto first = simulate({}).input, second = simulate({.grist_kg = 4.1}).input;
        second.brew.code = "B2";
        second.brew.fermented_with = "B1";
        for (auto* in : {&first, &second})
            if (is_told) in->brewhouse = telling(in->brewhouse, 70.0, 3.0);
        const auto have_in_common = [&] {
            auto asked = second;
            asked.earlier_in_fermenter = {first};
            const BrewModel model = brew_model(asked);
            const auto of = [&](std::string_view id) {
                return *std::ranges::find(model.equations, id, &BrewEquation::id);
            };
            const BrewEquation a = of("expect:conversion"), b = of("B1:expect:conversion");
            return std::ranges::any_of(a.shared, [&](const SharedError& e) {
                return std::ranges::find(b.shared, e.source, &SharedError::source) != b.shared.end();
            });
        };
        CAPTURE(is_told);
        CHECK(have_in_common());
        second.brewhouse.name = "another";
        CHECK_FALSE(have_in_common());
    }
}
