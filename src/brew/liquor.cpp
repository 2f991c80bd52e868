#include <cmath>
#include <lotwort/brew/liquor.hpp>

namespace lotwort {

LiquorSplit split_liquor(const Kit& kit, double grist_kg, double total_l) {
    const double strike = kit.mash_ratio_l_per_kg * grist_kg;
    if (kit.sparge == Sparge::none || strike >= total_l) return {total_l, 0.0};
    return {strike, total_l - strike};
}

double liquor_for_volume(const Kit& kit, double target_l, const MashGrist& grist, const BrewFacts& facts,
                         double boil_off_l, double kettle_loss_l, double retained_l) {
    const double by_volumes = target_l + kettle_loss_l + boil_off_l + retained_l;
    double total = by_volumes;
    for (int i = 0; i < 40; ++i) {
        const auto fermenter = [&](double liquor) {
            const auto split = split_liquor(kit, grist.mass_kg, liquor);
            const auto s =
                expected_state<double>(grist.extract_kg, kit.conversion, kit.lauter_of_expected, split.strike_l,
                                       split.sparge_l, retained_l, boil_off_l, kettle_loss_l, facts);
            return balance(s, facts).fermenter_l;
        };
        const double here = fermenter(total);
        const double slope = (fermenter(total + 0.01) - here) / 0.01;
        const double step = (target_l - here) / slope;
        total += step;
        if (std::abs(step) < 1e-9) break;
    }
    // of figures that no brewhouse has, the balance may have no root: volumes add up all the same
    return total > 0.0 && total < 100.0 * by_volumes ? total : by_volumes;
}

} // namespace lotwort
