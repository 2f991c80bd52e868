#include "brew_evidence.hpp"
#include "brew_problem.hpp"
#include "equations.hpp"
#include "expectations.hpp"
#include "lasting.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/mash_grist.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/dense.hpp>
#include <lotwort/stats/distributions.hpp>

namespace lotwort::infer_detail {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr auto figures = static_cast<Index>(house_figures);
constexpr double contradiction = 1e-4; // p of the readings among themselves below which a brew teaches nothing
constexpr double nothing_said = 1e-4;  // a row that moves by less than this over a figure's typical scatter

// Of the brew and of those that share its fermenter: their houses' figures are learned too. What a second mash is
// expected to do ties it to the first, and stays.
bool is_learned(const BrewEquation& e) {
    return e.is_expectation && e.mash == 0 &&
           (e.point == "conversion" || e.point == "lauter" || e.point == "absorption" || e.point == "boil-off" ||
            e.point == "kettle-loss");
}

const BrewEquation& expectation_of(const BrewModel& model, std::string_view id) {
    const auto found = std::ranges::find(model.equations, id, &BrewEquation::id);
    LOTWORT_CHECK(found != model.equations.end());
    return *found;
}
const BrewEquation& expectation_of(const BrewModel&&, std::string_view) = delete;

bool is_of_lot(const SharedError& error) {
    return error.source.starts_with("lot ");
}

struct Grist {
    std::vector<LotShare> shares;
    double mass_kg = 0.0;
    double extract_then_kg = 0.0, extract_now_kg = 0.0; // by what was known on the brew day, and by what is known now
};

Grist grist_of(const ReconcileInput& in, Date latest) {
    Grist g;
    std::vector<WeighedMalt> weighed;
    std::map<std::string, double> extract;
    for (const auto& addition : in.brew.additions) {
        if (addition.stage != Stage::mash || addition.amount.measure != Measure::mass) continue;
        const auto& [item, lot] = in.lots.at(addition.lot);
        if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar) continue;
        const auto then = malt_figures(item, lot, in.brew.date), now = malt_figures(item, lot, latest);
        const double mass = addition.amount.kilograms().value();
        weighed.push_back({addition.lot, addition.amount.kilograms(), then,
                           instrument_for(addition.mass_instrument, InstrumentKind::balance, in.brewhouse,
                                          ReadingPoint::mash, in.instruments)});
        const double of_lot = mass * now.extract_fine_dry_pct.value / 100.0 * (1.0 - then.moisture_pct.value / 100.0);
        extract[addition.lot] += of_lot;
        g.extract_now_kg += of_lot;
        g.mass_kg += mass;
    }
    g.extract_then_kg = mash_grist(weighed).extract_kg;
    for (const auto& [lot, kg] : extract)
        if (g.extract_now_kg > 0.0) g.shares.push_back({lot, kg / g.extract_now_kg});
    return g;
}

// The learned figures with their slopes in the brew's unknowns.
struct Figures {
    VectorXd value{figures};
    MatrixXd slope;
    explicit Figures(Index unknowns) : slope(figures, unknowns) {}
    void set(HouseFigure f, const Traced& x) {
        const auto i = static_cast<Index>(f);
        value[i] = x.value;
        slope.row(i) = x.slope.transpose();
    }
};

struct Basis {
    double mass_kg, tun_loss_l, hours, hops_l; // hops_l: wort that the hops hold, in the kettle loss
};

Traced log(const Traced& x) {
    return {std::log(x.value), x.slope / x.value};
}

// x / unit - offset
Traced per(const Traced& x, double unit, double offset = 0.0) {
    return {x.value / unit - offset, x.slope / unit};
}

// Mashes of one brew count together.
Figures figures_at(const JointBalance& at, std::size_t brew, const Basis& basis) {
    using Mash = JointBalance::Mash;
    const auto sum = [&](auto member) { return at.sum_of_mashes(brew, member); };
    const Traced dissolved = sum([](const Mash& m) { return m.state.extract_mash_kg; });
    const Traced run_off = sum([](const Mash& m) { return m.state.extract_kettle_kg; });
    Figures f(dissolved.slope.size());
    f.set(HouseFigure::conversion, log(dissolved / sum([](const Mash& m) { return m.state.extract_grist_kg; })));
    f.set(HouseFigure::lauter,
          log(run_off / sum([](const Mash& m) { return m.state.extract_mash_kg * m.balance.lauter_expected; })));
    f.set(HouseFigure::boil_off, per(at.of_kettle(brew, at.kettle(brew).state.boil_off_l), basis.hours));
    f.set(HouseFigure::absorption,
          per(sum([](const Mash& m) { return m.state.retained_l; }), basis.mass_kg, basis.tun_loss_l / basis.mass_kg));
    f.set(HouseFigure::kettle_loss, per(at.of_kettle(brew, at.kettle(brew).state.kettle_loss_l), 1.0, basis.hops_l));
    return f;
}

// The whitened equations that were not put in as learned figures: residual and Jacobian at the solution, and how much
// of each instrument's lasting error is in them.
struct White {
    VectorXd residual;
    MatrixXd jacobian, lasting;
};

White whitened(const std::vector<BrewEquation>& equations, const stats::LeastSquaresSolution& at,
               const MatrixXd& lasting) {
    std::vector<BrewEquation> kept;
    std::vector<Index> rows;
    for (std::size_t i = 0; i < equations.size(); ++i)
        if (!is_learned(equations[i])) {
            kept.push_back(equations[i]);
            rows.push_back(static_cast<Index>(i));
        }
    const Index n = at.jacobian.cols(), k = lasting.cols();
    MatrixXd both(static_cast<Index>(rows.size()), n + k + 1);
    for (Index i = 0; i < both.rows(); ++i) {
        const Index row = rows[static_cast<std::size_t>(i)];
        both.row(i).head(n) = at.jacobian.row(row);
        both.row(i).segment(n, k) = lasting.row(row);
        both(i, n + k) = at.residual[row];
    }
    both = stats::whitened(covariance_of(kept), both);
    return {both.col(n + k), both.leftCols(n), both.middleCols(n, k)};
}

// What is left of the equations once all but the house's figures (in units of their typical scatter) and the lasting
// errors is projected off: of_figures q + lasting L = residual +- 1.
struct Left {
    MatrixXd of_figures, lasting;
    VectorXd residual;
};

Left projected(const White& white, const Figures& f, const VectorXd& scale, const VectorXd& typical) {
    // theta = pseudo-inverse q + N r: the figures, and whatever else moves
    const MatrixXd slopes = typical.cwiseInverse().asDiagonal() * f.slope * scale.asDiagonal();
    const auto others = stats::beside(slopes.transpose());
    const MatrixXd of_figures = stats::pseudo_inverse(slopes);
    const MatrixXd scaled = white.jacobian * scale.asDiagonal();
    const MatrixXd across = stats::beside(stats::product(scaled, others)).transpose();
    return {stats::product(stats::product(across, scaled), of_figures), stats::product(across, white.lasting),
            across * white.residual};
}

// With every bias an error of this brew alone, as in its own balance: what is left beside the figures speaks only of
// the readings themselves.
void find_fault(const Left& left, BrewEvidence& out) {
    const auto [rows, turned] = stats::turned(left.of_figures, left.residual);
    Index said = 0;
    while (said < rows.rows() && rows.row(said).norm() >= nothing_said) ++said;
    const Index free = turned.size() - said;
    if (free > 0 &&
        stats::chi_square_upper_tail(turned.tail(free).squaredNorm(), static_cast<int>(free)) < contradiction) {
        out.fault = "its readings contradict each other";
        out.can_be_mended = true;
    }
    if (said == 0 && out.fault.empty()) out.fault = "its readings tell nothing of the brewhouse";
}

void add_rows(const Left& left, const Figures& f, const VectorXd& typical, BrewEvidence& out) {
    MatrixXd all(left.of_figures.rows(), figures + left.lasting.cols());
    all << left.of_figures, left.lasting;
    const auto [rows, turned] = stats::turned(all, left.residual);
    for (Index i = 0; i < rows.rows() && rows.row(i).norm() >= nothing_said; ++i) {
        BrewEvidence::Row row;
        row.value = turned[i];
        for (Index j = 0; j < figures; ++j) {
            row.of[static_cast<std::size_t>(j)] = rows(i, j) / typical[j];
            row.value += row.of[static_cast<std::size_t>(j)] * f.value[j];
        }
        for (Index j = figures; j < rows.cols(); ++j) row.lasting.push_back(rows(i, j));
        out.rows.push_back(std::move(row));
    }
}

void note_mash(const Brew& brew, BrewEvidence& out) {
    for (const auto& reading : brew.readings) {
        if (reading.point != ReadingPoint::mash || reading.set_aside) continue;
        if (reading.temperature) out.mash_c = reading.temperature->value();
        if (reading.ph) out.mash_ph = *reading.ph;
        if (reading.mill_gap) out.mill_gap_mm = reading.mill_gap->value();
    }
}

// What a house tells of all its brews is no reading of one, nor of those beside it in the fermenter.
void forget_told_efficiency(ReconcileInput& in) {
    in.brewhouse = without_told_efficiency(std::move(in.brewhouse));
    for (auto* tied : {&in.earlier_in_fermenter, &in.later_in_fermenter})
        for (auto& other : *tied) other.brewhouse = without_told_efficiency(std::move(other.brewhouse));
}

// The house, expecting just these figures of the brew.
Brewhouse expecting_near(Brewhouse house, const Kit& kit, const Grist& grist, const HouseValues& near) {
    constexpr double tight = 0.01; // of what the house's brews scatter by: the readings do not move it
    const double conversion = std::exp(near[0]) * grist.extract_now_kg / grist.extract_then_kg;
    return expecting(std::move(house), {conversion, std::exp(near[1]), near[2], near[3], near[4]},
                     {tight * kit.conversion_sd, tight * kit.lauter_sd, tight * kit.boil_off_sd_l_per_h,
                      tight * kit.absorption_sd_l_per_kg, tight * kit.kettle_loss_sd_l});
}

// Marks that err by a share of the volume err by a share of what was there. By a share of what was read, a reading
// that came high would count for less than one that came low. Over many brews all marks would then be found to read
// high.
void err_by_what_was_there(const ReconcileInput& in, const JointBalance& at, BrewModel& model) {
    for (auto& e : model.equations) {
        if (e.is_expectation || e.scale != Scale::litres || !(e.observed > 0.0)) continue;
        const auto stated = std::ranges::find(in.instruments, e.instrument, &Instrument::name);
        if (stated != in.instruments.end() && !stated->bias_sd_pct && !stated->repeatability_pct) continue;
        const double share = at.predicted(e).value / e.observed;
        e.own_sd *= share;
        e.bias_sd *= share;
    }
}

} // namespace

std::string instrument_key(const ReconcileInput& in, const std::string& name) {
    const bool is_stated = std::ranges::find(in.instruments, name, &Instrument::name) != in.instruments.end();
    return is_stated ? name : in.brewhouse.name + ": " + name;
}

BrewEvidence evidence_of(const ReconcileInput& in, Date latest, const HouseValues* near) {
    BrewEvidence out;
    out.brew = in.brew.code;
    out.date = in.brew.date;
    out.brewhouse = in.brew.brewhouse;
    note_mash(in.brew, out);
    ReconcileInput expecting = in;
    forget_told_efficiency(expecting);
    const Kit kit = kit_of(expecting.brewhouse);
    if (near != nullptr && has_malt(in))
        expecting.brewhouse = expecting_near(std::move(expecting.brewhouse), kit, grist_of(in, latest), *near);
    BrewModel model = brew_model(expecting);
    if (model.equations.empty()) {
        out.fault = has_malt(in) ? "its malt holds no extract" : "no malt has been deducted for it";
        out.can_be_mended = has_malt(in);
        return out;
    }
    const Grist grist = grist_of(in, latest);
    if (!(grist.extract_now_kg > 0.0)) {
        out.fault = "its malt holds no extract, by what is known of it now";
        out.can_be_mended = true;
        return out;
    }
    out.shares = grist.shares;
    out.retested = std::log(grist.extract_now_kg / grist.extract_then_kg);
    out.is_alone =
        model.brews.size() == 1 && model.brews.front().mashes.size() == 1 && in.untied_before + in.untied_after == 0;
    for (auto& e : model.equations)
        if (e.id == "expect:grist") std::erase_if(e.shared, is_of_lot);
    const UnknownsOf unknowns(model);
    const auto solution = stats::solve(problem_of(model, unknowns));
    if (!solution.converged) {
        out.fault = "its readings contradict each other so far that no brew fits them all";
        out.can_be_mended = true;
        return out;
    }
    const double boil = expectation_of(model, "expect:boil-off").observed;
    const Kit expected = kit_of(expecting.brewhouse);
    const Basis basis{grist.mass_kg, kit.tun_loss_l, std::max(boil / std::max(expected.boil_off_l_per_h, 1e-9), 1e-3),
                      expectation_of(model, "expect:kettle-loss").observed - expected.kettle_loss_l};
    const JointBalance at(model, unknowns, solution.theta);
    if (near != nullptr) err_by_what_was_there(in, at, model);
    Figures f = figures_at(at, model.asked, basis);
    const VectorXd typical{{std::max(kit.conversion_sd, 1e-3), std::max(kit.lauter_sd, 1e-3),
                            std::max(kit.boil_off_sd_l_per_h, 1e-4 * kit.volume_l),
                            std::max(kit.absorption_sd_l_per_kg, 1e-3),
                            std::max(kit.kettle_loss_sd_l, 1e-4 * kit.volume_l)}};
    // against the certificates as known now
    f.value[0] -= out.retested;
    for (Index i = 0; i < figures; ++i) out.at[static_cast<std::size_t>(i)] = f.value[i];
    // mashes of one brew by the extract they dissolved
    double dissolved_kg = 0.0, expected_kg = 0.0;
    for (const auto& mash : at.mashes(model.asked)) {
        dissolved_kg += mash.state.extract_mash_kg.value;
        expected_kg += mash.state.extract_mash_kg.value * mash.balance.lauter_expected.value;
    }
    out.lauter_expected = expected_kg / dissolved_kg;
    const auto& kettle = at.kettle(model.asked).balance;
    out.transfer = kettle.extract_collected_kg.value / kettle.extract_cast_out_kg.value;
    out.fermenter_l = kettle.fermenter_l.value;
    const VectorXd scale = solution.theta.cwiseAbs().cwiseMax(0.01 * solution.theta.cwiseAbs().maxCoeff());
    Lasting lasting(in, model.equations);
    lasting.add_thermometer(model, at);
    find_fault(projected(whitened(model.equations, solution, MatrixXd(solution.jacobian.rows(), 0)), f, scale, typical),
               out);
    // a lasting error is counted in stated sd, of which it has lasting_share
    add_rows(projected(whitened(without_lasting(model.equations), solution, lasting.matrix()), f, scale, typical), f,
             typical, out);
    out.instruments = std::move(lasting.instruments);
    return out;
}

} // namespace lotwort::infer_detail
