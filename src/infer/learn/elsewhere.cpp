#include "fit.hpp"
#include "gather.hpp"
#include <algorithm>
#include <Eigen/Cholesky>
#include <lotwort/infer/learn.hpp>
#include <lotwort/stats/dense.hpp>

namespace lotwort {

namespace {

using namespace infer_detail;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr std::size_t about = 150; // brews that what is learned rests on
constexpr int rounds = 4;          // of expectation propagation

bool is_of_fermenter(const ReconcileInput& in, const std::string& brew) {
    const auto is_it = [&](const ReconcileInput& tied) { return tied.brew.code == brew; };
    return is_it(in) || std::ranges::any_of(in.earlier_in_fermenter, is_it) ||
           std::ranges::any_of(in.later_in_fermenter, is_it);
}

// Figures of which something is known jointly, as combinations of the model's unknowns, and what one brew, with those
// of its fermenter, put in: rows of the figures, each y = a'x + N(0, 1). Instruments first.
struct Asked {
    std::vector<std::vector<stats::Term>> figures;
    Index instruments = 0, brew = -1; // where the brew's own begin; -1: it has none
    MatrixXd rows;
    VectorXd values;
};

// The malt's part in a brew's conversion against its certificates.
std::vector<stats::Term> malt_of(const LearnModel& model, const BrewEvidence& evidence) {
    std::vector<stats::Term> terms;
    for (const auto& share : evidence.shares)
        terms.push_back({model.lots[static_cast<std::size_t>(model.lot_index.at(share.lot))].unknown, share.share});
    return terms;
}

// A brew's own figures: its conversion as what the malt has no part in, then the others, then the malt's part.
void ask_of(const LearnModel& model, const LearnModel::BrewAt& at, Asked& asked) {
    std::vector<stats::Term> of_house{{at.own[0], 1.0}};
    const auto malt = malt_of(model, *at.evidence);
    for (const auto& term : malt) of_house.push_back({term.unknown, -term.coefficient});
    asked.figures.push_back(std::move(of_house));
    for (std::size_t i = 1; i < house_figures; ++i) asked.figures.push_back({{at.own[i], 1.0}});
    asked.figures.push_back(malt);
}

Asked asked_of(const LearnModel& model, const ReconcileInput& in) {
    Asked asked;
    for (const auto& at : model.instruments) asked.figures.push_back({{at.unknown, 1.0}});
    asked.instruments = std::ssize(asked.figures);
    std::vector<std::pair<const BrewEvidence*, Index>> brews;
    Index rows = 0;
    for (const auto& at : model.brews) {
        if (!is_of_fermenter(in, at.evidence->brew)) continue;
        brews.emplace_back(at.evidence, std::ssize(asked.figures));
        if (at.evidence->brew == in.brew.code && at.evidence->is_alone) asked.brew = brews.back().second;
        rows += std::ssize(at.evidence->rows);
        ask_of(model, at, asked);
    }
    asked.rows = MatrixXd::Zero(rows, std::ssize(asked.figures));
    asked.values.resize(rows);
    Index row = 0;
    for (const auto& [evidence, first] : brews)
        for (const auto& of : evidence->rows) {
            for (std::size_t i = 0; i < house_figures; ++i) asked.rows(row, first + static_cast<Index>(i)) = of.of[i];
            asked.rows(row, first + static_cast<Index>(house_figures)) = of.of[0];
            for (std::size_t k = 0; k < of.lasting.size(); ++k)
                asked.rows(row, model.instrument_index.at(evidence->instruments[k].key)) += of.lasting[k];
            asked.values[row++] = of.value;
        }
    return asked;
}

struct Gaussian {
    VectorXd mean;
    MatrixXd covariance;
};

// What is known of the figures without those rows. S is the covariance of all, C = S A' and D = I - A S A' what the
// rows' own noise leaves. Then it is S + C D^-1 C' and m + C D^-1 (A m - y).
Gaussian without_rows(const Asked& asked, const stats::GaussianSolver& solver) {
    const auto joint = solver.joint(asked.figures);
    const Index n = std::ssize(asked.figures), rows = asked.rows.rows();
    Gaussian all{Eigen::Map<const VectorXd>(joint.mean.data(), n),
                 Eigen::Map<const MatrixXd>(joint.covariance.data(), n, n)};
    if (rows == 0) return all;
    const MatrixXd c = stats::product(all.covariance, MatrixXd(asked.rows.transpose()));
    const Eigen::LDLT<MatrixXd> left(MatrixXd::Identity(rows, rows) - stats::product(asked.rows, c));
    return {all.mean + c * left.solve(asked.rows * all.mean - asked.values),
            all.covariance + stats::product(c, MatrixXd(left.solve(MatrixXd(c.transpose()))))};
}

// Its own figures where it has any, then the instruments.
Elsewhere answer(const LearnModel& model, const Asked& asked, const Gaussian& all, double retested) {
    Elsewhere out;
    std::vector<Index> order;
    if (asked.brew >= 0) {
        out.figures = Elsewhere::brew_figures;
        for (std::size_t i = 0; i < out.figures; ++i) order.push_back(asked.brew + static_cast<Index>(i));
    }
    for (Index i = 0; i < asked.instruments; ++i) order.push_back(i);
    for (const auto& at : model.instruments) out.instruments.push_back(at.instrument.key);
    for (const Index i : order) {
        out.mean.push_back(all.mean[i]);
        for (const Index j : order) out.covariance.push_back(all.covariance(i, j));
    }
    if (out.figures > 0) out.mean[out.figures - 1] += retested;
    return out;
}

// A brew whose readings contradict each other teaches nothing; what the others lead to expect of it is known all the
// same. It stands among them whoever is asked about, so that a brew is told alike alone and with all others.
void expect_without_readings(std::vector<BrewEvidence>& evidence) {
    for (BrewEvidence& e : evidence) {
        if (e.fault.empty() || e.shares.empty()) continue;
        e.fault.clear();
        e.rows.clear();
        e.instruments.clear();
    }
}

std::vector<std::optional<Elsewhere>> learned_about(const std::vector<const ReconcileInput*>& brews,
                                                    const std::vector<const ReconcileInput*>& of) {
    std::vector<std::optional<Elsewhere>> out(of.size());
    Gathered g = gather(brews, brews.back()->brew.date);
    make_linear_again(g);
    expect_without_readings(g.evidence);
    const LearnModel model = learn_model(g.evidence, g.lots, g.houses, g.latest);
    if (model.instruments.empty()) return out;
    stats::GaussianSolver solver(model.model);
    std::vector<Gaussian> sums(of.size());
    std::vector<Asked> asked;
    for (const auto* in : of) asked.push_back(asked_of(model, *in));
    for (const ChangeModel& change : changes_at_one_point(model)) {
        (void)solver.fit(change.grid.points.front().log_scales, stats::GaussianSolver::Want::variances, rounds,
                         widened_by(model, change.steps));
        for (std::size_t i = 0; i < of.size(); ++i) {
            const Gaussian one = without_rows(asked[i], solver);
            if (sums[i].mean.size() == 0)
                sums[i] = {VectorXd::Zero(one.mean.size()), MatrixXd::Zero(one.mean.size(), one.mean.size())};
            sums[i].mean += change.weight * one.mean;
            sums[i].covariance += change.weight * (one.covariance + one.mean * one.mean.transpose());
        }
    }
    for (std::size_t i = 0; i < of.size(); ++i) {
        sums[i].covariance -= sums[i].mean * sums[i].mean.transpose();
        double retested = 0.0;
        int others = 0;
        for (const auto& at : model.brews) {
            if (at.evidence->brew == of[i]->brew.code) retested = at.evidence->retested;
            if (!at.evidence->rows.empty() && !is_of_fermenter(*of[i], at.evidence->brew)) ++others;
        }
        if (others == 0) continue;
        out[i] = answer(model, asked[i], sums[i], retested);
        out[i]->brews = others;
    }
    return out;
}

} // namespace

std::vector<std::optional<Elsewhere>> learned_elsewhere(const LearnRequest& request,
                                                        const std::vector<const ReconcileInput*>& of) {
    std::vector<std::optional<Elsewhere>> out(of.size());
    const auto ordered = in_order(request.brews);
    if (ordered.empty()) return out;
    // windows of brews that overlap by half; each brew is asked of that in whose middle it stands
    std::map<std::size_t, std::vector<std::size_t>> windows; // by their first brew: which of `of`
    for (std::size_t i = 0; i < of.size(); ++i) {
        const auto found = std::ranges::find(ordered, of[i]->brew.code, [](const auto* b) { return b->brew.code; });
        const auto place = static_cast<std::size_t>(found - ordered.begin());
        const std::size_t half = about / 2, last = ordered.size() - std::min(ordered.size(), about);
        const std::size_t first = place < half ? 0 : (place - half / 2) / half * half;
        windows[std::min(first, last)].push_back(i);
    }
    for (const auto& [first, asked] : windows) {
        const auto begin = ordered.begin() + static_cast<std::ptrdiff_t>(first);
        const auto count = static_cast<std::ptrdiff_t>(std::min(about, ordered.size() - first));
        std::vector<const ReconcileInput*> brews;
        for (const std::size_t i : asked) brews.push_back(of[i]);
        const auto found = learned_about({begin, begin + count}, brews);
        for (std::size_t k = 0; k < asked.size(); ++k) out[asked[k]] = found[k];
    }
    return out;
}

} // namespace lotwort
