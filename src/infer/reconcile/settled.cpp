#include "settled.hpp"
#include "equations.hpp"

namespace lotwort::infer_detail {

namespace {
constexpr std::size_t most_left_out = 6; // slips of one brew day
}

SettledBrew settle(const BrewModel& model, const UnknownsOf& unknowns, Limited as_read, std::vector<Charge> charges) {
    const auto limits = limits_of(model, unknowns);
    SettledBrew out{model, std::move(as_read), {}, true};
    for (;;) {
        out.is_settled = is_settled(out.limited, limits);
        if (out.is_settled || charges.empty() || out.left_out.size() == most_left_out) return out;
        const std::size_t worst = charges.front().index;
        out.left_out.push_back(out.model.equations[worst]);
        out.model = without(out.model, worst);
        const auto problem = problem_of(out.model, unknowns);
        out.limited = solve_within(problem, limits);
        if (!is_settled(out.limited, limits)) charges = charges_of(out.model, unknowns, problem, out.limited);
    }
}

} // namespace lotwort::infer_detail
