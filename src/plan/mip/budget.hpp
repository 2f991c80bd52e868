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
        return spend(plan::solve(model, options));
    }
    // What must come to its end, so that there is something to weigh: its seconds count all the same.
    MipAnswer solve_to_the_end(const Mip& model, const MipOptions& options) {
        return has_answer_ ? solve(model, options) : spend(plan::solve(model, options));
    }
    // From now on nothing must come to its end.
    void has_answer() { has_answer_ = true; }

    // A search with limits of its own counts too.
    void charge(const Budget& part) {
        left_ -= part.used_;
        used_ += part.used_;
    }

    [[nodiscard]] const MipOptions& limits() const { return limits_; }
    [[nodiscard]] double left() const { return std::max(0.0, left_); }
    [[nodiscard]] double used() const { return used_; }
    [[nodiscard]] bool is_interrupted() const { return limits_.stop != nullptr && limits_.stop->load(); }

private:
    MipAnswer spend(MipAnswer answer) {
        left_ -= answer.seconds;
        used_ += answer.seconds;
        return answer;
    }

    const MipOptions& limits_;
    double left_, used_ = 0.0;
    bool has_answer_ = false;
};

} // namespace lotwort::plan
