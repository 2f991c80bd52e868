// What the forecast of the next brew takes of the fitted model.
#pragma once

#include "fit.hpp"

namespace lotwort::infer_detail {

// The combinations whose joint distribution the forecast asks for, and what a malt not seen yet adds of its own.
struct Wanted {
    std::vector<std::vector<stats::Term>> combinations;
    std::vector<std::string> malts;
    struct Own {
        std::size_t at;
        double sd;
        bool is_of_lot; // and goes with the lots' scale
    };
    std::vector<Own> own;
};

// Of the house's figures, the lots on hand and the items of the request.
[[nodiscard]] Wanted wanted(const LearnRequest& request, const LearnModel& model, const House& house, Date latest);

// What the model is to be fitted with first: what is wanted, then the slopes of what was read, where there are any.
[[nodiscard]] std::vector<std::vector<stats::Term>> combinations_of(const Wanted& wanted, const LearnModel& model);

// The slope that stands there among the combinations, with its sd.
[[nodiscard]] std::pair<double, double> slope_at(const FittedModel& fitted, std::size_t at);

// The model was fitted with those combinations first.
[[nodiscard]] Learned learned_of(const Wanted& wanted, const LearnModel& model, const House& house,
                                 const FittedModel& fitted);

} // namespace lotwort::infer_detail
