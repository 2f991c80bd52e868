#include "answer.hpp"
#include <fmt/format.h>
#include <lotwort/stats/distributions.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort::infer_detail {

namespace {

using Mash = JointBalance::Mash;
constexpr double test_level = 0.05;

Traced dissolved(const JointBalance& at, std::size_t brew) {
    return at.sum_of_mashes(brew, [](const Mash& m) { return m.state.extract_mash_kg; });
}
Traced run_off(const JointBalance& at, std::size_t brew) {
    return at.sum_of_mashes(brew, [](const Mash& m) { return m.state.extract_kettle_kg; });
}
Traced laboratory(const JointBalance& at, std::size_t brew) {
    return at.sum_of_mashes(brew, [](const Mash& m) { return m.state.extract_grist_kg; });
}

} // namespace

std::vector<std::pair<const char*, Traced>> efficiencies_of(const BrewModel& model, const JointBalance& at) {
    const std::size_t brew = model.asked;
    const auto& kettle = at.kettle(brew).balance;
    const Traced x = laboratory(at, brew), d = dissolved(at, brew), k = run_off(at, brew);
    return {{"conversion", d / x},
            {"lauter", k / d},
            {"kettle_yield", k / x},
            {"transfer", at.of_kettle(brew, kettle.extract_collected_kg / kettle.extract_cast_out_kg)},
            {"brewhouse", at.of_kettle(brew, kettle.extract_fermenter_kg) / x}};
}

std::vector<std::pair<std::string, Traced>> quantities_of(const BrewModel& model, const JointBalance& at) {
    const std::size_t brew = model.asked;
    const auto& kettle = at.kettle(brew);
    const auto& b = kettle.balance;
    const auto mashes = [&](auto member) { return at.sum_of_mashes(brew, member); };
    const auto of = [&](const JointBalance::KettleDual& x) { return at.of_kettle(brew, x); };
    const auto gravity = [](const auto& fraction) { return wort::specific_gravity_of(fraction); };
    std::vector<std::pair<std::string, Traced>> out{
        {"strike_liquor_l", mashes([](const Mash& m) { return m.state.strike_l; })},
        {"sparge_liquor_l", mashes([](const Mash& m) { return m.state.sparge_l; })},
        {"extract_grist_kg", laboratory(at, brew)},
        {"extract_mash_kg", dissolved(at, brew)},
        {"extract_kettle_kg", run_off(at, brew)},
        {"extract_cast_out_kg", of(b.extract_cast_out_kg)},
        {"extract_fermenter_kg", of(b.extract_fermenter_kg)},
        {"wort_retained_l", mashes([](const Mash& m) { return m.state.retained_l; })},
        {"boil_off_l", of(kettle.state.boil_off_l)},
        {"kettle_loss_l", of(kettle.state.kettle_loss_l)},
        {"top_up_l", of(kettle.state.top_up_l)},
        {"kettle_liquor_l", of(kettle.state.kettle_liquor_l)},
        {"kettle_full_l", of(b.kettle_full_l)},
        {"cast_out_l", of(b.cast_out_l)},
        {"fermenter_l", of(b.fermenter_l)}};
    const auto& tuns = at.mashes(brew);
    for (std::size_t m = 0; m < tuns.size(); ++m)
        out.emplace_back(m == 0 ? "first_wort_sg" : fmt::format("first_wort_{}_sg", m + 1),
                         at.of_mash(brew, m, gravity(tuns[m].balance.first_wort_fraction)));
    out.emplace_back("kettle_full_sg", of(gravity(b.kettle_full_fraction)));
    out.emplace_back("cast_out_sg", of(gravity(b.cast_out_fraction)));
    if (model.brews.size() > 1) { // what all brews gave together
        const auto together = at.fermenter(model.brews.size() - 1);
        out.emplace_back("fermenter_together_l", together.litres);
        out.emplace_back("original_gravity_sg", together.gravity_sg);
    } else {
        out.emplace_back("original_gravity_sg", of(gravity(b.fermenter_fraction)));
    }
    return out;
}

Estimated estimate_of(const Traced& x, const Limited& limited) {
    if (!limited.solution.estimable(x.slope)) return {std::nullopt, "no reading and no expectation speaks of it"};
    return {limited.estimate(x.value, x.slope), {}};
}

Efficiencies efficiencies_at(const BrewModel& model, const UnknownsOf& unknowns, const Limited& limited) {
    const auto e = efficiencies_of(model, JointBalance(model, unknowns, limited.solution.theta));
    return {estimate_of(e[0].second, limited), estimate_of(e[1].second, limited), estimate_of(e[2].second, limited),
            estimate_of(e[3].second, limited), estimate_of(e[4].second, limited)};
}

GlobalTest test_of(const stats::LeastSquaresSolution& solution) {
    GlobalTest test;
    test.degrees_of_freedom = solution.degrees_of_freedom;
    if (test.degrees_of_freedom == 0) return test;
    test.statistic = solution.statistic;
    test.p_value = stats::chi_square_upper_tail(test.statistic, test.degrees_of_freedom);
    test.passed = *test.p_value >= test_level;
    return test;
}

} // namespace lotwort::infer_detail
