#include "slopes.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::infer_detail {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

constexpr double attenuation_step = 0.002, extract_step_kg = 0.005;

// The forecast's inputs with the k-th of the unknowns moved.
Inputs moved_inputs(const Split& split, Index k, double by) {
    const Happened& h = split.really;
    const Index beyond = k - h.theta.size();
    VectorXd theta = h.theta;
    if (beyond < 0) theta[k] += by;
    Inputs at = inputs_at(theta, h, split.constants.tun_loss_l,
                          split.attenuated + (beyond == of_attenuation ? by : 0.0), beyond == of_stand_ins ? by : 0.0);
    if (beyond == of_rest) { // of one attenuation more is the rest's and less the yeast's
        at.rest += by;
        at.attenuation -= by;
    }
    return at;
}

double step_of(const Happened& h, Index k) {
    if (k >= h.theta.size()) return k - h.theta.size() == of_stand_ins ? extract_step_kg : attenuation_step;
    return std::max(0.1 * std::sqrt(std::max(h.covariance(k, k), 0.0)), 1e-9);
}

} // namespace

std::array<MatrixXd, outcomes> slopes_of(const Split& split, const std::array<bool, outcomes>& was_read) {
    const Index unknowns = split.really.theta.size() + beyonds;
    std::array<MatrixXd, outcomes> slopes;
    for (auto& s : slopes) s = MatrixXd::Zero(causes + 1, unknowns);
    for (Index k = 0; k < unknowns; ++k) {
        const double step = step_of(split.really, k);
        const Inputs up = moved_inputs(split, k, step), down = moved_inputs(split, k, -step);
        const auto more = parts_of(split.planned, up, split.constants, split.asked);
        const auto less = parts_of(split.planned, down, split.constants, split.asked);
        const Results whole_up = forecast_of(up, split.constants), whole_down = forecast_of(down, split.constants);
        for (std::size_t o = 0; o < outcomes; ++o) {
            for (std::size_t c = 0; c < causes; ++c)
                slopes[o](static_cast<Index>(c), k) = (more[o][c] - less[o][c]) / (2.0 * step);
            if (was_read[o]) slopes[o](causes, k) = -(whole_up[o] - whole_down[o]) / (2.0 * step);
        }
    }
    return slopes;
}

} // namespace lotwort::infer_detail
