#include <algorithm>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/share.hpp>
#include <numeric>

namespace lotwort {

std::vector<std::int64_t> shared_out(std::int64_t sum, const std::vector<std::int64_t>& weights) {
    __extension__ using Wide = __int128; // money times weight passes 64 bits
    LOTWORT_CHECK(sum >= 0 && std::ranges::all_of(weights, [](std::int64_t w) { return w >= 0; }));
    Wide all = 0;
    for (const auto weight : weights) all += weight;
    if (all == 0) return weights.empty() ? weights : shared_out(sum, std::vector<std::int64_t>(weights.size(), 1));
    std::vector<std::int64_t> parts(weights.size());
    std::vector<Wide> lost(weights.size());
    std::int64_t left = sum;
    for (std::size_t i = 0; i < weights.size(); ++i) {
        const Wide whole = Wide(sum) * weights[i];
        parts[i] = static_cast<std::int64_t>(whole / all);
        lost[i] = whole % all;
        left -= parts[i];
    }
    std::vector<std::size_t> order(weights.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) { return lost[a] > lost[b]; });
    for (std::size_t i = 0; left > 0; ++i, --left) ++parts[order[i]];
    return parts;
}

} // namespace lotwort
