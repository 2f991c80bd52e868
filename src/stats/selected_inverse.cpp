#include "selected_inverse.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>

namespace lotwort::stats {

void SelectedInverse::compute(const int* outer, const int* inner, const double* l, const double* d, long n) {
    const auto size = static_cast<std::size_t>(n);
    outer_.assign(outer, outer + n + 1);
    inner_.assign(inner, inner + outer[n]);
    below_.assign(inner_.size(), 0.0);
    diagonal_.assign(size, 0.0);
    gather_.assign(size, 0.0);
    std::vector<char> in_column(size, 0);
    std::vector<double> coefficient(size, 0.0);
    for (long j = n - 1; j >= 0; --j) {
        const int from = outer_[static_cast<std::size_t>(j)], to = outer_[static_cast<std::size_t>(j) + 1];
        for (int a = from; a < to; ++a) {
            const auto row = static_cast<std::size_t>(inner_[static_cast<std::size_t>(a)]);
            in_column[row] = 1;
            coefficient[row] = l[a];
            gather_[row] = 0.0;
        }
        // gather sum_k Z_ik L_kj over the column's own rows, each pair once from the column of the smaller
        for (int a = from; a < to; ++a) {
            const auto k = static_cast<std::size_t>(inner_[static_cast<std::size_t>(a)]);
            double own = diagonal_[k] * coefficient[k];
            for (int b = outer_[k]; b < outer_[k + 1]; ++b) {
                const auto i = static_cast<std::size_t>(inner_[static_cast<std::size_t>(b)]);
                if (!in_column[i]) continue;
                gather_[i] += below_[static_cast<std::size_t>(b)] * coefficient[k];
                own += below_[static_cast<std::size_t>(b)] * coefficient[i];
            }
            gather_[k] += own;
        }
        double z = 1.0 / d[j];
        for (int a = from; a < to; ++a) {
            const auto row = static_cast<std::size_t>(inner_[static_cast<std::size_t>(a)]);
            below_[static_cast<std::size_t>(a)] = -gather_[row];
            z += l[a] * gather_[row];
            in_column[row] = 0;
        }
        diagonal_[static_cast<std::size_t>(j)] = z;
    }
}

int SelectedInverse::position(int i, int j) const {
    if (i == j) return -1 - i;
    const auto from = inner_.begin() + outer_[static_cast<std::size_t>(j)],
               to = inner_.begin() + outer_[static_cast<std::size_t>(j) + 1];
    const auto found = std::lower_bound(from, to, i);
    LOTWORT_CHECK(found != to && *found == i);
    return static_cast<int>(found - inner_.begin());
}

} // namespace lotwort::stats
