// A model written out, for people and for other solvers.
#include <cmath>
#include <fmt/format.h>
#include <lotwort/plan/mip.hpp>

namespace lotwort::plan {

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
    const auto section = [](const char* heading, const std::string& lines) { // some readers trip over an empty one
        return lines.empty() ? std::string() : heading + lines;
    };
    // FREE: without it some readers take a short line for one in fixed columns
    return fmt::format("NAME {} FREE\nROWS\n N COST\n{}COLUMNS\n{}RHS\n{}{}{}ENDATA\n", name, rows, columns, rhs,
                       section("RANGES\n", ranges), section("BOUNDS\n", bounds));
}

namespace {

// Terms in lines of no more than eight: readers of the format stop at 510 characters.
std::string sum_as_lp(const std::vector<Term>& terms) {
    std::string out;
    for (std::size_t i = 0; i < terms.size(); ++i) {
        if (i > 0 && i % 8 == 0) out += "\n ";
        const double factor = terms[i].factor;
        out += fmt::format(" {} {} C{}", std::signbit(factor) ? "-" : "+", std::abs(factor), terms[i].column);
    }
    return out.empty() ? " 0 C0" : out;
}

std::string bounds_as_lp(const MipColumn& column, std::size_t i) {
    if (!std::isfinite(column.low) && !std::isfinite(column.high)) return fmt::format(" C{} free\n", i);
    const std::string low = std::isfinite(column.low) ? fmt::format("{}", column.low) : "-inf";
    if (!std::isfinite(column.high)) return fmt::format(" C{} >= {}\n", i, low);
    return fmt::format(" {} <= C{} <= {}\n", low, i, column.high);
}

} // namespace

std::string to_lp(const Mip& model, const std::string& name) {
    std::string columns, rows, bounds, whole;
    std::vector<Term> costs;
    for (std::size_t i = 0; i < model.columns().size(); ++i) {
        const MipColumn& column = model.columns()[i];
        columns += fmt::format("\\ C{}: {}\n", i, column.name);
        if (column.cost != 0.0) costs.push_back({static_cast<int>(i), column.cost});
        bounds += bounds_as_lp(column, i);
        if (column.whole) whole += fmt::format(" C{}\n", i);
    }
    for (std::size_t r = 0; r < model.rows().size(); ++r) {
        const MipRow& row = model.rows()[r];
        rows += fmt::format("\\ R{}: {}\n", r, row.name);
        const std::string sum = sum_as_lp(row.terms);
        if (std::isfinite(row.low) && row.low == row.high) {
            rows += fmt::format(" R{}:{} = {}\n", r, sum, row.low);
            continue;
        }
        if (std::isfinite(row.low)) rows += fmt::format(" R{}_low:{} >= {}\n", r, sum, row.low);
        if (std::isfinite(row.high)) rows += fmt::format(" R{}_high:{} <= {}\n", r, sum, row.high);
    }
    return fmt::format("\\ {}\n{}Minimize\n COST:{}\nSubject To\n{}Bounds\n{}{}{}End\n", name, columns,
                       sum_as_lp(costs), rows, bounds, whole.empty() ? "" : "General\n", whole);
}

} // namespace lotwort::plan
