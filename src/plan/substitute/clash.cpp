// Why there is no answer: a smallest set of rules that cannot be kept together.
#include "solve.hpp"
#include "steps.hpp"
#include <algorithm>

namespace lotwort::plan {

namespace {

bool is_infeasible(const Mip& model, const MipOptions& limits) {
    Mip any = model;
    for (std::size_t i = 0; i < any.columns().size(); ++i) any.set_cost(static_cast<int>(i), 0.0);
    MipOptions options = options_for(any, limits);
    options.most_nodes = std::min(options.most_nodes, 2000);
    options.progress = nullptr;
    return solve(any, options).status == MipStatus::infeasible;
}

// Drops rules, half of them at a time as long as the rest still clashes: most have no part in it.
class Deletion {
public:
    Deletion(const SubstitutionModel& model, Mip kept, const MipOptions& limits)
        : model_(model), kept_(std::move(kept)), limits_(limits) {
        for (std::size_t r = 0; r < model.rules.size(); ++r) needed_.push_back(r);
        // what is tried first is dropped sooner
        std::ranges::stable_partition(needed_, [&](std::size_t r) { return !model.rules[r].is_plain; });
    }

    std::vector<std::string> run() {
        std::vector<std::string> words;
        if (!is_infeasible(kept_, limits_)) return words;
        thin(0, needed_.size());
        for (const std::size_t r : needed_)
            if (r < model_.rules.size()) words.push_back(model_.rules[r].words);
        return words;
    }

private:
    void thin(std::size_t from, std::size_t to) {
        if (from >= to) return;
        Mip trial = kept_;
        for (std::size_t i = from; i < to; ++i)
            for (const int row : model_.rules[needed_[i]].rows) trial.drop_row(row);
        if (is_infeasible(trial, limits_)) {
            kept_ = std::move(trial);
            for (std::size_t i = from; i < to; ++i) needed_[i] = model_.rules.size(); // dropped
            return;
        }
        if (to - from == 1) return;
        const std::size_t middle = from + (to - from) / 2;
        thin(from, middle);
        thin(middle, to);
    }

    const SubstitutionModel& model_;
    Mip kept_;
    const MipOptions& limits_;
    std::vector<std::size_t> needed_;
};

} // namespace

std::vector<std::string> clashing_rules(const SubstitutionCase& c, const MipOptions& limits) {
    const SubstitutionModel model =
        substitution_model(c, {.kind = AnswerKind::oldest, .allow_crumbs = true, .loose_bounds = true});
    // masses alone first: where they clash already, that is seen a hundred times as fast
    Mip linear = model.mip;
    for (std::size_t r = 0; r < linear.rows().size(); ++r)
        if (std::ranges::any_of(linear.rows()[r].terms,
                                [&](const Term& t) { return model.mip.columns()[std::size_t(t.column)].whole; }))
            linear.drop_row(static_cast<int>(r));
    for (std::size_t i = 0; i < linear.columns().size(); ++i) linear.set_whole(static_cast<int>(i), false);
    if (model.mip.columns().size() >= small_model)
        if (auto words = Deletion(model, std::move(linear), limits).run(); !words.empty()) return words;
    return Deletion(model, model.mip, limits).run();
}

} // namespace lotwort::plan
