// Published series by the code that follows a brewhouse's level: the Nile's flow as a local level, NIST's two charts.
#include "golden_table.hpp"
#include "near.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/stats/control_chart.hpp>
#include <lotwort/stats/gaussian_model.hpp>
#include <lotwort/stats/scale_grid.hpp>
#include <sstream>

using namespace lotwort;

namespace {

std::vector<double> series(const std::string& wanted) {
    std::istringstream in(test::project_file("tests/golden/series_data.tsv"));
    std::string line;
    std::vector<double> values;
    while (std::getline(in, line)) {
        std::istringstream cells(line);
        std::string name;
        double value = 0.0;
        if (cells >> name >> value && name == wanted) values.push_back(value);
    }
    return values;
}

// y_t = level_t + N(0, scale 0), level_t = level_{t-1} + N(0, scale 1), the first level diffuse.
stats::GaussianModel local_level(const std::vector<double>& y) {
    stats::GaussianModel m;
    const int scatter = m.add_scale(), walk = m.add_scale();
    for (std::size_t t = 0; t < y.size(); ++t) {
        const int level = m.add_unknown();
        m.say({{level, 1.0}}, y[t], 1.0, scatter);
        if (t > 0) m.say({{level, 1.0}, {level - 1, -1.0}}, 0.0, 1.0, walk);
    }
    return m;
}

const std::vector<double> published{0.5 * std::log(15099.0), 0.5 * std::log(1469.1)};
using Want = stats::GaussianSolver::Want;

double nile(const test::GoldenRow& row) {
    const auto y = series("nile");
    const auto model = local_level(y);
    stats::GaussianSolver solver(model);
    const std::string& which = row.words.at("which");
    if (which == "loglik_published_params") return solver.fit(published, Want::mean).log_likelihood;
    // filtered values: the last level of the series so far, carried one step on
    const auto foreseen = [&](std::size_t years, bool variance) {
        const auto part = local_level({y.begin(), y.begin() + static_cast<std::ptrdiff_t>(years)});
        stats::GaussianSolver s(part);
        const auto& fit = s.fit(published, Want::variances);
        return variance ? fit.variance.back() + 1469.1 : fit.mean.back();
    };
    if (which == "a2") return foreseen(1, false);
    if (which == "P2") return foreseen(1, true);
    if (which == "K2") return foreseen(1, true) / (foreseen(1, true) + 15099.0);
    if (which == "a101") return foreseen(100, false);
    if (which == "P101") return foreseen(100, true);
    if (which == "K_steady") return foreseen(90, true) / (foreseen(90, true) + 15099.0);
    // the likelihood's own maximum: priors so wide that they say nothing
    const auto grid = stats::integrate_scales({{0.5 * std::log(10000.0), 100.0}, {0.5 * std::log(1000.0), 100.0}},
                                              [&](const std::vector<double>& s, std::vector<double>& slope) {
                                                  const auto& fit = solver.fit(s, Want::variances);
                                                  slope = fit.gradient;
                                                  return fit.log_likelihood;
                                              });
    if (which == "var_eps") return std::exp(2.0 * grid.mode[0]);
    if (which == "var_eta") return std::exp(2.0 * grid.mode[1]);
    if (which == "q") return std::exp(2.0 * (grid.mode[1] - grid.mode[0]));
    return solver.fit(grid.mode, Want::mean).log_likelihood; // loglik_max
}

double chart_point(const test::GoldenRow& row) {
    const auto i = static_cast<std::size_t>(row.arg("i")) - 1;
    if (row.function == "ds_ewma") return stats::ewma(series("nist_ewma"), 0.3, 50.0)[i];
    const auto chart = stats::cusum(series("nist_cusum"), 325.0, 0.3175);
    const std::string& which = row.words.at("which");
    return which == "hi" ? chart.high[i] : which == "lo" ? chart.low[i] : chart.sum[i];
}

double first_signal(const test::GoldenRow&) {
    const auto chart = stats::cusum(series("nist_cusum"), 325.0, 0.3175);
    for (std::size_t i = 0; i < chart.high.size(); ++i)
        if (std::max(chart.high[i], chart.low[i]) > 4.1959) return static_cast<double>(i + 1);
    return 0.0;
}

double ewma_limit(const test::GoldenRow& row) {
    const double width = 3.0 * stats::ewma_steady_sd(0.3, 2.0539);
    return row.words.at("side") == "upper" ? 50.0 + width : 50.0 - width;
}

} // namespace

TEST_CASE("the Nile's level and NIST's charts come out at their published values") {
    test::check_golden_table("11_series.tsv", {{"ds_nile", nile},
                                               {"ds_ewma", chart_point},
                                               {"ds_ewma_limit", ewma_limit},
                                               {"ds_cusum", chart_point},
                                               {"ds_cusum_first_signal", first_signal}});
}

TEST_CASE("the first point of a moving average scatters by its share of the series") {
    CHECK(stats::ewma_sd(0.3, 2.0, 1) == test::near(0.6)); // lambda s
    CHECK(stats::ewma_sd(0.3, 2.0, 2) == test::near(std::hypot(0.6, 0.7 * 0.6)));
}

TEST_CASE("scales are integrated over: of normal likelihood and prior the evidence is their product's integral") {
    // ln of the integral of exp(-(s - a)^2/2v) N(s; 0, w^2): ln sqrt(v/(v + w^2)) - a^2/2(v + w^2)
    const auto evidence = [](double a, double v, double w) {
        return stats::integrate_scales({{0.0, w}}, [&](const std::vector<double>& s, std::vector<double>& slope) {
            slope = {-(s[0] - a) / v};
            return -0.5 * (s[0] - a) * (s[0] - a) / v;
        });
    };
    const auto flat = stats::integrate_scales({{0.3, 0.5}}, [](const auto& s, std::vector<double>& slope) {
        slope.assign(s.size(), 0.0);
        return 0.0;
    });
    CHECK(flat.mode[0] == test::near(0.3));
    CHECK(flat.log_evidence == test::near(0.0, 0.0, 1e-6));
    const auto both = evidence(0.6, 1.0, 1.0);
    CHECK(both.mode[0] == test::near(0.3, 1e-2)); // half way between 0 and 0.6
    CHECK(both.log_evidence == test::near(0.5 * std::log(0.5) - 0.36 / 4.0, 1e-3));
}
