#include "change.hpp"
#include "fit.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::infer_detail {

namespace {

using stats::GaussianSolver;
using Want = GaussianSolver::Want;

constexpr int rounds_while_seeking = 2;
// Brews up to which each candidate's scales are integrated over anew, and those of each round's best.
constexpr std::size_t thorough_up_to = 60, few_enough = 250;
constexpr std::size_t most_candidates = 6; // of one round
constexpr double not_worth_it = 4.0;       // ln: a candidate this far below the best is let go
constexpr double least_share = 0.01;       // of the posterior that a model is kept for

double log_prior(const std::vector<Step>& steps) {
    double sum = 0.0;
    for (const Step& s : steps) {
        const double chance = step_chance[s.quantity];
        sum += std::log(chance / (1.0 - chance));
    }
    return sum;
}

// A candidate: the parent's steps and one more, with the parent's scales weighed anew.
struct Candidate {
    std::vector<Step> steps;
    double gain = 0.0; // ln of the likelihood over the parent's, and of the step's own prior
    double log_evidence = 0.0;
    std::vector<double> weights; // of the parent's points
};

class Search {
public:
    Search(const LearnModel& model, Seek seek)
        : model_(model), solver_(model.model), few_(seek == Seek::thoroughly && model.brews.size() <= few_enough) {
        for (std::size_t b = 0; b < model.brews.size(); ++b) {
            const auto& brew = model.brews[b];
            const int brews = model.houses[static_cast<std::size_t>(brew.house)].brews;
            if (brew.place < least_brews_before || brews - brew.place < least_brews_after) continue;
            for (int q = 0; q < 2; ++q) places_.push_back({b, q});
        }
    }

    [[nodiscard]] std::vector<ChangeModel> models(ChangeModel still) {
        const std::size_t brews = model_.brews.size(), most_rounds = 3 + brews / 50;
        models_.push_back(std::move(still));
        for (std::size_t round = 0; round < most_rounds; ++round) {
            const ChangeModel parent = *std::ranges::max_element(models_, {}, posterior);
            for (const auto& candidate : candidates(parent))
                models_.push_back(few_ && brews <= thorough_up_to ? fitted(candidate.steps, parent.grid.mode)
                                                                  : weighed_anew(candidate, parent));
            auto& best = *std::ranges::max_element(models_, {}, posterior);
            if (posterior(best) <= posterior(parent)) break;
            if (few_ && brews > thorough_up_to) best = fitted(best.steps, best.grid.mode);
        }
        return kept();
    }

private:
    static double posterior(const ChangeModel& m) { return m.log_evidence + log_prior(m.steps); }

    ChangeModel fitted(std::vector<Step> steps, const std::vector<double>& start) {
        ChangeModel out;
        out.grid = find_scales(solver_, model_, widened_by(model_, steps), start);
        out.log_evidence = out.grid.log_evidence;
        out.steps = std::move(steps);
        return out;
    }

    static ChangeModel weighed_anew(const Candidate& candidate, const ChangeModel& parent) {
        ChangeModel out = parent;
        out.steps = candidate.steps;
        out.log_evidence = candidate.log_evidence;
        for (std::size_t p = 0; p < out.grid.points.size(); ++p) out.grid.points[p].weight = candidate.weights[p];
        return out;
    }

    // The likeliest that were not tried before, by one factorisation a point of the parent's scales.
    std::vector<Candidate> candidates(const ChangeModel& parent) {
        const auto widened = widened_by(model_, parent.steps);
        const auto& points = parent.grid.points;
        std::vector<std::vector<double>> likelihood(places_.size());
        for (const auto& point : points) {
            (void)solver_.fit(point.log_scales, Want::variances, rounds_while_seeking, widened);
            for (std::size_t i = 0; i < places_.size(); ++i)
                likelihood[i].push_back(point.weight * std::exp(std::min(gain_of(places_[i]), 300.0)));
        }
        std::vector<Candidate> all;
        for (std::size_t i = 0; i < places_.size(); ++i) {
            Candidate candidate;
            candidate.steps = parent.steps;
            if (std::ranges::find(candidate.steps, places_[i].brew, &Step::brew) != candidate.steps.end()) continue;
            candidate.steps.push_back(places_[i]);
            std::ranges::sort(candidate.steps, {}, [](const Step& s) { return std::pair(s.brew, s.quantity); });
            if (std::ranges::find(models_, candidate.steps, &ChangeModel::steps) != models_.end()) continue;
            double sum = 0.0;
            for (const double x : likelihood[i]) sum += x;
            candidate.gain = std::log(sum) + log_prior({places_[i]});
            candidate.log_evidence = parent.log_evidence + std::log(sum);
            for (double& x : likelihood[i]) x /= sum;
            candidate.weights = std::move(likelihood[i]);
            if (candidate.gain > -not_worth_it) all.push_back(std::move(candidate));
        }
        std::ranges::stable_sort(all, std::greater<>{}, &Candidate::gain);
        std::size_t kept = 0;
        while (kept < std::min(all.size(), most_candidates) && all[kept].gain > all.front().gain - not_worth_it) ++kept;
        all.erase(all.begin() + static_cast<std::ptrdiff_t>(kept), all.end());
        return all;
    }

    double gain_of(const Step& step) {
        return solver_.gain_of({model_.brews[step.brew].steps[step.quantity], step_size_sd});
    }

    std::vector<ChangeModel> kept() {
        double top = posterior(models_.front()), sum = 0.0;
        for (const auto& m : models_) top = std::max(top, posterior(m));
        for (auto& m : models_) sum += m.weight = std::exp(posterior(m) - top);
        std::erase_if(models_, [&](const ChangeModel& m) { return m.weight < least_share * sum; });
        sum = 0.0;
        for (const auto& m : models_) sum += m.weight;
        for (auto& m : models_) m.weight /= sum;
        std::ranges::stable_sort(models_, std::greater<>{}, &ChangeModel::weight);
        return std::move(models_);
    }

    const LearnModel& model_;
    GaussianSolver solver_;
    bool few_; // so few brews that scales are found for other models too
    std::vector<Step> places_;
    std::vector<ChangeModel> models_;
};

} // namespace

bool has_step_near(const LearnModel& model, const ChangeModel& change, std::size_t brew, int reach) {
    return std::ranges::any_of(change.steps, [&](const Step& s) {
        const auto &a = model.brews[s.brew], &b = model.brews[brew];
        return a.house == b.house && std::abs(a.place - b.place) <= reach;
    });
}

ChangeModel without_steps(stats::ScaleGrid grid) {
    ChangeModel out;
    out.log_evidence = grid.log_evidence;
    out.grid = std::move(grid);
    return out;
}

std::vector<stats::GaussianSolver::Widened> widened_by(const LearnModel& model, const std::vector<Step>& steps) {
    std::vector<stats::GaussianSolver::Widened> out;
    for (const Step& s : steps) out.push_back({model.brews[s.brew].steps[s.quantity], step_size_sd});
    return out;
}

std::vector<ChangeModel> find_changes(const LearnModel& model, ChangeModel still, Seek seek) {
    return Search(model, seek).models(std::move(still));
}

} // namespace lotwort::infer_detail
