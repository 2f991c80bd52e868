// NIST's nonlinear regression sets: certified values to eleven digits, from both of NIST's starts.
#include "golden.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/stats/least_squares.hpp>
#include <map>
#include <sstream>

using namespace lotwort;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

struct DataSet {
    std::vector<double> x, y;
};

std::map<std::string, DataSet> nist_data() {
    std::map<std::string, DataSet> sets;
    std::istringstream in(test::project_file("tests/golden/nist_strd_data.tsv"));
    std::string line;
    while (std::getline(in, line)) {
        if (line.starts_with('#')) continue;
        std::istringstream cells(line);
        std::string name;
        double x, y;
        cells >> name >> x >> y;
        sets[name].x.push_back(x);
        sets[name].y.push_back(y);
    }
    return sets;
}

// f and its slopes at one x, as NIST states the models
using Model = std::function<double(const VectorXd& b, double x, VectorXd& slope)>;

double exponential_rise(const VectorXd& b, double x, VectorXd& slope) {
    const double e = std::exp(-b[1] * x);
    slope << 1.0 - e, b[0] * x * e;
    return b[0] * (1.0 - e);
}

double logistic(const VectorXd& b, double x, VectorXd& slope) {
    const double e = std::exp(b[1] - b[2] * x), d = 1.0 + e;
    slope << 1.0 / d, -b[0] * e / (d * d), b[0] * x * e / (d * d);
    return b[0] / d;
}

double peak(const VectorXd& b, double x, VectorXd& slope) {
    const double z = (x - b[2]) / b[1], g = std::exp(-0.5 * z * z), f = b[0] / b[1] * g;
    slope << g / b[1], f * (z * z - 1.0) / b[1], f * z / b[1];
    return f;
}

struct Certified {
    Model model;
    std::vector<std::vector<double>> starts;
};

const std::map<std::string, Certified> problems{
    {"misra1a", {exponential_rise, {{500, 0.0001}, {250, 0.0005}}}},
    {"boxbod", {exponential_rise, {{1, 1}, {100, 0.75}}}},
    {"rat42", {logistic, {{100, 1, 0.1}, {75, 2.5, 0.07}}}},
    {"eckerle4", {peak, {{1, 10, 500}, {1.5, 5, 450}}}},
};

stats::LeastSquaresSolution fit(const std::string& name, int start) {
    static const auto data = nist_data();
    const auto& set = data.at(name);
    const auto& problem = problems.at(name);
    const auto m = static_cast<Eigen::Index>(set.y.size());
    stats::LeastSquaresProblem p;
    p.observed = Eigen::Map<const VectorXd>(set.y.data(), m);
    p.covariance = MatrixXd::Identity(m, m);
    const auto& from = problem.starts.at(static_cast<std::size_t>(start - 1));
    p.start = Eigen::Map<const VectorXd>(from.data(), static_cast<Eigen::Index>(from.size()));
    p.scale = p.start.cwiseAbs();
    p.max_iterations = 500;
    p.model = [&](const VectorXd& b, VectorXd& f, MatrixXd& jacobian) {
        VectorXd slope(b.size());
        for (Eigen::Index i = 0; i < m; ++i) {
            f[i] = problem.model(b, set.x[static_cast<std::size_t>(i)], slope);
            jacobian.row(i) = slope.transpose();
        }
    };
    return stats::solve(p);
}

} // namespace

TEST_CASE("NIST's nonlinear sets come out at their certified values, from the far start too") {
    int digits_least = 99;
    for (const auto& row : test::golden_rows("11_nist_nonlinear.tsv")) {
        const auto solution = fit(row.words.at("dataset"), static_cast<int>(row.arg("start")));
        const double rss = solution.statistic, s = std::sqrt(rss / solution.degrees_of_freedom);
        const std::string which = row.words.contains("which") ? row.words.at("which") : "";
        double found = 0.0;
        if (which == "rss")
            found = rss;
        else if (which == "s")
            found = s;
        else if (which.starts_with("sd")) {
            const int i = which[2] - '1';
            found = s * std::sqrt(solution.covariance(i, i));
        } else
            found = solution.theta[which[1] - '1'];
        if (row.status == "memory")
            WARN_MESSAGE(std::abs(found - row.expected) <= row.tolerance, row.id);
        else
            CHECK_MESSAGE(std::abs(found - row.expected) <= row.tolerance, row.id, " ", which, " ", found);
        digits_least =
            std::min(digits_least, static_cast<int>(-std::log10(std::abs(found / row.expected - 1.0) + 1e-16)));
    }
    MESSAGE("fewest correct digits over all rows: ", digits_least);
    CHECK(digits_least >= 8);
}
