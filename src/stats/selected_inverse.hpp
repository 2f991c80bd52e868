// The entries of (L D L')^-1 on the pattern of L, without the rest of the inverse.
//
//     Z_ij = delta_ij / D_j - sum_{k > j, k in L_j} Z_ik L_kj      (j from the last column back, i >= j in L_j)
//
// (Takahashi, Fagan and Chen 1973; Erisman and Tinney 1975.) All Z_ik that a column asks for lie on the pattern.
#pragma once

#include <vector>

namespace lotwort::stats {

class SelectedInverse {
public:
    // L unit lower triangular by columns (rows ascending, the diagonal left out), D its diagonal; n columns.
    void compute(const int* outer, const int* inner, const double* l, const double* d, long n);

    [[nodiscard]] double diagonal(int i) const { return diagonal_[static_cast<std::size_t>(i)]; }
    // Where entry (i, j), i >= j, is kept. It must lie on the pattern.
    [[nodiscard]] int position(int i, int j) const;
    [[nodiscard]] double value(int position) const {
        return position < 0 ? diagonal_[static_cast<std::size_t>(-1 - position)]
                            : below_[static_cast<std::size_t>(position)];
    }

private:
    std::vector<int> outer_, inner_;
    std::vector<double> below_, diagonal_, gather_;
};

} // namespace lotwort::stats
