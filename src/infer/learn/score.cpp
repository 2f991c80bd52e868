#include "gather.hpp"
#include "next.hpp"
#include "poured.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/infer/score.hpp>

namespace lotwort {

namespace {

using namespace infer_detail;

constexpr std::size_t most_before = 150; // brews that what is learned rests on
constexpr std::size_t found_anew = 5;    // where the brews have become one in so many more

// What was learned before a brew, and beside it the lasting errors of what it was read with: one joint Gaussian, in
// which those stand after the forecast's own figures.
struct Known {
    Learned learned;
    std::vector<std::string> instruments; // keys
    std::vector<double> mean, covariance;
};

// A forecast figure with its slopes in the learned figures.
struct Foretold {
    Estimate estimate;
    std::vector<double> slope;
};

Foretold foretold(const Poured& poured, const ReconcileInput& in, const Learned& learned, Estimate Forecast::*figure) {
    Foretold out{forecast_of(poured, in, learned).*figure, {}};
    constexpr double step = 1e-3;
    for (std::size_t i = 0; i < learned.size(); ++i) {
        Learned moved = learned;
        moved.mean[i] += step;
        out.slope.push_back(((forecast_of(poured, in, moved).*figure).value - out.estimate.value) / step);
    }
    return out;
}

// The forecast of what is read: the true figure and the instrument's lasting error, which are not known apart.
ForetoldFigure against(const Foretold& f, const CameFigure& came, const Known& known) {
    double value = f.estimate.value, variance = f.estimate.sd * f.estimate.sd + came.read.sd * came.read.sd;
    const auto found = std::ranges::find(known.instruments, came.instrument);
    if (found == known.instruments.end()) {
        variance += lasting_share * came.bias_sd * came.bias_sd; // never read with before
    } else {
        const std::size_t n = known.mean.size(),
                          at = known.learned.size() + static_cast<std::size_t>(found - known.instruments.begin());
        value += came.bias_sd * known.mean[at];
        variance += came.bias_sd * came.bias_sd * known.covariance[at * n + at];
        for (std::size_t i = 0; i < f.slope.size(); ++i)
            variance += 2.0 * came.bias_sd * f.slope[i] * known.covariance[at * n + i];
    }
    return {normal_estimate(value, std::sqrt(std::max(variance, came.read.sd * came.read.sd))), came.read.value};
}

// What was learned, as it goes on from brew to brew.
class Teaching {
public:
    explicit Teaching(const std::vector<const ReconcileInput*>& brews) : brews_(brews) {
        for (std::size_t b = 0; b < brews.size(); ++b) place_[brews[b]->brew.code] = b;
    }

    // From the brews before that one alone, for its house, its lots and what it was read with.
    Known before(std::size_t brew, const Came& came) {
        const ReconcileInput& in = *brews_[brew];
        if (gathered_.brews.empty() || was_retested_by(in.brew.date) || (brew - found_at_) * found_anew >= found_from_)
            find_anew(brew);
        else
            go_on_to(brew);
        const LearnModel model = learn_model(gathered_.evidence, gathered_.lots, gathered_.houses, gathered_.latest);
        const House& house = model.houses[static_cast<std::size_t>(model.house_named(in.brewhouse.name))];
        LearnRequest asked;
        for (const auto& [code, used] : in.lots) asked.lots_on_hand.push_back(used);
        const Wanted w = wanted(asked, model, house, gathered_.latest);
        auto combinations = combinations_of(w, model);
        const std::size_t others = combinations.size();
        Known known;
        for (const auto* figure : {&came.gravity_sg, &came.volume_l}) {
            if (!*figure) continue;
            const auto found = model.instrument_index.find((*figure)->instrument);
            if (found == model.instrument_index.end()) continue;
            known.instruments.push_back(found->first);
            combinations.push_back({{model.instruments[static_cast<std::size_t>(found->second)].unknown, 1.0}});
        }
        const FittedModel fitted = fit_model(model, changes_, combinations);
        known.learned = learned_of(w, model, house, fitted);
        std::vector<std::size_t> kept;
        for (std::size_t i = 0; i < combinations.size(); ++i)
            if (i < known.learned.size() || i >= others) kept.push_back(i); // not the slopes of what was read
        for (const std::size_t i : kept) {
            known.mean.push_back(fitted.joint_mean[i]);
            for (const std::size_t j : kept)
                known.covariance.push_back(fitted.joint_covariance[i * combinations.size() + j]);
        }
        return known;
    }

private:
    // All that ran into its fermenter is among the brews before that one.
    [[nodiscard]] bool is_known(const ReconcileInput& in, std::size_t before) const {
        const auto is_earlier = [&](const ReconcileInput& tied) { return place_.at(tied.brew.code) < before; };
        return std::ranges::all_of(in.earlier_in_fermenter, is_earlier) &&
               std::ranges::all_of(in.later_in_fermenter, is_earlier);
    }
    [[nodiscard]] bool was_retested_by(Date day) const {
        return std::ranges::any_of(gathered_.lots, [&](const auto& lot) {
            return std::ranges::any_of(lot.second.lot.retests, [&](const Retest& retest) {
                return gathered_.latest < retest.on && retest.on <= day;
            });
        });
    }
    void find_anew(std::size_t brew) {
        found_at_ = taken_ = brew;
        found_from_ = std::min(brew, most_before);
        std::vector<const ReconcileInput*> known;
        for (std::size_t b = brew - found_from_; b < brew; ++b)
            if (is_known(*brews_[b], brew)) known.push_back(brews_[b]);
        gathered_ = gather(std::move(known), brews_[brew]->brew.date);
        gathered_.add_house(brews_[brew]->brewhouse);
        near_ = make_linear_again(gathered_);
        const LearnModel model = learn_model(gathered_.evidence, gathered_.lots, gathered_.houses, gathered_.latest);
        changes_ = changes_at_one_point(model);
    }
    void go_on_to(std::size_t brew) {
        gathered_.latest = brews_[brew]->brew.date;
        for (; taken_ < brew; ++taken_) {
            const ReconcileInput& in = *brews_[taken_];
            if (!is_known(in, brew)) continue; // until all is found anew
            const auto near = near_.find(in.brewhouse.name);
            gathered_.evidence.push_back(
                evidence_or_fault(in, gathered_.latest, near != near_.end() ? &near->second : nullptr));
            gathered_.lots.insert(in.lots.begin(), in.lots.end());
            gathered_.brews.push_back(&in);
        }
        gathered_.add_house(brews_[brew]->brewhouse);
    }

    const std::vector<const ReconcileInput*>& brews_;
    std::map<std::string, std::size_t> place_;
    Gathered gathered_;
    std::map<std::string, HouseValues> near_;
    std::vector<ChangeModel> changes_;
    std::size_t found_at_ = 0, found_from_ = 0, taken_ = 0;
};

} // namespace

ForecastScore score_forecasts(const LearnRequest& request, int last) {
    const auto brews = in_order(request.brews);
    std::vector<std::pair<std::size_t, Poured>> asked;
    for (std::size_t b = brews.size(); b-- > 1 && std::ssize(asked) < last;)
        if (auto poured = poured_or_none(*brews[b])) asked.emplace_back(b, *std::move(poured));
    std::ranges::reverse(asked);
    ForecastScore score;
    Teaching teaching(brews);
    for (const auto& [at, poured] : asked) {
        const ReconcileInput& in = *brews[at];
        const Known known = teaching.before(at, poured.came);
        const Learned& learned = known.learned;
        if (learned.brews == 0) continue;
        ForetoldBrew brew{in.brew.code, in.brewhouse.name, in.brew.date, learned.brews, {}, {}};
        if (const auto& came = poured.came.gravity_sg)
            brew.gravity_sg = against(foretold(poured, in, learned, &Forecast::original_gravity_sg), *came, known);
        if (const auto& came = poured.came.volume_l)
            brew.volume_l = against(foretold(poured, in, learned, &Forecast::volume_l), *came, known);
        score.brews.push_back(std::move(brew));
    }
    return score;
}

FigureScore score_of(const ForecastScore& score, std::optional<ForetoldFigure> ForetoldBrew::*figure) {
    FigureScore out;
    for (const auto& brew : score.brews) {
        const auto& at = brew.*figure;
        if (!at) continue;
        ++out.of;
        out.held += at->held() ? 1 : 0;
        const double error = at->foretold.value - at->came;
        out.mean_error += error;
        out.rms_error += error * error;
    }
    if (out.of > 0) {
        out.mean_error /= out.of;
        out.rms_error = std::sqrt(out.rms_error / out.of);
    }
    return out;
}

} // namespace lotwort
