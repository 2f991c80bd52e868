// Scales that the data tell only roughly: how much brews scatter, how fast a level wanders. The best values taken as
// if they were known make every interval too narrow, so they are integrated over.
//
//     ln p(s | y) = ln p(y | s) - 1/2 sum ((s_i - m_i)/w_i)^2,   s the logarithms of the scales, prior N(m, w^2)
//
// The mode is sought by BFGS (Nocedal and Wright 2006, ch. 6), and the curvature there taken by differences of the
// slope. Points follow about it along its principal axes at the radius f0 sqrt(k), each weighted by its posterior
// density. For a normal posterior the weights sum to the right mean and variance. This is the central composite
// design of Rue, Martino and Chopin (2009), sec. 6.5.
#pragma once

#include <functional>
#include <vector>

namespace lotwort::stats {

struct ScalePrior {
    double mean = 0.0; // of the logarithm
    double width = 1.0;
};

struct ScalePoint {
    std::vector<double> log_scales;
    double weight = 0.0; // they sum to 1
};

struct ScaleGrid {
    std::vector<double> mode;
    std::vector<double> sd;         // of each logarithm, at the mode; the prior's where the data say nothing
    std::vector<ScalePoint> points; // the mode first
    double log_posterior = 0.0;     // at the mode, up to a constant
    double log_evidence = 0.0;      // ln of the integral of likelihood and prior over the scales, by the points
    int evaluations = 0;
};

// Returns ln p(y | s) and fills its slopes.
using ScaleLikelihood = std::function<double(const std::vector<double>& log_scales, std::vector<double>& slope)>;

// Which points beside the mode: none; both ways along each axis and a half fraction of the corners.
enum class Design { mode, composite };

// An axis along which the logarithms' sd is below `sharp` is left out: that scale is as good as known. `start`: where
// the mode is sought from; the prior's where it is empty.
[[nodiscard]] ScaleGrid integrate_scales(const std::vector<ScalePrior>& priors, const ScaleLikelihood& likelihood,
                                         Design design = Design::composite, double sharp = 0.1,
                                         const std::vector<double>& start = {});

} // namespace lotwort::stats
