#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/plan/mip.hpp>
#include <map>

namespace lotwort::plan {

int Mip::column(std::string name, double low, double high, double cost) {
    LOTWORT_CHECK(low <= high);
    columns_.push_back({std::move(name), low, high, cost, false});
    return static_cast<int>(columns_.size()) - 1;
}

int Mip::whole(std::string name, double low, double high, double cost) {
    const int added = column(std::move(name), low, high, cost);
    columns_.back().whole = true;
    return added;
}

int Mip::row(std::string name, std::vector<Term> terms, double low, double high) {
    std::map<int, double> factors;
    for (const Term& term : terms) {
        LOTWORT_CHECK(term.column >= 0 && term.column < static_cast<int>(columns_.size()));
        factors[term.column] += term.factor;
    }
    MipRow made{std::move(name), {}, low, high};
    for (const auto& [column, factor] : factors)
        if (factor != 0.0) made.terms.push_back({column, factor});
    rows_.push_back(std::move(made));
    return static_cast<int>(rows_.size()) - 1;
}

int Mip::semicontinuous(int column, double least) {
    const auto c = columns_.at(static_cast<std::size_t>(column));
    LOTWORT_CHECK(std::isfinite(c.high));
    const int taken = yes_no(c.name + " taken");
    row(c.name + " at least", {{column, 1.0}, {taken, -least}}, 0.0, no_limit);
    row(c.name + " at most", {{column, 1.0}, {taken, -c.high}}, -no_limit, 0.0);
    return taken;
}

int Mip::in_steps(int column, double step) {
    const auto c = columns_.at(static_cast<std::size_t>(column));
    const double low = std::ceil(c.low / step - 1e-9), high = std::floor(c.high / step + 1e-9);
    const int steps = whole(c.name + " steps", std::min(low, high), high);
    row(c.name + " in steps", {{column, 1.0}, {steps, -step}}, 0.0, 0.0);
    return steps;
}

void Mip::set_bounds(int column, double low, double high) {
    auto& c = columns_.at(static_cast<std::size_t>(column));
    c.low = low;
    c.high = high;
}

double Mip::value_of(const std::vector<Term>& terms, const std::vector<double>& values) const {
    double sum = 0.0;
    for (const Term& term : terms) sum += term.factor * values.at(static_cast<std::size_t>(term.column));
    return sum;
}

double Mip::objective_of(const std::vector<double>& values) const {
    double sum = 0.0;
    for (std::size_t i = 0; i < columns_.size(); ++i)
        if (columns_[i].cost != 0.0) sum += columns_[i].cost * values.at(i);
    return sum;
}

double Mip::worst_breach(const std::vector<double>& values) const {
    double worst = 0.0;
    for (std::size_t i = 0; i < columns_.size(); ++i) {
        worst = std::max({worst, columns_[i].low - values.at(i), values.at(i) - columns_[i].high});
        if (columns_[i].whole) worst = std::max(worst, std::abs(values[i] - std::round(values[i])));
    }
    for (const MipRow& row : rows_) {
        const double sum = value_of(row.terms, values);
        worst = std::max({worst, row.low - sum, sum - row.high});
    }
    return worst;
}

} // namespace lotwort::plan
