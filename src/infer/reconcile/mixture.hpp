// A mixture of normal distributions: what is known of one figure when scales are known only roughly.
#pragma once

#include <lotwort/core/estimate.hpp>
#include <vector>

namespace lotwort::infer_detail {

class Mixture {
public:
    void add(double weight, double mean, double variance) { parts_.push_back({weight, mean, variance}); }
    void add(const Mixture& other) { parts_.insert(parts_.end(), other.parts_.begin(), other.parts_.end()); }
    [[nodiscard]] double mean() const;
    [[nodiscard]] double variance() const;
    [[nodiscard]] double quantile(double p) const; // by bisection, to 1e-6 of the sd
    [[nodiscard]] double below(double x) const;    // probability
    [[nodiscard]] double weight() const;           // of all parts
    // Value, sd and 90 % interval of x itself; of exp(x); of exp(x) - 1.
    [[nodiscard]] Estimate estimate() const;
    [[nodiscard]] Estimate of_exp() const;
    [[nodiscard]] Estimate of_exp_less_one() const;

private:
    struct Part {
        double weight, mean, variance;
    };
    std::vector<Part> parts_;
};

} // namespace lotwort::infer_detail
