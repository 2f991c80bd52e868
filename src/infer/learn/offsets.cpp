#include "offsets.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::infer_detail {

namespace {

constexpr double looks_alike = 0.25; // correlation from which another figure may be meant instead

// Something that may err for ever: an instrument, or what a house is stated to boil off or hold back.
struct Suspect {
    std::string what;
    double probability = 0.0;
};

// Probability that it lies more than half a stated sd from what is stated, to the side of its estimate.
double off(const Mixture& x, double stated, double sd) {
    const bool is_low = x.mean() < stated;
    return is_low ? x.below(stated - 0.5 * sd) : 1.0 - x.below(stated + 0.5 * sd);
}

// Its mean, and the interval of what it may be: where the brews speak for one of the few far off, that of such a one.
Estimate estimate_of(const FittedOffset& fitted) {
    Estimate e = fitted.offset.estimate();
    if (fitted.beyond <= beyond_share) return e;
    const Estimate wide = fitted.if_beyond.estimate();
    e.low = std::min(e.low, wide.low);
    e.high = std::max(e.high, wide.high);
    return e;
}

std::vector<Suspect> suspects_of(const LearnModel& model, const FittedModel& fitted) {
    std::vector<Suspect> out;
    constexpr std::string_view typical = "typical ";
    for (std::size_t i = 0; i < model.instruments.size(); ++i)
        out.push_back({model.instruments[i].instrument.name.substr(
                           model.instruments[i].instrument.name.starts_with(typical) ? typical.size() : 0),
                       off(fitted.instruments[i].offset, 0.0, 1.0)});
    const char* const names[3] = {"boil-off", "absorption", "kettle loss"};
    for (std::size_t h = 0; h < model.houses.size(); ++h)
        for (std::size_t k = 0; k < 3; ++k) {
            const auto& prior = model.houses[h].prior;
            out.push_back({names[k] + std::string(" of ") + model.houses[h].name,
                           off(fitted.houses[h][k].offset, prior.mean[2 + k], prior.level_sd[2 + k])});
        }
    return out;
}

} // namespace

std::vector<std::vector<stats::Term>> offset_combinations(const LearnModel& model) {
    std::vector<std::vector<stats::Term>> out;
    for (const auto& at : model.instruments) out.push_back({{at.unknown, 1.0}});
    for (const auto& house : model.houses)
        for (const int constant : house.constants) out.push_back({{constant, 1.0}});
    return out;
}

std::vector<LearnedInstrument> learned_instruments(const LearnModel& model, const FittedModel& fitted,
                                                   std::size_t first) {
    const auto suspects = suspects_of(model, fitted);
    const std::size_t n = fitted.joint_mean.size();
    const auto correlation = [&](std::size_t i, std::size_t j) {
        const auto cov = [&](std::size_t a, std::size_t b) {
            return fitted.joint_covariance[(first + a) * n + first + b];
        };
        return cov(i, j) / std::sqrt(cov(i, i) * cov(j, j));
    };
    std::vector<LearnedInstrument> out;
    for (std::size_t i = 0; i < model.instruments.size(); ++i) {
        const auto& at = model.instruments[i];
        const auto& used = at.instrument;
        // one brew says no more than its own balance
        if (at.brews < 2 && used.checks.empty()) continue;
        LearnedInstrument learned;
        learned.name = used.name;
        learned.unit = used.unit;
        if (!used.is_stated && model.houses.size() > 1)
            learned.brewhouse = used.key.substr(0, used.key.size() - used.name.size() - 2);
        const Estimate e = estimate_of(fitted.instruments[i]);
        learned.offset = {e.value * used.bias_sd, e.sd * used.bias_sd, e.low * used.bias_sd, e.high * used.bias_sd};
        learned.stated_sd = used.bias_sd;
        learned.brews = at.brews;
        learned.checks = static_cast<int>(used.checks.size());
        learned.probability = suspects[i].probability;
        learned.is_told = learned.probability >= told_from;
        for (std::size_t j = 0; j < suspects.size(); ++j)
            if (j != i && suspects[j].probability >= 0.3 && std::abs(correlation(i, j)) >= looks_alike)
                learned.or_else.push_back({suspects[j].what, suspects[j].probability});
        std::ranges::stable_sort(learned.or_else, std::greater<>{}, &PossibleCause::probability);
        if (learned.is_told && used.correction) learned.correction = *used.correction - learned.offset.value;
        out.push_back(std::move(learned));
    }
    return out;
}

} // namespace lotwort::infer_detail
