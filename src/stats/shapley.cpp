#include <bit>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/shapley.hpp>

namespace lotwort::stats {

std::vector<double> shapley(int players, const std::function<double(unsigned)>& worth) {
    LOTWORT_CHECK(players >= 1 && players <= 20);
    const unsigned sets = 1U << players;
    std::vector<double> value(sets);
    for (unsigned set = 0; set < sets; ++set) value[set] = worth(set);
    // |S|! (n - |S| - 1)!/n! = 1/(n C(n - 1, |S|))
    std::vector<double> weight(static_cast<std::size_t>(players));
    double choose = 1.0;
    for (int size = 0; size < players; ++size) {
        weight[static_cast<std::size_t>(size)] = 1.0 / (players * choose);
        choose *= static_cast<double>(players - 1 - size) / (size + 1);
    }
    std::vector<double> parts(static_cast<std::size_t>(players), 0.0);
    for (unsigned set = 0; set < sets; ++set)
        for (int i = 0; i < players; ++i)
            if (!((set >> i) & 1U))
                parts[static_cast<std::size_t>(i)] +=
                    weight[static_cast<std::size_t>(std::popcount(set))] * (value[set | (1U << i)] - value[set]);
    return parts;
}

} // namespace lotwort::stats
