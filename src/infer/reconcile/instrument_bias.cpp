#include "brew_problem.hpp"
#include "equations.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/instrument_bias.hpp>
#include <lotwort/stats/dense.hpp>
#include <map>
#include <set>

namespace lotwort {

namespace {

using namespace infer_detail;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double looks_the_same = 0.8; // correlation

// The shared unknowns, each in units of its own prior standard deviation: biases of instruments, levels of the house.
class Shared {
public:
    explicit Shared(const std::vector<BrewModel>& models) {
        for (const auto& model : models)
            for (const auto& e : model.equations) {
                if (!e.instrument.empty() && e.bias_sd > 0.0) biases.insert(e.instrument);
                if (e.level_sd > 0.0) levels.insert(e.point);
            }
        for (const auto& name : biases)
            index_["bias " + name] = static_cast<Index>(names.size()), names.push_back(name);
        for (const auto& name : levels)
            index_["level " + name] = static_cast<Index>(names.size()), names.push_back("the brewhouse's " + name);
    }
    [[nodiscard]] Index size() const { return static_cast<Index>(names.size()); }

    // How much of each shared unknown is in the equation.
    [[nodiscard]] VectorXd row(const BrewEquation& e) const {
        VectorXd a = VectorXd::Zero(size());
        if (!e.instrument.empty() && e.bias_sd > 0.0) a[index_.at("bias " + e.instrument)] = e.bias_sd;
        if (e.level_sd > 0.0) a[index_.at("level " + e.point)] = e.level_sd;
        return a;
    }

    std::set<std::string> biases, levels;
    std::vector<std::string> names; // biases first, then levels

private:
    std::map<std::string, Index> index_;
};

// What one brew says of the shared unknowns once its own state is eliminated: r = J d + A s + e, with only the errors
// that are the brew's own. Information A' P A and score A' P r, P the projector off the whitened J.
void add_brew(const BrewModel& model, const Shared& shared, MatrixXd& information, VectorXd& score) {
    const UnknownsOf unknowns(model);
    const auto solution = stats::solve(problem_of(model, unknowns));
    const auto m = static_cast<Index>(model.equations.size());
    MatrixXd jacobian = solution.jacobian, a(m, shared.size());
    VectorXd residual = solution.residual;
    for (Index i = 0; i < m; ++i) {
        const auto& e = model.equations[static_cast<std::size_t>(i)];
        // bias and level are unknowns here, not errors; a sliver stays to divide by
        const double all = e.sd() * e.sd(), unknown = e.bias_sd * e.bias_sd + e.level_sd * e.level_sd;
        const double own = std::sqrt(std::max(all - unknown, 1e-4 * all));
        a.row(i) = shared.row(e).transpose() / own;
        jacobian.row(i) /= own;
        residual[i] /= own;
    }
    // columns of very different size are scaled before the rank is judged
    const VectorXd scale = jacobian.colwise().norm().cwiseMax(1e-300).transpose();
    // what the brew's state cannot explain
    const MatrixXd q = stats::beside(jacobian * scale.cwiseInverse().asDiagonal());
    const MatrixXd seen = stats::product(q.transpose(), a);
    information += stats::product(seen.transpose(), seen);
    score += seen.transpose() * (q.transpose() * residual);
}

} // namespace

std::vector<LearnedBias> learn_biases(const std::vector<ReconcileInput>& brews) {
    std::vector<BrewModel> models;
    for (const auto& brew : brews) {
        auto model = brew_model(brew);
        if (!model.equations.empty()) models.push_back(std::move(model));
    }
    const Shared shared(models);
    MatrixXd information = MatrixXd::Identity(shared.size(), shared.size()); // the priors, each of unit width
    VectorXd score = VectorXd::Zero(shared.size());
    for (const auto& model : models) add_brew(model, shared, information, score);
    const MatrixXd covariance = stats::inverse(information);
    const VectorXd mean = covariance * score;

    std::vector<LearnedBias> out;
    Index k = 0;
    for (const auto& name : shared.biases) {
        LearnedBias learned;
        learned.instrument = name;
        for (const auto& model : models) {
            bool here = false;
            for (const auto& e : model.equations) {
                if (e.instrument != name) continue;
                here = true;
                ++learned.readings;
                learned.unit = e.unit;
                learned.prior_sd = e.bias_sd; // of this reading's size, where it goes with the value
            }
            learned.brews += here;
        }
        for (const auto& brew : brews) {
            const auto stated = std::ranges::find(brew.instruments, name, &Instrument::name);
            if (stated == brew.instruments.end() || stated->bias_sd_pct || stated->unit != learned.unit) continue;
            learned.correction = stated->correction.value_or(0.0) - learned.prior_sd * mean[k];
        }
        learned.bias = normal_estimate(learned.prior_sd * mean[k], learned.prior_sd * std::sqrt(covariance(k, k)));
        for (Index j = 0; j < shared.size(); ++j)
            if (j != k && std::abs(covariance(k, j)) >= looks_the_same * std::sqrt(covariance(k, k) * covariance(j, j)))
                learned.cannot_be_told_from.push_back(shared.names[static_cast<std::size_t>(j)]);
        out.push_back(std::move(learned));
        ++k;
    }
    return out;
}

} // namespace lotwort
