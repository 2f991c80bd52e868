#include "brew_problem.hpp"
#include <array>
#include <limits>

namespace lotwort::infer_detail {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

// BrewState's members in the order of the unknowns.
template <class Real>
std::array<Real*, unknowns> members(BrewState<Real>& s) {
    return {&s.strike_l,          &s.sparge_l,   &s.extract_grist_kg, &s.extract_mash_kg, &s.retained_l,
            &s.extract_kettle_kg, &s.boil_off_l, &s.kettle_loss_l,    &s.top_up_l,        &s.kettle_liquor_l};
}

// Whether a state is a brew at all, however unlikely: liquor and wort there, nothing thicker than syrup. Outside, the
// density polynomial means nothing, and readings that contradict each other grossly would draw a full step there.
bool is_a_brew(const BrewState<Slopes>& s, const BrewFacts& facts) {
    constexpr double thickest = 0.6, thinnest = -0.1;
    const double water = balance_detail::water_20_kg_per_l();
    const double strike = s.strike_l.value, held = s.retained_l.value, mash = s.extract_mash_kg.value,
                 kettle = s.extract_kettle_kg.value;
    if (!(strike > 0.0) || !(held > 0.0) || !(s.extract_grist_kg.value > 0.0) || !(mash > 0.0) || !(kettle > 0.0))
        return false;
    const double mash_kg = strike * water + facts.grist_moisture_kg + mash;
    if (mash > thickest * mash_kg) return false;
    const double held_share = (mash - kettle) / held; // kg/L, near enough to the fraction
    if (!(held_share < thickest) || !(held_share > thinnest)) return false;
    const double liquor = (s.sparge_l.value + s.kettle_liquor_l.value) * water;
    const double kettle_kg = mash_kg + liquor - held * (water + 0.4 * held_share);
    if (!(kettle < thickest * kettle_kg)) return false;
    const double cast_out_kg =
        kettle_kg + facts.kettle_sugar_kg + facts.kettle_sugar_water_kg - s.boil_off_l.value * water;
    const double cast_out = kettle + facts.kettle_sugar_kg;
    if (!(cast_out < thickest * cast_out_kg)) return false;
    const double kept = 1.0 - s.kettle_loss_l.value / cast_out_kg;
    const double fermenter_kg = cast_out_kg * kept + s.top_up_l.value * water;
    return kept > 0.0 && fermenter_kg > 0.0 && cast_out * kept < thickest * fermenter_kg;
}

} // namespace

BrewState<Slopes> state_at(const VectorXd& theta) {
    BrewState<Slopes> s;
    const auto member = members(s);
    for (std::size_t i = 0; i < unknowns; ++i) *member[i] = Slopes::parameter(theta[static_cast<Index>(i)], i);
    return s;
}

MatrixXd covariance_of(const std::vector<BrewEquation>& equations) {
    const auto m = static_cast<Index>(equations.size());
    MatrixXd sigma = MatrixXd::Zero(m, m);
    for (Index i = 0; i < m; ++i) {
        const auto& a = equations[static_cast<std::size_t>(i)];
        sigma(i, i) = a.own_sd * a.own_sd + a.bias_sd * a.bias_sd;
        for (Index j = 0; j < i; ++j) {
            const auto& b = equations[static_cast<std::size_t>(j)];
            if (!a.instrument.empty() && a.instrument == b.instrument)
                sigma(i, j) = sigma(j, i) = a.bias_sd * b.bias_sd;
        }
    }
    return sigma;
}

stats::LeastSquaresProblem problem_of(const std::vector<BrewEquation>& equations, const BrewFacts& facts,
                                      const VectorXd& start) {
    stats::LeastSquaresProblem p;
    const auto m = static_cast<Index>(equations.size());
    p.observed.resize(m);
    for (Index i = 0; i < m; ++i) p.observed[i] = equations[static_cast<std::size_t>(i)].observed;
    p.covariance = covariance_of(equations);
    p.start = start;
    p.scale = start.cwiseAbs().cwiseMax(0.01 * start[0]);
    p.model = [&equations, facts](const VectorXd& theta, VectorXd& f, MatrixXd& jacobian) {
        const auto s = state_at(theta);
        if (!is_a_brew(s, facts)) {
            f.setConstant(std::numeric_limits<double>::quiet_NaN()); // the solver takes a shorter step
            return;
        }
        const auto b = balance(s, facts);
        for (std::size_t i = 0; i < equations.size(); ++i) {
            const Slopes y = predicted(equations[i], s, b);
            f[static_cast<Index>(i)] = y.value;
            for (std::size_t j = 0; j < unknowns; ++j)
                jacobian(static_cast<Index>(i), static_cast<Index>(j)) = y.slope[j];
        }
    };
    return p;
}

VectorXd start_of(const BrewModel& model) {
    BrewState<double> s = model.start;
    VectorXd theta(static_cast<Index>(unknowns));
    const auto member = members(s);
    for (std::size_t i = 0; i < unknowns; ++i) theta[static_cast<Index>(i)] = *member[i];
    return theta;
}

std::vector<Limit> limits_of_a_brew() {
    const auto row = [](std::initializer_list<std::pair<Index, double>> entries) {
        VectorXd a = VectorXd::Zero(static_cast<Index>(unknowns));
        for (const auto& [i, value] : entries) a[i] = value;
        return a;
    };
    return {{"no more can dissolve than the grist holds (conversion at 100 %)", row({{2, 1.0}, {3, -1.0}})},
            {"no more can run off than was dissolved (lauter at 100 %)", row({{3, 1.0}, {5, -1.0}})},
            {"wort held in the grain cannot fall below nothing", row({{4, 1.0}})},
            {"boil-off cannot fall below nothing", row({{6, 1.0}})},
            {"kettle loss cannot fall below nothing", row({{7, 1.0}})},
            {"sparge liquor cannot fall below nothing", row({{1, 1.0}})}};
}

} // namespace lotwort::infer_detail
