// Many unknowns tied by many uncertain sentences, each about a few of them: levels that wander from brew to brew, lots
// that scatter about their certificates, what one brew's balance says of both.
//
//     sentence k:   a_k' x = y_k + e_k,   e_k ~ N(0, v_k)
//
// A prior is a sentence (x_i = its mean, give or take); a step of a random walk is one (x_t - x_{t-1} = 0); so is a
// reading. A reading that tells only a combination of unknowns (rank 1) is one sentence. Together they are a Gaussian
// with the sparse precision matrix Q = sum a a'/v (Rue and Held, Gaussian Markov Random Fields, 2005, ch. 2):
//
//     mean = Q^-1 b,  b = sum a y/v
//     ln p(y) = -1/2 sum ln(2 pi v) + n/2 ln 2 pi - 1/2 ln|Q| - 1/2 sum (y - a'mean)^2 / v
//
// An unknown of which no prior is said is diffuse: ln p is then the exact diffuse likelihood. Q = L D L' by a sparse
// Cholesky under a minimum-degree order; marginal variances by the selected inverse on the factor's pattern (Takahashi,
// Fagan and Chen 1973), at a cost like the factorisation's own. v may go with a scale: v = (sd exp(s))^2; the slope of
// ln p in s is E[(y - a'x)^2]/v - 1, summed over the scale's sentences (Fisher's identity).
//
// A sentence may doubt itself: with probability p its sd is `widening` times larger (a scale mixture, Huber's
// contaminated normal). Such sentences are handled by expectation propagation (Minka 2001): each is replaced by the
// Gaussian one that gives the same two moments beside all the others.
#pragma once

#include <memory>
#include <vector>

namespace lotwort::stats {

struct Term {
    int unknown = 0;
    double coefficient = 0.0;
};

class GaussianModel {
public:
    static constexpr int no_scale = -1;

    // Numbered from 0. Nothing is known of it until something is said.
    int add_unknown() { return unknowns_++; }
    // Numbered from 0; it multiplies the sd of the sentences that name it by exp(s).
    int add_scale() { return scales_++; }

    // sum coefficient * unknown = value +- sd (> 0). Returns the sentence's number.
    int say(const std::vector<Term>& terms, double value, double sd, int scale = no_scale);
    // The sentence may be wrong by more than it says: sd times `widening` with probability p. Returns the doubt's
    // number.
    int doubt(int sentence, double p, double widening);
    // The covariance of two unknowns is wanted though no sentence holds both: a sentence that says nothing, of the one
    // sd at which it adds nothing to ln p.
    void link(int a, int b);

    [[nodiscard]] int unknowns() const { return unknowns_; }
    [[nodiscard]] int scales() const { return scales_; }
    [[nodiscard]] int sentences() const { return static_cast<int>(value_.size()); }

private:
    friend class GaussianSolver;
    int unknowns_ = 0, scales_ = 0;
    std::vector<Term> terms_;
    std::vector<int> first_{0}; // of each sentence's terms, and the end
    std::vector<double> value_, sd_;
    std::vector<int> scale_;
    struct Doubt {
        int sentence;
        double p, widening;
    };
    std::vector<Doubt> doubts_;
};

// What a doubted sentence's own quantity a'x is, under either reading of it.
struct Doubted {
    double probability_wide = 0.0;
    double mean[2] = {0.0, 0.0}; // of a'x: narrow, wide
    double variance[2] = {0.0, 0.0};
    double cavity_mean = 0.0, cavity_variance = 0.0; // of a'x without this sentence
    double sd = 0.0;                                 // the sentence's narrow sd, scaled
};

struct GaussianFit {
    double log_likelihood = 0.0; // of a model with doubts: expectation propagation's estimate of it
    std::vector<double> mean;
    std::vector<double> variance; // empty unless asked for
    std::vector<double> gradient; // of log_likelihood by each scale; empty unless asked for
    std::vector<Doubted> doubted; // in the order of the doubts; empty unless variances were asked for
};

// Keeps a reference to the model, which must outlive it and stay as it was. Symbolic work is done once; each `fit` is
// numeric. Throws Bug where the sentences leave an unknown undetermined.
class GaussianSolver {
public:
    explicit GaussianSolver(const GaussianModel& model);
    ~GaussianSolver();

    enum class Want { mean, variances };
    // `rounds` of expectation propagation where there are doubts, from where the last fit left them.
    // A `widened` sentence says less: its variance is greater by the square of that sd.
    struct Widened {
        int sentence = 0;
        double sd = 0.0;
        friend bool operator==(const Widened&, const Widened&) = default;
    };
    const GaussianFit& fit(const std::vector<double>& log_scales, Want want, int rounds = 4,
                           const std::vector<Widened>& widened = {});

    // Of the last fit with variances: a'x of a sentence as all others foresee it, its own sd worked in: N(mean,
    // variance).
    struct Foreseen {
        double mean = 0.0, variance = 0.0;
    };
    [[nodiscard]] Foreseen foreseen(int sentence) const;
    // ln of how much likelier all sentences would be were this one widened so, exact where none is doubted:
    // ln N(y; m, V + sd^2) - ln N(y; m, V) with N(m, V) as foreseen. A step at each of many brews is weighed by one
    // factorisation.
    [[nodiscard]] double gain_of(const Widened& widened) const;

    // Of the last fit with variances: two unknowns that share a sentence or a link.
    [[nodiscard]] double covariance(int a, int b) const;
    // Of the last fit: means and covariances (row by row) of combinations of unknowns, half a solve each.
    struct Joint {
        std::vector<double> mean, covariance;
    };
    [[nodiscard]] Joint joint(const std::vector<std::vector<Term>>& combinations) const;
    // Mean and variance of each alone, of as many as there may be.
    [[nodiscard]] std::vector<Foreseen> each(const std::vector<std::vector<Term>>& combinations) const;

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

} // namespace lotwort::stats
