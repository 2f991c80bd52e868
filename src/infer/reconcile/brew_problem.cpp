#include "brew_problem.hpp"
#include "equations.hpp"
#include <array>
#include <fmt/format.h>
#include <limits>

namespace lotwort::infer_detail {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

// Of an equation's whole error, the least that is its own: a millionth of the variance is none, and keeps two readings
// from being one and the same.
constexpr double least_own_share = 1e-3;

double own_variance(const BrewEquation& e) {
    return std::pow(std::max(e.own_sd, least_own_share * e.sd()), 2);
}

} // namespace

double shared_covariance(const BrewEquation& a, const BrewEquation& b) {
    double sum = 0.0;
    for (const auto& in_a : a.shared)
        for (const auto& in_b : b.shared)
            if (in_a.source == in_b.source) sum += in_a.sd * in_b.sd;
    if (!a.instrument.empty() && a.instrument == b.instrument) sum += a.bias_sd * b.bias_sd;
    return sum;
}

namespace {

// An equation that is left out, with what stands in for it.
struct LeftOut {
    std::size_t equation;
    const BrewEquation* stand_in; // none: nothing does
};

void evaluate(const BrewModel& model, const UnknownsOf& unknowns, std::optional<LeftOut> left_out,
              const VectorXd& theta, VectorXd& f, MatrixXd& jacobian) {
    const JointBalance at(model, unknowns, theta);
    if (!at.is_a_brew()) {
        f.setConstant(std::numeric_limits<double>::quiet_NaN()); // the solver takes a shorter step
        return;
    }
    Index row = 0;
    for (std::size_t i = 0; i < model.equations.size(); ++i) {
        const bool is_out = left_out && i == left_out->equation;
        if (is_out && left_out->stand_in == nullptr) continue;
        const Traced y = at.predicted(is_out ? *left_out->stand_in : model.equations[i]);
        f[row] = y.value;
        jacobian.row(row++) = y.slope.transpose();
    }
}

} // namespace

MatrixXd covariance_of(const std::vector<BrewEquation>& equations) {
    const auto m = static_cast<Index>(equations.size());
    MatrixXd sigma = MatrixXd::Zero(m, m);
    for (Index i = 0; i < m; ++i) {
        const auto& a = equations[static_cast<std::size_t>(i)];
        sigma(i, i) = own_variance(a) + shared_covariance(a, a);
        for (Index j = 0; j < i; ++j)
            sigma(i, j) = sigma(j, i) = shared_covariance(a, equations[static_cast<std::size_t>(j)]);
    }
    return sigma;
}

namespace {

// A state far from the one that figures nobody's brewhouse has would begin with, and a brew: thin mash, half of it
// held, a third boiled off at most. Of the mashes' run-off: kilograms, and extract in it.
std::pair<double, double> mend_mash(double* x) {
    const double grist = x[2];
    x[3] = 0.9 * grist;
    x[0] = std::max(x[0], 3.0 * x[3]);
    x[1] = std::clamp(x[1], 0.0, 3.0 * x[0]);
    x[4] = std::clamp(x[4], 0.3 * x[0], 0.5 * x[0]);
    x[5] = 0.85 * x[3];
    return {x[0] + x[1] - x[4] + x[5], x[5]};
}
void mend_kettle(double* x, double run_off_kg, double extract_kg, const KettleFacts& facts) {
    const double extract = extract_kg + facts.sugar_kg;
    x[0] = std::clamp(x[0], 0.0, 0.3 * run_off_kg);
    x[3] = std::max(0.0, 3.0 * extract - (run_off_kg - x[0]));
    x[1] = std::clamp(x[1], 0.0, 0.3 * (run_off_kg + x[3] - x[0]));
    x[2] = 0.0;
}

} // namespace

VectorXd start_of(const BrewModel& model) {
    const UnknownsOf unknowns(model);
    VectorXd theta(unknowns.count());
    for (std::size_t k = 0; k < model.brews.size(); ++k) {
        const auto& brew = model.brews[k];
        for (std::size_t m = 0; m < brew.mashes.size(); ++m) {
            const auto& s = brew.mash_start[m];
            theta.segment<mash_unknowns>(unknowns.mash(k, m)) << s.strike_l, s.sparge_l, s.extract_grist_kg,
                s.extract_mash_kg, s.retained_l, s.extract_kettle_kg;
        }
        const auto& s = brew.kettle_start;
        theta.segment<kettle_unknowns>(unknowns.kettle(k)) << s.boil_off_l, s.kettle_loss_l, s.top_up_l,
            s.kettle_liquor_l;
    }
    if (JointBalance(model, unknowns, theta).is_a_brew()) return theta;
    for (std::size_t k = 0; k < model.brews.size(); ++k) {
        double run_off_kg = 0.0, extract_kg = 0.0;
        for (std::size_t m = 0; m < model.brews[k].mashes.size(); ++m) {
            const auto [mass, extract] = mend_mash(theta.data() + unknowns.mash(k, m));
            run_off_kg += mass;
            extract_kg += extract;
        }
        mend_kettle(theta.data() + unknowns.kettle(k), run_off_kg, extract_kg, model.brews[k].kettle);
    }
    return theta;
}

stats::LeastSquaresProblem problem_of(const BrewModel& model, const UnknownsOf& unknowns) {
    stats::LeastSquaresProblem p;
    const auto m = static_cast<Index>(model.equations.size());
    p.observed.resize(m);
    for (Index i = 0; i < m; ++i) p.observed[i] = model.equations[static_cast<std::size_t>(i)].observed;
    p.covariance = covariance_of(model.equations);
    p.start = start_of(model);
    p.scale = p.start.cwiseAbs().cwiseMax(0.01 * p.start[0]);
    p.model = [&model, &unknowns](const VectorXd& theta, VectorXd& f, MatrixXd& jacobian) {
        evaluate(model, unknowns, {}, theta, f, jacobian);
    };
    return p;
}

stats::LeastSquaresProblem problem_without(const stats::LeastSquaresProblem& whole, const BrewModel& model,
                                           const UnknownsOf& unknowns, std::size_t i, const VectorXd& start) {
    const LeftOut left_out{i, stand_in_for(model, i)};
    const auto k = static_cast<Index>(i);
    stats::LeastSquaresProblem p;
    if (left_out.stand_in != nullptr) {
        p.observed = whole.observed;
        p.covariance = whole.covariance;
        p.observed[k] = left_out.stand_in->observed;
        p.covariance.row(k).setZero(); // no liquor's expectation shares an error with another equation
        p.covariance.col(k).setZero();
        p.covariance(k, k) = std::pow(left_out.stand_in->sd(), 2);
    } else {
        const Index m = whole.observed.size() - 1;
        const auto others = [&](Index row) { return row < k ? row : row + 1; };
        p.observed.resize(m);
        p.covariance.resize(m, m);
        for (Index r = 0; r < m; ++r) {
            p.observed[r] = whole.observed[others(r)];
            for (Index c = 0; c < m; ++c) p.covariance(r, c) = whole.covariance(others(r), others(c));
        }
    }
    p.start = start;
    p.scale = whole.scale;
    p.model = [&model, &unknowns, left_out](const VectorXd& theta, VectorXd& f, MatrixXd& jacobian) {
        evaluate(model, unknowns, left_out, theta, f, jacobian);
    };
    return p;
}

std::vector<Limit> limits_of(const BrewModel& model, const UnknownsOf& unknowns) {
    std::vector<Limit> limits;
    const auto add = [&](std::string name, const std::string& where, Index plus, std::optional<Index> minus) {
        VectorXd a = VectorXd::Zero(unknowns.count());
        a[plus] = 1.0;
        if (minus) a[*minus] = -1.0;
        limits.push_back({std::move(name) + where, std::move(a)});
    };
    for (std::size_t k = 0; k < model.brews.size(); ++k) {
        const auto& brew = model.brews[k];
        const std::string of_brew = model.brews.size() > 1 ? fmt::format(", {}", brew.code) : "";
        for (std::size_t m = 0; m < brew.mashes.size(); ++m) {
            const std::string where = brew.mashes.size() > 1 ? fmt::format("{}, mash {}", of_brew, m + 1) : of_brew;
            const Index at = unknowns.mash(k, m);
            add("no more can dissolve than the grist holds (conversion at 100 %)", where, at + 2, at + 3);
            add("no more can run off than was dissolved (lauter at 100 %)", where, at + 3, at + 5);
            add("wort held in the grain cannot fall below nothing", where, at + 4, {});
            add("sparge liquor cannot fall below nothing", where, at + 1, {});
        }
        const Index at = unknowns.kettle(k);
        add("boil-off cannot fall below nothing", of_brew, at, {});
        add("kettle loss cannot fall below nothing", of_brew, at + 1, {});
    }
    return limits;
}

} // namespace lotwort::infer_detail
