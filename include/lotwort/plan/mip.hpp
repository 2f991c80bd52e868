// A mixed-integer programme: the brewer's choices as columns, the brewer's rules as rows.
//
// "Nothing of this sack, or at least 100 g of it" and "whole weigh steps" are what make a plan hard: they are yes/no
// and counted choices, and a linear programme knows neither. The model here is plain data; src/plan/mip/mip.cpp alone
// hands it to the solver (CBC, COIN-OR), whose own printing is silenced. Minimised; a thing to maximise is entered
// negative.
#pragma once

#include <atomic>
#include <functional>
#include <limits>
#include <string>
#include <vector>

namespace lotwort::plan {

inline constexpr double no_limit = std::numeric_limits<double>::infinity();

struct Term {
    int column = 0;
    double factor = 0.0;
};

struct MipColumn {
    std::string name;
    double low = 0.0;
    double high = no_limit;
    double cost = 0.0; // in the objective
    bool whole = false;
};

struct MipRow {
    std::string name;
    std::vector<Term> terms; // a column at most once
    double low = -no_limit;
    double high = no_limit;
};

// Columns and rows are numbered from 0 in the order they are added.
class Mip {
public:
    int column(std::string name, double low, double high, double cost = 0.0);
    int whole(std::string name, double low, double high, double cost = 0.0); // an integer
    int yes_no(std::string name, double cost = 0.0) { return whole(std::move(name), 0.0, 1.0, cost); }
    // low <= sum of terms <= high; terms of one column are added up.
    int row(std::string name, std::vector<Term> terms, double low, double high);
    // The column is 0, or from `least` to its upper bound (finite): returns the yes/no column that says which.
    int semicontinuous(int column, double least);
    // The column is a whole number of steps: returns the column that counts them.
    int in_steps(int column, double step);

    void set_cost(int column, double cost) { columns_.at(static_cast<std::size_t>(column)).cost = cost; }
    void set_bounds(int column, double low, double high);
    void set_whole(int column, bool whole) { columns_.at(static_cast<std::size_t>(column)).whole = whole; }
    [[nodiscard]] const std::vector<MipColumn>& columns() const { return columns_; }
    [[nodiscard]] const std::vector<MipRow>& rows() const { return rows_; }
    [[nodiscard]] double value_of(const std::vector<Term>& terms, const std::vector<double>& values) const;
    [[nodiscard]] double objective_of(const std::vector<double>& values) const;
    // How far the values are from keeping every row, bound and whole number: 0 where all are kept.
    [[nodiscard]] double worst_breach(const std::vector<double>& values) const;

private:
    std::vector<MipColumn> columns_;
    std::vector<MipRow> rows_;
};

// The model as other solvers read it: free MPS, columns C0, C1, ... and rows R0, R1, ... with the names as comments.
[[nodiscard]] std::string to_mps(const Mip& model, const std::string& name);

// The same in CPLEX's LP format, names as comments: easier on the eye.
[[nodiscard]] std::string to_lp(const Mip& model, const std::string& name);

struct MipProgress {
    double best = no_limit; // objective of the best answer so far
    double bound = -no_limit;
    int nodes = 0;
};

struct MipOptions {
    double relative_gap = 1e-9; // stop when (best - bound) is at most this share of |best|
    double absolute_gap = 1e-9;
    int most_nodes = 200000;                 // a limit that is the same on every machine
    double seconds = no_limit;               // a courtesy: answers under it may differ from machine to machine
    double good_enough = -no_limit;          // an answer of at most this objective ends the search
    double better_than = no_limit;           // nothing else is looked for
    bool twice = false;                      // what is proven is looked at once more, in another way
    const std::atomic<bool>* stop = nullptr; // set to true from elsewhere: ends with the best so far
    std::function<void(const MipProgress&)> progress = nullptr; // called now and then
};

enum class MipStatus {
    optimal,   // proven within the gaps
    stopped,   // a limit or the interrupt came first; values hold the best so far, if any
    infeasible // no values keep all rows
};

struct MipAnswer {
    MipStatus status = MipStatus::infeasible;
    std::vector<double> values; // by column; empty where no answer was found
    double objective = no_limit;
    double bound = -no_limit; // no answer can be lower
    int nodes = 0;
    double seconds = 0.0; // that the search took, by the wall clock
    bool looked_twice =
        false; // and a search without cuts and preparation came to its end, too: what is here is its word
    [[nodiscard]] bool found() const { return !values.empty(); }
};

// Error-free: what cannot be solved is a status. An unbounded model is a bug of ours (LOTWORT_CHECK).
// Whole numbers are rounded exactly; rows hold to 1e-6 (the solver's tolerance is 1e-7 of a scaled row).
[[nodiscard]] MipAnswer solve(const Mip& model, const MipOptions& options = {});

} // namespace lotwort::plan
