// What a solver's last fit says of combinations of its unknowns.
#include "gaussian_solver.hpp"
#include <algorithm>

namespace lotwort::stats {

std::vector<HalfSolved> GaussianSolver::Impl::half_solved(const std::vector<std::vector<Term>>& combinations) const {
    const Sparse& l = ldlt.matrixL().nestedExpression();
    const Eigen::VectorXd d = ldlt.vectorD(); // given by value
    const auto& p = ldlt.permutationP().indices();
    std::vector<HalfSolved> out;
    std::vector<double> x(n(), 0.0);
    std::vector<char> is_reached(n(), 0);
    for (const auto& terms : combinations) {
        std::vector<int> rows;
        const auto reach = [&](int row) {
            // up the tree: the first below the diagonal is the row's parent, and all others are above that
            while (row >= 0 && !is_reached[static_cast<std::size_t>(row)]) {
                is_reached[static_cast<std::size_t>(row)] = 1;
                rows.push_back(row);
                int parent = -1;
                for (Sparse::InnerIterator at(l, row); at && parent < 0; ++at)
                    if (at.row() > row) parent = static_cast<int>(at.row());
                row = parent;
            }
        };
        for (const Term& term : terms) {
            x[static_cast<std::size_t>(p[term.unknown])] += term.coefficient;
            reach(p[term.unknown]);
        }
        std::ranges::sort(rows);
        HalfSolved& half = out.emplace_back();
        half.rows.reserve(rows.size());
        for (const int row : rows) {
            const double solved = std::exchange(x[static_cast<std::size_t>(row)], 0.0);
            is_reached[static_cast<std::size_t>(row)] = 0;
            for (Sparse::InnerIterator at(l, row); at; ++at)
                if (at.row() > row) x[static_cast<std::size_t>(at.row())] -= at.value() * solved;
            half.rows.emplace_back(row, solved / std::sqrt(d[row]));
        }
    }
    return out;
}

GaussianSolver::Joint GaussianSolver::joint(const std::vector<std::vector<Term>>& combinations) const {
    const auto half = impl_->half_solved(combinations);
    Joint out;
    for (const auto& a : combinations) out.mean.push_back(impl_->dot_mean(a));
    const std::size_t k = half.size();
    out.covariance.resize(k * k);
    for (std::size_t i = 0; i < k; ++i)
        for (std::size_t j = 0; j <= i; ++j)
            out.covariance[i * k + j] = out.covariance[j * k + i] = half[i].dot(half[j]);
    return out;
}

std::vector<GaussianSolver::Foreseen> GaussianSolver::each(const std::vector<std::vector<Term>>& combinations) const {
    const auto half = impl_->half_solved(combinations);
    std::vector<Foreseen> out;
    for (std::size_t i = 0; i < half.size(); ++i)
        out.push_back({impl_->dot_mean(combinations[i]), half[i].dot(half[i])});
    return out;
}

} // namespace lotwort::stats
