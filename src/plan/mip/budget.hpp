// The seconds that a kind's searches share.
#pragma once

#include <algorithm>
#include <lotwort/plan/mip.hpp>

namespace lotwort::plan {

// Seconds by the wall clock since some moment (mip.cpp): for limits of time, which are a courtesy.
[[nodiscard]] double wall_seconds();

class Budget {
public:
    explicit Budget(const MipOptions& limits) : limits_(limits), left_(limits.seconds) {}

    // Within what is left, and what the options themselves allow.
    MipAnswer solve(const Mip& model, MipOptions options) {
        options.seconds = std::max(0.05, std::min(options.seconds, left_));
        MipAnswer answer = plan::solve(model, options);
        left_ -= answer.seconds;
        return answer;
    }
    [[nodiscard]] const MipOptions& limits() const { return limits_; }
    [[nodiscard]] bool is_interrupted() const { return limits_.stop != nullptr && limits_.stop->load(); }

private:
    const MipOptions& limits_;
    double left_;
};

} // namespace lotwort::plan
