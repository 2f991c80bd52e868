#include "expectations.hpp"
#include "readings.hpp"
#include <algorithm>
#include <cmath>
#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <fmt/format.h>
#include <lotwort/brew/liquor.hpp>
#include <optional>

namespace lotwort::infer_detail {

namespace {

struct BoilAndTarget {
    double boil_hours = 1.0;
    double target_l = 0.0;
};

BoilAndTarget boil_and_target(const ReconcileInput& in, const Kit& kit, std::vector<std::string>& remarks) {
    BoilAndTarget out{1.0, in.recipe ? in.recipe->volume.value() : kit.volume_l};
    if (in.brew.boil)
        out.boil_hours = in.brew.boil->value() / 60.0;
    else if (in.recipe && in.recipe->boil)
        out.boil_hours = in.recipe->boil->value() / 60.0;
    else
        remarks.emplace_back("the boil's length is not known: 60 minutes are assumed");
    // a recipe written for another size says nothing of this brewhouse's volume
    if (out.target_l > 1.6 * kit.volume_l || out.target_l < 0.4 * kit.volume_l) out.target_l = kit.volume_l;
    return out;
}

// Adds expectations of one brew, each to one of its mashes or to its kettle.
class Expected {
public:
    Expected(const std::string& house, const Kit& kit, std::size_t brew, BrewModel& model)
        : house_(house), brew_(brew), model_(model), factor_(factor_of(kit)) {}

    // sd: of one brew, the level's share in it.
    BrewEquation& add(std::string name, std::string kind, std::string unit, Quantity quantity, std::size_t mash,
                      double value, double sd, double level_sd = 0.0) {
        BrewEquation e;
        e.id = "expect:" + name + (mash > 0 ? fmt::format("-{}", mash + 1) : "");
        e.point = name;
        e.kind = std::move(kind);
        e.unit = std::move(unit);
        e.quantity = quantity;
        e.brew = brew_;
        e.mash = mash;
        e.observed = value;
        e.own_sd = std::sqrt(std::max(sd * sd - level_sd * level_sd, 0.0));
        e.level_sd = level_sd;
        // what all brews of the house share, two mashes and two brews of one fermenter share too
        if (level_sd > 0.0) e.shared.push_back({fmt::format("{}: level of {}", house_, e.point), level_sd});
        e.is_expectation = true;
        return model_.equations.emplace_back(std::move(e));
    }
    // Where the liquor was read, the expectation stands by for it.
    void add_liquor(std::string name, Quantity instead_of, Quantity quantity, std::size_t mash, double value,
                    double sd) {
        const bool read = is_read(mash, instead_of);
        auto& e = add(std::move(name), "volume", "l", quantity, mash, value, sd);
        if (!read) return;
        model_.stand_ins.push_back({instead_of, std::move(e)});
        model_.equations.pop_back();
    }
    void add_liquor(std::string name, Quantity quantity, std::size_t mash, double value, double sd) {
        add_liquor(std::move(name), quantity, quantity, mash, value, sd);
    }
    [[nodiscard]] bool is_read(std::size_t mash, Quantity quantity) const {
        return infer_detail::is_read(model_, brew_, mash, quantity);
    }

    // An expectation of one of the house's figures (HouseFigure), of which the quantity has so many units. Where an
    // efficiency ties the figures' levels together, all have them in common.
    void add_figure(std::string name, std::string kind, std::string unit, Quantity quantity, std::size_t mash,
                    double value, double sd, double level_sd, std::size_t figure, double units) {
        auto& e = add(std::move(name), std::move(kind), std::move(unit), quantity, mash, value, sd, level_sd);
        if (!factor_) return;
        e.shared.clear();
        for (Eigen::Index k = 0; k <= static_cast<Eigen::Index>(figure); ++k)
            e.shared.push_back(
                {fmt::format("{}: level {}", house_, k + 1), units * (*factor_)(static_cast<Eigen::Index>(figure), k)});
    }

private:
    using Factor = Eigen::Matrix<double, 5, 5>;
    static std::optional<Factor> factor_of(const Kit& kit) {
        if (!kit.level_covariance) return std::nullopt;
        Factor covariance;
        for (Eigen::Index i = 0; i < 5; ++i)
            for (Eigen::Index j = 0; j < 5; ++j)
                covariance(i, j) = (*kit.level_covariance)[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
        // a figure that is known for certain stays certain
        covariance.diagonal() += covariance.diagonal() * 1e-12 + Eigen::Vector<double, 5>::Constant(1e-24);
        return Factor(covariance.llt().matrixL());
    }

    const std::string& house_; // another house's levels are others
    std::size_t brew_;
    BrewModel& model_;
    std::optional<Factor> factor_; // of the levels' covariance
};

// The grist's extract, with what ties it to another mash: the same lot, the same balance.
void expect_grist(Expected& expected, const MashGrist& grist, std::size_t mash) {
    auto& e = expected.add("grist", "extract", "kg", Quantity::grist_extract, mash, grist.extract_kg,
                           grist.own_weighing_sd_kg);
    for (const auto& [lot, sd] : grist.lot_error_kg) e.shared.push_back({"lot " + lot, sd});
    for (const auto& [balance, sd] : grist.balance_error_kg) e.shared.push_back({"balance " + balance, sd});
}

// Liquor that nobody measured is expected as the brewhouse is used to, widely.
void expect_liquor(Expected& expected, const Kit& kit, const std::vector<MashGrist>& grists, double total_l) {
    const bool no_sparge = kit.sparge == Sparge::none;
    double grist_kg = 0.0;
    for (const auto& grist : grists) grist_kg += grist.mass_kg;
    for (std::size_t m = 0; m < grists.size(); ++m) {
        const double part = total_l * grists[m].mass_kg / grist_kg,
                     strike = kit.mash_ratio_l_per_kg * grists[m].mass_kg;
        if (no_sparge) {
            expected.add_liquor("sparge-liquor", Quantity::sparge_liquor, m, 0.0, 0.001 * kit.volume_l);
            expected.add_liquor("strike-liquor", Quantity::strike_liquor, m, part, 0.1 * part);
            continue;
        }
        expected.add_liquor("strike-liquor", Quantity::strike_liquor, m, strike,
                            kit.mash_ratio_sd_l_per_kg * grists[m].mass_kg);
        if (grists.size() > 1) // one sum could not tell two mashes' sparges apart
            expected.add_liquor("sparge-liquor", Quantity::sparge_liquor, m, std::max(part - strike, 0.1 * part),
                                0.2 * part);
    }
    if (!no_sparge && grists.size() == 1)
        expected.add_liquor("liquor-in-all", Quantity::sparge_liquor, Quantity::liquor_total, 0, total_l,
                            0.1 * total_l);
}

} // namespace

void add_expectations(const ReconcileInput& in, const Kit& kit, const std::vector<MashGrist>& grists, double hop_kg,
                      std::size_t brew, BrewModel& model) {
    const auto [hours, target_l] = boil_and_target(in, kit, model.remarks);
    MashGrist all;
    for (const auto& grist : grists) {
        all.mass_kg += grist.mass_kg;
        all.moisture_kg += grist.moisture_kg;
        all.extract_kg += grist.extract_kg;
    }
    const double loss = kit.kettle_loss_l + kit.hop_absorption_l_per_kg * hop_kg;
    const double boil_off = kit.boil_off_l_per_h * hours;
    const auto held = [&](const MashGrist& grist) { return kit.absorption_l_per_kg * grist.mass_kg + kit.tun_loss_l; };
    double held_in_all = 0.0;
    for (const auto& grist : grists) held_in_all += held(grist);
    auto& me = model.brews[brew];
    const BrewFacts facts{all.moisture_kg, all.mass_kg - all.moisture_kg, me.kettle.sugar_kg, me.kettle.sugar_water_kg,
                          kit.wash_stages};
    const double total = liquor_for_volume(kit, target_l, all, facts, boil_off, loss, held_in_all);

    Expected expected(in.brewhouse.name, kit, brew, model);
    for (std::size_t m = 0; m < grists.size(); ++m) {
        const auto& grist = grists[m];
        expect_grist(expected, grist, m);
        expected.add_figure("conversion", "efficiency", "1", Quantity::conversion, m, kit.conversion, kit.conversion_sd,
                            kit.conversion_level_sd, 0, 1.0);
        expected.add_figure("lauter", "ratio to expectation", "1", Quantity::lauter, m, kit.lauter_of_expected,
                            kit.lauter_sd, kit.lauter_level_sd, 1, 1.0);
        expected.add_figure("absorption", "volume", "l", Quantity::retained, m, held(grist),
                            std::max(kit.absorption_sd_l_per_kg * grist.mass_kg, 1e-3),
                            kit.absorption_level_sd_l_per_kg * grist.mass_kg, 3, grist.mass_kg);
    }
    expected.add_figure("boil-off", "volume", "l", Quantity::boil_off, 0, boil_off,
                        std::max(kit.boil_off_sd_l_per_h * hours, 1e-4 * kit.volume_l),
                        kit.boil_off_level_sd_l_per_h * hours, 2, hours);
    expected.add_figure("kettle-loss", "volume", "l", Quantity::kettle_loss, 0, loss,
                        std::max(kit.kettle_loss_sd_l, 1e-4 * kit.volume_l), kit.kettle_loss_level_sd_l, 4, 1.0);
    // nothing written down means nothing added: an expectation, so that it can be a suspect. Where something was, and
    // is written down wrong, how much it was is open
    for (const auto& [name, quantity] :
         {std::pair("top-up", Quantity::top_up), {"kettle-liquor", Quantity::kettle_liquor}})
        expected.add_liquor(name, quantity, 0, 0.0, (expected.is_read(0, quantity) ? 0.1 : 0.001) * kit.volume_l);
    expect_liquor(expected, kit, grists, total);

    // the start is what was expected, not what was read: a slip of the pen must not lead the search astray
    for (const auto& grist : grists) {
        const double part = total * grist.mass_kg / all.mass_kg, strike = kit.mash_ratio_l_per_kg * grist.mass_kg;
        MashState<double> s;
        s.strike_l = kit.sparge == Sparge::none ? part : strike;
        s.sparge_l = kit.sparge == Sparge::none ? 1e-3 : std::max(part - strike, 0.1 * part);
        s.extract_grist_kg = grist.extract_kg;
        s.extract_mash_kg = kit.conversion * grist.extract_kg;
        s.retained_l = held(grist);
        s.extract_kettle_kg = 0.88 * s.extract_mash_kg;
        me.mash_start.push_back(s);
    }
    me.kettle_start = {boil_off, loss, 0.0, 0.0};
}

Brewhouse expecting(Brewhouse house, const HouseValues& figures, const HouseValues& sd) {
    house.conversion = Percent(std::clamp(100.0 * figures[0], 1.0, 110.0));
    house.conversion_sd = Percent(100.0 * sd[0]);
    house.lauter_of_expected = Percent(std::clamp(100.0 * figures[1], 1.0, 150.0));
    house.lauter_sd = Percent(100.0 * sd[1]);
    house.boil_off = LitresPerHour(std::max(figures[2], 0.0));
    house.boil_off_sd = LitresPerHour(sd[2]);
    house.absorption = LitresPerKilogram(std::max(figures[3], 0.0));
    house.absorption_sd = LitresPerKilogram(sd[3]);
    house.kettle_loss = Litres(std::max(figures[4], 0.0));
    house.kettle_loss_sd = Litres(sd[4]);
    house.conversion_level_sd = house.lauter_level_sd = std::nullopt;
    house.boil_off_level_sd = std::nullopt;
    house.absorption_level_sd = std::nullopt;
    house.kettle_loss_level_sd = std::nullopt;
    return house;
}

} // namespace lotwort::infer_detail
