#include <algorithm>
#include <cmath>
#include <fmt/format.h>
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

void Mip::drop_row(int row) {
    auto& dropped = rows_.at(static_cast<std::size_t>(row));
    dropped.low = -no_limit;
    dropped.high = no_limit;
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

namespace {

void rows_as_mps(const Mip& model, std::string& out, std::string& rhs, std::string& ranges) {
    int r = 0;
    for (const MipRow& row : model.rows()) {
        const bool below = std::isfinite(row.high), above = std::isfinite(row.low);
        const char* kind = below && above && row.low == row.high ? "E" : below ? "L" : above ? "G" : "N";
        out += fmt::format("* R{}: {}\n {} R{}\n", r, row.name, kind, r);
        if (below || above) rhs += fmt::format(" RHS R{} {}\n", r, below ? row.high : row.low);
        if (below && above && row.low != row.high) ranges += fmt::format(" RNG R{} {}\n", r, row.high - row.low);
        ++r;
    }
}

std::string bounds_as_mps(const MipColumn& column, std::size_t i) {
    std::string out;
    if (std::isfinite(column.low) && column.low != 0.0) out += fmt::format(" LO BND C{} {}\n", i, column.low);
    if (!std::isfinite(column.low)) out += fmt::format(" MI BND C{}\n", i);
    out +=
        std::isfinite(column.high) ? fmt::format(" UP BND C{} {}\n", i, column.high) : fmt::format(" PL BND C{}\n", i);
    return out;
}

} // namespace

std::string to_mps(const Mip& model, const std::string& name) {
    std::string rows, rhs, ranges, columns, bounds;
    rows_as_mps(model, rows, rhs, ranges);
    std::vector<std::vector<Term>> by_column(model.columns().size()); // Term::column is the row here
    for (std::size_t r = 0; r < model.rows().size(); ++r)
        for (const Term& term : model.rows()[r].terms)
            by_column[static_cast<std::size_t>(term.column)].push_back({static_cast<int>(r), term.factor});
    bool whole = false;
    for (std::size_t i = 0; i < model.columns().size(); ++i) {
        const MipColumn& column = model.columns()[i];
        if (column.whole != whole)
            columns += fmt::format(" M{} 'MARKER' '{}'\n", i, column.whole ? "INTORG" : "INTEND");
        whole = column.whole;
        columns += fmt::format("* C{}: {}\n C{} COST {}\n", i, column.name, i, column.cost);
        for (const Term& term : by_column[i]) columns += fmt::format(" C{} R{} {}\n", i, term.column, term.factor);
        bounds += bounds_as_mps(column, i);
    }
    if (whole) columns += " MEND 'MARKER' 'INTEND'\n";
    return fmt::format("NAME {}\nROWS\n N COST\n{}COLUMNS\n{}RHS\n{}RANGES\n{}BOUNDS\n{}ENDATA\n", name, rows, columns,
                       rhs, ranges, bounds);
}

} // namespace lotwort::plan
