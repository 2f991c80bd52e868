#include "believed.hpp"
#include "lasting.hpp"
#include <algorithm>
#include <cmath>
#include <Eigen/Eigenvalues>
#include <fmt/format.h>
#include <lotwort/brew/kit.hpp>
#include <lotwort/brew/learned.hpp>

namespace lotwort::infer_detail {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

// What is known beforehand together: mean, and a root of the covariance, whose columns are errors of sd 1 that the
// equations share. Figures of the brew may stand before the instruments.
struct Known {
    std::vector<std::string> keys; // of the instruments
    VectorXd mean;
    MatrixXd root;
    Index figures = 0;
    [[nodiscard]] std::optional<Index> place(const std::string& key) const {
        const auto found = std::ranges::find(keys, key);
        return found == keys.end() ? std::nullopt : std::optional<Index>(figures + (found - keys.begin()));
    }
};

Known known_by_brews(const Elsewhere& taught) {
    const auto n = std::ssize(taught.mean);
    const Eigen::SelfAdjointEigenSolver<MatrixXd> eigen(
        Eigen::Map<const MatrixXd>(taught.covariance.data(), n, n).eval());
    return {taught.instruments, Eigen::Map<const VectorXd>(taught.mean.data(), n),
            eigen.eigenvectors() * eigen.eigenvalues().cwiseMax(0.0).cwiseSqrt().asDiagonal(),
            static_cast<Index>(taught.figures)};
}

// An instrument that is known apart from the others.
void know(const std::string& key, const CheckedError& error, Known& known) {
    const Index n = known.mean.size();
    known.keys.push_back(key);
    known.mean.conservativeResize(n + 1);
    known.mean[n] = error.value;
    MatrixXd root = MatrixXd::Zero(n + 1, n + 1);
    root.topLeftCorner(n, n) = known.root;
    root(n, n) = error.sd;
    known.root = std::move(root);
}

// By other brews, which have the checks of what they were read with; of an instrument that they were not, by its own
// checks; of one that has none, nothing.
Known known_of(const ReconcileInput& in) {
    Known known = in.elsewhere ? known_by_brews(*in.elsewhere) : Known{};
    for (const Instrument& instrument : in.instruments)
        if (const auto errors = checked_errors(instrument); !errors.empty() && !known.place(instrument.name))
            know(instrument.name, believed(errors), known);
    return known;
}

// Volumes and gravities at the temperatures that there were.
void mend_temperatures(const ReconcileInput& in, const Known& known, std::vector<BrewEquation>& equations) {
    const Instrument thermometer = thermometer_of(in);
    const auto at = known.place(instrument_key(in, thermometer.name));
    if (!at) return;
    const double high_by = known.mean[*at] * thermometer.bias_sd.value_or(0.0);
    for (auto& e : equations)
        if (is_by_temperature(e)) e.at_c -= high_by;
}

// So many units of what is known at that place are in the equation, beside what it has of its own.
void share(const Known& known, Index place, double units, BrewEquation& e) {
    for (Index k = 0; k < known.root.cols(); ++k) {
        const double part = units * known.root(place, k);
        if (part == 0.0) continue;
        const std::string source = fmt::format("known {}", k);
        const auto there = std::ranges::find(e.shared, source, &SharedError::source);
        if (there == e.shared.end())
            e.shared.push_back({source, part});
        else
            there->sd += part;
    }
}

// An expectation of the brew as its others lead to it. Where the brew lies above it, it errs downwards.
void expect(const Known& known, Index figure, double value, double units, BrewEquation& e) {
    e.observed = value;
    e.own_sd = e.level_sd = 0.0;
    e.shared.clear();
    share(known, figure, -units, e);
}

void expect_figures(const ReconcileInput& in, const Known& known, std::vector<BrewEquation>& equations) {
    if (known.figures == 0) return;
    const Kit kit = kit_of(in.brewhouse);
    const auto at = [&](HouseFigure figure) { return static_cast<Index>(figure); };
    const auto mean = [&](HouseFigure figure) { return known.mean[at(figure)]; };
    for (BrewEquation& e : equations) {
        if (!e.is_expectation) continue;
        if (e.id == "expect:conversion" || e.id == "expect:lauter") {
            const auto figure = e.id == "expect:lauter" ? HouseFigure::lauter : HouseFigure::conversion;
            expect(known, at(figure), std::exp(mean(figure)), std::exp(mean(figure)), e);
        } else if (e.id == "expect:boil-off") {
            const double hours = e.observed / std::max(kit.boil_off_l_per_h, 1e-9);
            expect(known, at(HouseFigure::boil_off), mean(HouseFigure::boil_off) * hours, hours, e);
        } else if (e.id == "expect:absorption") {
            const double kg = (e.observed - kit.tun_loss_l) / std::max(kit.absorption_l_per_kg, 1e-9);
            expect(known, at(HouseFigure::absorption), mean(HouseFigure::absorption) * kg + kit.tun_loss_l, kg, e);
        } else if (e.id == "expect:kettle-loss") {
            expect(known, at(HouseFigure::kettle_loss), e.observed + mean(HouseFigure::kettle_loss) - kit.kettle_loss_l,
                   1.0, e);
        } else if (e.id == "expect:grist") {
            std::erase_if(e.shared, [](const SharedError& s) { return s.source.starts_with("lot "); });
            const Index malt = known.figures - 1;
            e.observed *= std::exp(known.mean[malt]);
            share(known, malt, -e.observed, e);
        }
    }
}

} // namespace

std::vector<BrewEquation> believed(const ReconcileInput& in, std::vector<BrewEquation> equations) {
    const Known known = known_of(in);
    if (known.mean.size() == 0) return equations;
    const Lasting lasting(in, equations);
    const MatrixXd shares = lasting.matrix();
    const std::vector<BrewEquation> fresh = without_lasting(equations);
    for (Index i = 0; i < shares.rows(); ++i) {
        BrewEquation& e = equations[static_cast<std::size_t>(i)];
        for (Index k = 0; k < shares.cols(); ++k) {
            const auto at = known.place(lasting.instruments[static_cast<std::size_t>(k)].key);
            if (!at || shares(i, k) == 0.0) continue;
            e.bias_sd = fresh[static_cast<std::size_t>(i)].bias_sd;
            for (std::size_t s = 0; s < fresh[static_cast<std::size_t>(i)].shared.size(); ++s)
                e.shared[s].sd = fresh[static_cast<std::size_t>(i)].shared[s].sd;
            e.observed -= shares(i, k) * known.mean[*at];
            e.correction -= shares(i, k) * known.mean[*at];
            share(known, *at, shares(i, k), e);
        }
    }
    mend_temperatures(in, known, equations);
    expect_figures(in, known, equations);
    return equations;
}

BrewEquation believed(const ReconcileInput& in, const BrewEquation& equation) {
    return believed(in, std::vector{equation}).front();
}

} // namespace lotwort::infer_detail
