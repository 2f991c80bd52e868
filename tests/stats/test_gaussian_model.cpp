// The sparse model against the same sums done densely, slopes against differences, and doubts against every case
// counted.
#include "near.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <Eigen/Core>
#include <Eigen/LU>
#include <lotwort/stats/gaussian_model.hpp>
#include <lotwort/stats/step_scan.hpp>
#include <numbers>
#include <random>

using namespace lotwort::test;

using namespace lotwort::stats;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using Want = GaussianSolver::Want;

namespace {

struct Sentence {
    std::vector<Term> terms;
    double value, sd;
    int scale;
};

// Levels that wander, lots that scatter, brews that mix lots.
std::vector<Sentence> brewery(int brews, int lots, unsigned seed) {
    std::mt19937 chance(seed);
    const auto normal = [&] { return std::normal_distribution<double>()(chance); };
    std::vector<Sentence> all;
    const auto level = [&](int b) { return lots + b; };
    for (int i = 0; i < lots; ++i) all.push_back({{{i, 1.0}}, 0.0, 0.012, 0});
    for (int b = 0; b < brews; ++b) {
        if (b == 0)
            all.push_back({{{level(0), 1.0}}, -0.08, 0.02, -1});
        else
            all.push_back({{{level(b), 1.0}, {level(b - 1), -1.0}}, 0.0, 0.003, 1});
        const int first = b * lots / brews, second = (first + 1 + b % 3) % lots;
        all.push_back({{{level(b), 1.0}, {first, 0.7}, {second, 0.3}}, -0.08 + 0.02 * normal(), 0.02, 2});
    }
    return all;
}

GaussianModel model_of(const std::vector<Sentence>& sentences, int unknowns, int scales) {
    GaussianModel m;
    for (int i = 0; i < unknowns; ++i) m.add_unknown();
    for (int i = 0; i < scales; ++i) m.add_scale();
    for (const auto& s : sentences) m.say(s.terms, s.value, s.sd, s.scale);
    return m;
}

// The textbook's dense formulas.
struct Dense {
    VectorXd mean;
    MatrixXd covariance;
    double log_likelihood;
    Dense(const std::vector<Sentence>& sentences, int n, const std::vector<double>& scales) {
        const auto m = static_cast<Eigen::Index>(sentences.size());
        MatrixXd a = MatrixXd::Zero(m, n);
        VectorXd y(m), v(m);
        for (Eigen::Index k = 0; k < m; ++k) {
            const auto& s = sentences[static_cast<std::size_t>(k)];
            for (const auto& t : s.terms) a(k, t.unknown) += t.coefficient;
            y[k] = s.value;
            v[k] = std::pow(s.sd * (s.scale < 0 ? 1.0 : std::exp(scales[static_cast<std::size_t>(s.scale)])), 2);
        }
        const MatrixXd precision = a.transpose() * v.cwiseInverse().asDiagonal() * a;
        covariance = precision.inverse();
        mean = covariance * (a.transpose() * v.cwiseInverse().asDiagonal() * y);
        const VectorXd r = y - a * mean;
        log_likelihood = 0.5 * (n - static_cast<double>(m)) * std::log(2.0 * std::numbers::pi) -
                         0.5 * v.array().log().sum() - 0.5 * std::log(precision.determinant()) -
                         0.5 * r.dot(v.cwiseInverse().asDiagonal() * r);
    }
};

} // namespace

TEST_CASE("means, variances, covariances and likelihood are those of the dense formulas") {
    constexpr int brews = 14, lots = 5, n = brews + lots;
    const auto sentences = brewery(brews, lots, 4);
    auto model = model_of(sentences, n, 3);
    model.link(0, n - 1); // adds nothing to the likelihood
    const std::vector<double> scales{0.2, -0.4, 0.1};
    GaussianSolver solver(model);
    const auto fit = solver.fit(scales, Want::variances);
    const Dense dense(sentences, n, scales);
    CHECK(fit.log_likelihood == near(dense.log_likelihood, 1e-10));
    for (int i = 0; i < n; ++i) {
        CHECK(fit.mean[static_cast<std::size_t>(i)] == near(dense.mean[i], 1e-9));
        CHECK(fit.variance[static_cast<std::size_t>(i)] == near(dense.covariance(i, i), 1e-9));
    }
    CHECK(solver.covariance(0, n - 1) == near(dense.covariance(0, n - 1), 1e-9));
    CHECK(solver.covariance(lots + 3, lots + 4) == near(dense.covariance(lots + 3, lots + 4), 1e-9));
    const auto joint = solver.joint({{{0, 1.0}, {1, -1.0}}, {{n - 1, 2.0}}});
    const double expected = 2.0 * (dense.covariance(0, n - 1) - dense.covariance(1, n - 1));
    CHECK(joint.mean[0] == near(dense.mean[0] - dense.mean[1], 1e-9));
    CHECK(joint.covariance[1] == near(expected, 1e-8));
}

TEST_CASE("an unknown named twice in a sentence counts with both coefficients") {
    GaussianModel m;
    const int x = m.add_unknown();
    m.say({{x, 1.0}, {x, 2.0}}, 6.0, 3.0); // 3x = 6 +- 3
    GaussianSolver solver(m);
    const auto& fit = solver.fit({}, Want::variances);
    CHECK(fit.mean[0] == near(2.0));
    CHECK(fit.variance[0] == near(1.0));
}

TEST_CASE("the likelihood's slope in each scale is what differences give") {
    constexpr int brews = 14, lots = 5;
    auto model = model_of(brewery(brews, lots, 9), brews + lots, 3);
    for (const bool doubted : {false, true}) {
        if (doubted)
            for (int i = 0; i < lots; ++i) model.doubt(i, 0.1, 4.0);
        GaussianSolver solver(model);
        std::vector<double> at{0.3, -0.2, 0.1};
        const auto gradient = solver.fit(at, Want::variances, 60).gradient;
        for (std::size_t i = 0; i < 3; ++i) {
            constexpr double h = 1e-3;
            auto up = at, down = at;
            up[i] += h;
            down[i] -= h;
            const double high = solver.fit(up, Want::variances, 60).log_likelihood;
            const double low = solver.fit(down, Want::variances, 60).log_likelihood;
            CHECK(gradient[i] == near((high - low) / (2.0 * h), 1e-4));
        }
    }
}

TEST_CASE("doubted lots: expectation propagation against all combinations of odd and ordinary") {
    constexpr int brews = 12, lots = 4, n = brews + lots;
    auto sentences = brewery(brews, lots, 21);
    // lot 2 is odd: what it went into is 6 % low
    for (auto& s : sentences)
        if (s.scale == 2 && s.terms[1].unknown == 2) s.value -= 0.06;
    constexpr double p = 0.06, widening = 4.0;
    auto model = model_of(sentences, n, 3);
    for (int i = 0; i < lots; ++i) model.doubt(i, p, widening);
    GaussianSolver solver(model);
    const std::vector<double> scales{0.0, 0.0, 0.0};
    const auto fit = solver.fit(scales, Want::variances, 30);

    double total = 0.0, odd[lots] = {}, mean[lots] = {};
    for (int which = 0; which < (1 << lots); ++which) {
        auto these = sentences;
        double weight = 1.0;
        for (int i = 0; i < lots; ++i) {
            const bool wide = (which >> i) & 1;
            weight *= wide ? p : 1.0 - p;
            if (wide) these[static_cast<std::size_t>(i)].sd *= widening;
        }
        const Dense dense(these, n, scales);
        weight *= std::exp(dense.log_likelihood - 30.0);
        total += weight;
        for (int i = 0; i < lots; ++i) {
            mean[i] += weight * dense.mean[i];
            if ((which >> i) & 1) odd[i] += weight;
        }
    }
    CHECK(odd[2] / total > 0.5); // else the case shows nothing
    CHECK(fit.log_likelihood == near(std::log(total) + 30.0, 1e-3));
    for (int i = 0; i < lots; ++i) {
        CHECK(fit.doubted[static_cast<std::size_t>(i)].probability_wide == near(odd[i] / total, 0.0, 0.003));
        CHECK(std::abs(fit.mean[static_cast<std::size_t>(i)] - mean[i] / total) < 3e-4);
    }
}

TEST_CASE("the filter sees what the sparse model sees, and its step is that of least squares") {
    constexpr int brews = 20, lots = 4, n = brews + lots;
    auto sentences = brewery(brews, lots, 5);
    StepFilter filter(8, 1);
    std::vector<int> slot;
    for (int i = 0; i < lots; ++i) slot.push_back(filter.enter({}, 0.0, 0.012));
    const int level = filter.enter({}, -0.08, 0.02);
    int brew = 0;
    for (const auto& s : sentences) {
        if (s.scale != 2) continue;
        if (brew > 0) filter.wander(level, 0.003);
        filter.candidate(0, brew);
        std::vector<SlotTerm> terms{{level, 1.0}};
        for (std::size_t i = 1; i < s.terms.size(); ++i)
            terms.push_back({slot[static_cast<std::size_t>(s.terms[i].unknown)], s.terms[i].coefficient});
        filter.observe(terms, s.value, s.sd, {1.0});
        ++brew;
    }
    const Dense plain(sentences, n, {0.0, 0.0, 0.0});
    CHECK(filter.log_likelihood() == near(plain.log_likelihood, 1e-9));
    CHECK(filter.mean(level) == near(plain.mean[n - 1], 1e-9));
    CHECK(filter.variance(level) == near(plain.covariance(n - 1, n - 1), 1e-9));

    // a diffuse unknown in every brew from the candidate on: its estimate is the step
    const auto found = filter.best(0, brews, 0.04);
    auto with_step = sentences;
    brew = 0;
    for (auto& s : with_step)
        if (s.scale == 2 && brew++ >= found.from) s.terms.push_back({n, 1.0});
    const Dense stepped(with_step, n + 1, {0.0, 0.0, 0.0});
    CHECK(found.size == near(stepped.mean[n], 1e-8));
    CHECK(found.sd == near(std::sqrt(stepped.covariance(n, n)), 1e-8));
    CHECK(found.from >= brews - 8); // the window has forgotten the older ones

    // the step taken for true is the same as having had an unknown for it from the start
    filter.accept(found, level);
    CHECK(filter.mean(level) == near(stepped.mean[n - 1] + stepped.mean[n], 1e-8));
    CHECK(filter.variance(slot[0]) == near(stepped.covariance(0, 0), 1e-8));
    CHECK(filter.best(0, brews, 0.04).ratio == 0.0);
}

TEST_CASE("an unknown that leaves frees its place, one that enters is what it is made of") {
    StepFilter filter(0, 1);
    const int item = filter.enter({}, 1.0, 2.0);
    const int lot = filter.enter({{item, 1.0}}, 0.5, 1.0);
    CHECK(filter.mean(lot) == near(1.5));
    CHECK(filter.variance(lot) == near(5.0));
    CHECK(filter.variance({{lot, 1.0}, {item, -1.0}}) == near(1.0));
    filter.leave(lot);
    CHECK(filter.enter({}, 0.0, 3.0) == lot);
    CHECK(filter.variance({{lot, 1.0}, {item, 1.0}}) == near(13.0));
}

TEST_CASE("one quantity, by hand: widened, foreseen, and how much likelier it were so") {
    GaussianModel m;
    const int x = m.add_unknown(), y = m.add_unknown();
    m.say({{x, 1.0}}, 0.0, 1.0);
    const int step = m.say({{y, 1.0}, {x, -1.0}}, 0.0, 0.3);
    const int reading = m.say({{x, 1.0}}, 2.0, 0.5);
    GaussianSolver solver(m);
    CHECK(solver.fit({}, Want::variances, 4, {{step, 0.4}}).variance[1] ==
          near(1.0 / (1.0 + 4.0) + 0.25)); // 0.09 + 0.16
    (void)solver.fit({}, Want::variances);
    CHECK(solver.foreseen(reading).mean == near(0.0, 0.0, 1e-12));
    CHECK(solver.foreseen(reading).variance == near(1.25));
    // ln N(2; 0, 2.25) - ln N(2; 0, 1.25)
    CHECK(solver.gain_of({reading, 1.0}) == near(-0.5 * (std::log(2.25 / 1.25) + 4.0 / 2.25 - 4.0 / 1.25)));
}

TEST_CASE("a doubted reading, by hand: what it says under either reading of it") {
    GaussianModel m;
    const int x = m.add_unknown();
    m.say({{x, 1.0}}, 0.0, 1.0);
    m.doubt(m.say({{x, 1.0}}, 5.0, 1.0), 0.1, 3.0);
    GaussianSolver solver(m);
    const Doubted& d = solver.fit({}, Want::variances, 20).doubted[0];
    CHECK(d.mean[0] == near(2.5)); // of 0 and 5, alike sure
    CHECK(d.variance[0] == near(0.5));
    CHECK(d.mean[1] == near(0.5)); // of 0 and 5, the latter of a ninth of the weight
    CHECK(d.variance[1] == near(0.9));
    const double narrow = 0.9 * std::exp(-25.0 / 4.0) / std::sqrt(2.0),
                 wide = 0.1 * std::exp(-25.0 / 20.0) / std::sqrt(10.0);
    CHECK(d.probability_wide == near(wide / (narrow + wide)));
}

TEST_CASE("a step's evidence, by hand: averaged over its sizes, and the latest that is asked for counts") {
    StepFilter filter(4, 1);
    const int level = filter.enter({}, 0.0, 1.0);
    filter.candidate(0, 7);
    // innovation 2/sqrt(2), signature 1/sqrt(2): information 1/2, score 1, ratio 2
    (void)filter.observe({{level, 1.0}}, 2.0, 1.0, {1.0});
    const StepEstimate best = filter.best(0, 7, 2.0);
    CHECK(best.from == 7);
    CHECK(best.ratio == near(2.0));
    CHECK(best.size == near(2.0));
    CHECK(best.sd == near(std::sqrt(2.0)));
    CHECK(best.evidence == near(2.0 * 2.0 / 3.0 - std::log(3.0))); // s = 1/2 of 2 squared
    CHECK(filter.best(0, 6, 2.0).ratio == 0.0);
}
