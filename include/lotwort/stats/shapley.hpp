// What each of several changes did, when all of them were made at once.
//
//     phi_i = sum over sets S without i of |S|! (n - |S| - 1)!/n! (v(S with i) - v(S))
//
// the mean over all orders of what i adds when it joins (Shapley 1953). The parts sum to v(all) - v(none), alike
// changes get alike parts, one that never does anything gets nothing, and parts of a sum are the sums of parts. Exact:
// 2^n calls.
#pragma once

#include <functional>
#include <vector>

namespace lotwort::stats {

// worth(set): the value with the changes whose bits are set made. 1 <= players <= 20.
[[nodiscard]] std::vector<double> shapley(int players, const std::function<double(unsigned set)>& worth);

} // namespace lotwort::stats
