#include "takes.hpp"
#include <algorithm>

namespace lotwort::plan {

void set_price_of_takes(SubstitutionCase& c, const Tolerances& t) {
    constexpr double least = 0.02; // two lots of one character are still two weighings
    for (Hole& hole : c.holes) {
        std::vector<const Candidate*> order;
        for (const Candidate& k : hole.candidates) order.push_back(&k);
        std::ranges::stable_sort(order, {}, &Candidate::distance);
        std::optional<double> alone;
        double left = hole.target, mixed = 0.0;
        for (const Candidate* k : order) {
            const double all = c.lots[k->lot].free_kg * k->counts;
            if (!alone && all >= hole.target - hole.tolerance) alone = k->distance;
            const double part = std::min(all, left);
            mixed += part / hole.target * k->distance;
            left -= part;
        }
        hole.per_take = hole.share * std::max(least, t.second_take * alone.value_or(mixed));
    }
}

} // namespace lotwort::plan
