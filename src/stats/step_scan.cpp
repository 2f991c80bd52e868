#include <algorithm>
#include <cmath>
#include <Eigen/Core>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/step_scan.hpp>
#include <numbers>

namespace lotwort::stats {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

struct Candidate {
    bool live = false;
    int track = 0, number = 0;
    double information = 0.0, score = 0.0;
};

} // namespace

// Slots are rows that are used again; `state` has the mean in column 0 and what a unit step of each candidate has done
// to it in the others.
struct StepFilter::Impl {
    int window, tracks;
    std::vector<Candidate> candidates;
    std::vector<int> next; // the place that the track's next candidate takes
    MatrixXd covariance, state;
    std::vector<char> used;
    double log_likelihood = 0.0;

    Impl(int w, int t)
        : window(w), tracks(t), candidates(static_cast<std::size_t>(w * t)), next(static_cast<std::size_t>(t), 0) {
        grow(16);
    }
    void grow(Index size) {
        const Index before = covariance.rows();
        covariance.conservativeResize(size, size);
        state.conservativeResize(size, 1 + window * tracks);
        covariance.bottomRows(size - before).setZero();
        covariance.rightCols(size - before).setZero();
        state.bottomRows(size - before).setZero();
        used.resize(static_cast<std::size_t>(size), 0);
    }
    int free_slot() {
        const auto found = std::ranges::find(used, char{0});
        const auto slot = static_cast<int>(found - used.begin());
        if (found == used.end()) grow(2 * covariance.rows());
        used[static_cast<std::size_t>(slot)] = 1;
        return slot;
    }
    [[nodiscard]] VectorXd times(const std::vector<SlotTerm>& of) const {
        VectorXd out = VectorXd::Zero(covariance.rows());
        for (const auto& t : of) out += t.coefficient * covariance.col(t.slot);
        return out;
    }
};

StepFilter::StepFilter(int window, int tracks) : impl_(std::make_unique<Impl>(window, tracks)) {}
StepFilter::~StepFilter() = default;

int StepFilter::enter(const std::vector<SlotTerm>& of, double mean, double sd) {
    Impl& s = *impl_;
    const int slot = s.free_slot();
    const VectorXd shared = s.times(of);
    double own = sd * sd;
    s.state.row(slot).setZero();
    for (const auto& t : of) {
        own += t.coefficient * shared[t.slot];
        s.state.row(slot) += t.coefficient * s.state.row(t.slot);
    }
    s.state(slot, 0) += mean;
    s.covariance.col(slot) = shared;
    s.covariance.row(slot) = shared.transpose();
    s.covariance(slot, slot) = own;
    return slot;
}

void StepFilter::leave(int slot) {
    Impl& s = *impl_;
    s.covariance.row(slot).setZero();
    s.covariance.col(slot).setZero();
    s.state.row(slot).setZero();
    s.used[static_cast<std::size_t>(slot)] = 0;
}

void StepFilter::wander(int slot, double sd) {
    impl_->covariance(slot, slot) += sd * sd;
}

void StepFilter::candidate(int track, int number) {
    Impl& s = *impl_;
    if (s.window == 0) return;
    int& next = s.next[static_cast<std::size_t>(track)];
    const int place = track * s.window + next;
    next = (next + 1) % s.window;
    s.candidates[static_cast<std::size_t>(place)] = {true, track, number, 0.0, 0.0};
    s.state.col(1 + place).setZero();
}

double StepFilter::observe(const std::vector<SlotTerm>& of, double value, double sd,
                           const std::vector<double>& per_track) {
    Impl& s = *impl_;
    const VectorXd gain_times_variance = s.times(of);
    double variance = sd * sd;
    Eigen::RowVectorXd seen = Eigen::RowVectorXd::Zero(s.state.cols());
    for (const auto& t : of) {
        variance += t.coefficient * gain_times_variance[t.slot];
        seen += t.coefficient * s.state.row(t.slot);
    }
    const double width = std::sqrt(variance);
    const double e = (value - seen[0]) / width;
    Eigen::RowVectorXd miss = -seen;
    miss[0] = value - seen[0];
    for (std::size_t c = 0; c < s.candidates.size(); ++c) {
        auto& candidate = s.candidates[c];
        if (!candidate.live) continue;
        const auto column = static_cast<Index>(c) + 1;
        miss[column] += per_track[static_cast<std::size_t>(candidate.track)];
        const double g = miss[column] / width;
        candidate.information += g * g;
        candidate.score += g * e;
    }
    s.state.noalias() += gain_times_variance / variance * miss;
    s.covariance.noalias() -= gain_times_variance * gain_times_variance.transpose() / variance;
    s.log_likelihood -= 0.5 * (std::log(2.0 * std::numbers::pi * variance) + e * e);
    return e;
}

void StepFilter::accept(const StepEstimate& step, int slot) {
    Impl& s = *impl_;
    for (std::size_t c = 0; c < s.candidates.size(); ++c) {
        const auto& candidate = s.candidates[c];
        if (!candidate.live || candidate.track != step.track || candidate.number != step.from) continue;
        VectorXd moved = -s.state.col(static_cast<Index>(c) + 1);
        moved[slot] += 1.0;
        s.state.col(0) += step.size * moved;
        s.covariance += step.sd * step.sd * moved * moved.transpose();
        break;
    }
    for (auto& candidate : s.candidates) candidate.live = false;
    s.state.rightCols(s.state.cols() - 1).setZero();
}

StepEstimate StepFilter::best(int track, int latest, double size_sd, double weight) const {
    StepEstimate out;
    out.track = track;
    double strongest = 0.0, sum = 0.0;
    for (const auto& c : impl_->candidates) {
        if (!c.live || c.track != track || c.number > latest || c.information <= 1e-12) continue;
        const double ratio = c.score * c.score / c.information, s = c.information * size_sd * size_sd;
        const double averaged = std::exp(0.5 * ratio * s / (1.0 + s)) / std::sqrt(1.0 + s);
        sum += averaged;
        if (averaged <= strongest) continue;
        strongest = averaged;
        out = {c.number, track, c.score / c.information, 1.0 / std::sqrt(c.information), ratio, 0.0};
    }
    if (sum > 0.0) out.evidence = 2.0 * std::log(weight * sum);
    return out;
}

double StepFilter::log_likelihood() const {
    return impl_->log_likelihood;
}
double StepFilter::mean(int slot) const {
    return impl_->state(slot, 0);
}
double StepFilter::variance(int slot) const {
    return impl_->covariance(slot, slot);
}
double StepFilter::mean(const std::vector<SlotTerm>& of) const {
    double sum = 0.0;
    for (const auto& t : of) sum += t.coefficient * impl_->state(t.slot, 0);
    return sum;
}
double StepFilter::variance(const std::vector<SlotTerm>& of) const {
    const VectorXd shared = impl_->times(of);
    double sum = 0.0;
    for (const auto& t : of) sum += t.coefficient * shared[t.slot];
    return sum;
}

} // namespace lotwort::stats
