#include "undecided.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace lotwort::infer_detail {

namespace {

constexpr double together = 0.4;       // correlation from which two are not told apart
constexpr double worth_asking = 0.004; // sd below which nobody needs to know
constexpr std::size_t most_named = 8, most_candidates = 40;

// A brew that could be made: shares of malts.
struct Candidate {
    std::string words;
    std::vector<std::pair<std::size_t, double>> shares; // place in the joint Gaussian
};

std::vector<Candidate> candidates_of(const Learned& next, const std::vector<UsedLot>& on_hand) {
    std::vector<std::pair<std::string, std::size_t>> malts;
    for (const auto& used : on_hand)
        if (const auto at = next.malt(used.lot.code)) malts.emplace_back(used.lot.code, *at);
    std::vector<Candidate> out;
    for (const auto& [name, at] : malts) out.push_back({fmt::format("a brew on {} alone", name), {{at, 1.0}}});
    for (std::size_t i = 0; i < malts.size() && out.size() < most_candidates; ++i)
        for (std::size_t j = i + 1; j < malts.size() && out.size() < most_candidates; ++j)
            out.push_back({fmt::format("a brew on half {}, half {}", malts[i].first, malts[j].first),
                           {{malts[i].second, 0.5}, {malts[j].second, 0.5}}});
    return out;
}

// sd of a combination of the Gaussian's figures, now and after a candidate's conversion is read.
class Contrast {
public:
    Contrast(const Learned& next, std::vector<std::pair<std::size_t, double>> of) : next_(next), of_(std::move(of)) {}
    [[nodiscard]] double variance() const { return between(of_); }
    [[nodiscard]] double after(const Candidate& brew, double noise) const {
        auto seen = brew.shares;
        seen.emplace_back(0, 1.0); // the house's conversion is in every brew
        double spread = noise * noise;
        for (const auto& [i, a] : seen)
            for (const auto& [j, b] : seen) spread += a * b * next_.cov(i, j);
        const double shared = between(seen);
        return variance() - shared * shared / spread;
    }

private:
    [[nodiscard]] double between(const std::vector<std::pair<std::size_t, double>>& with) const {
        double sum = 0.0;
        for (const auto& [i, a] : of_)
            for (const auto& [j, b] : with) sum += a * b * next_.cov(i, j);
        return sum;
    }
    const Learned& next_;
    std::vector<std::pair<std::size_t, double>> of_;
};

std::string would_tell(const Contrast& contrast, const std::vector<Candidate>& candidates, double noise) {
    const Candidate* best = nullptr;
    double least = 0.98 * contrast.variance();
    for (const auto& candidate : candidates) {
        const double after = contrast.after(candidate, noise);
        if (after < least) {
            least = after;
            best = &candidate;
        }
    }
    if (!best) return "no brew from what is in stock would tell much";
    return fmt::format("{}, its mash end read: the difference would be known to ± {:.1f} % instead of ± {:.1f} %",
                       best->words, 100.0 * std::sqrt(std::max(least, 0.0)), 100.0 * std::sqrt(contrast.variance()));
}

} // namespace

std::vector<Undecided> find_undecided(const Learned& next, const std::vector<UsedLot>& on_hand, double one_brew_sd) {
    const auto candidates = candidates_of(next, on_hand);
    struct Named {
        std::string name;
        std::size_t at;
    };
    std::vector<Named> all{{"the brewhouse's conversion", 0}};
    for (std::size_t i = 0; i < next.malts.size(); ++i) {
        const bool lot = std::ranges::any_of(on_hand, [&](const UsedLot& u) { return u.lot.code == next.malts[i]; });
        all.push_back({(lot ? "lot " : "malt ") + next.malts[i], house_figures + i});
    }
    std::vector<Undecided> found;
    for (std::size_t a = 0; a < all.size(); ++a)
        for (std::size_t b = a + 1; b < all.size(); ++b) {
            const double va = next.cov(all[a].at, all[a].at), vb = next.cov(all[b].at, all[b].at);
            const double correlation = next.cov(all[a].at, all[b].at) / std::sqrt(va * vb);
            // lots that move with their own malt are no question a brewer asks
            if (correlation > -together || std::sqrt(std::min(va, vb)) < worth_asking) continue;
            const Contrast contrast(next, {{all[a].at, 1.0}, {all[b].at, -1.0}});
            found.push_back({{all[a].name, all[b].name}, correlation, would_tell(contrast, candidates, one_brew_sd)});
        }
    std::ranges::stable_sort(found, {}, &Undecided::correlation);
    if (found.size() > most_named) found.resize(most_named);
    return found;
}

} // namespace lotwort::infer_detail
