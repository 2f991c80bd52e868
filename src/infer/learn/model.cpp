#include "model.hpp"
#include <algorithm>
#include <cmath>
#include <Eigen/Cholesky>
#include <lotwort/brew/kit.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/dense.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort::infer_detail {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double least_sd = 1e-4; // relative: nothing is known better
// The sd of a doubted sentence in that of its narrow part; none is doubted where no lot is odd.
const double whole_if_doubted = std::sqrt(1.0 + beyond_share * (beyond_widening * beyond_widening - 1.0));
constexpr double most_sd = 1.0; // nor is anything known worse that a logarithm can speak of

double without(double whole, double part) {
    return std::sqrt(std::max(whole * whole - part * part, 0.04 * whole * whole));
}

// A lot's whole scatter against its certificate, in what all lots of the item share and what is its own. A lot without
// a certificate is known as its item or its class is: most of that error is the same for the next lot.
LotPrior split(const Item& item, const MaltFigures& figures) {
    const auto relative = [](double sd, double value) { return value > 0.0 ? std::min(sd / value, most_sd) : most_sd; };
    const double whole = relative(figures.extract_as_is.sd, figures.extract_as_is.value);
    const bool certified = figures.extract_fine_dry_pct.origin == Origin::certificate ||
                           figures.extract_fine_dry_pct.origin == Origin::retest;
    LotPrior p;
    p.item = item.name;
    p.item_sd = (certified ? item_part : uncertified_item_part) * whole;
    if (item.extract_sd && certified) {
        const double reference = item.extract ? item.extract->value() : figures.extract_fine_dry_pct.value;
        p.item_sd = std::min(relative(item.extract_sd->value(), reference), 0.95 * whole);
    }
    p.item_sd = std::max(p.item_sd, least_sd);
    p.lot_sd = std::max(without(whole, p.item_sd), least_sd);
    return p;
}

class Builder {
public:
    Builder(LearnModel& out, const std::map<std::string, UsedLot>& lots, Date latest, OddLots odd)
        : out_(out), lots_(lots), latest_(latest), odd_(odd) {
        for (int s = 0; s < scale_names; ++s) out_.model.add_scale();
    }
    void add_house(const Brewhouse& brewhouse);
    void add_covariates(const std::vector<BrewEvidence>& evidence);
    void add_brew(const BrewEvidence& evidence);

private:
    int lot(const std::string& code);
    int item(const std::string& name, double sd);
    int instrument(const BrewInstrument& used);
    int step(int& level, double sd);
    int lasting_doubt(int sentence);

    LearnModel& out_;
    const std::map<std::string, UsedLot>& lots_;
    Date latest_;
    OddLots odd_;
};

// The sentence of a house's figure as its prior has it.
std::vector<stats::Term> prior_terms(const HousePrior& prior, std::size_t figure,
                                     const std::array<int, house_figures>& unknown) {
    std::vector<stats::Term> terms{{unknown[figure], 1.0}};
    for (std::size_t i = 0; i < house_figures; ++i)
        if (prior.follows[figure][i] != 0.0) terms.push_back({unknown[i], -prior.follows[figure][i]});
    return terms;
}

void Builder::add_house(const Brewhouse& brewhouse) {
    House h;
    h.name = brewhouse.name;
    h.prior = house_prior(brewhouse);
    std::array<int, house_figures> unknown{};
    const auto terms_of = [&](std::size_t figure) { return prior_terms(h.prior, figure, unknown); };
    const double whole = odd_ == OddLots::allowed ? whole_if_doubted : 1.0;
    for (std::size_t i = 0; i < 3; ++i) {
        unknown[2 + i] = h.constants[i] = out_.model.add_unknown();
        // in all as wide as it is stated, with longer tails
        h.doubts[i] =
            lasting_doubt(out_.model.say(terms_of(2 + i), h.prior.constant(2 + i), h.prior.apart_sd[2 + i] / whole));
    }
    h.conversion = out_.model.add_unknown();
    unknown[1] = h.lauter = out_.model.add_unknown();
    out_.model.say(terms_of(1), h.prior.constant(1), h.prior.apart_sd[1]);
    out_.houses.push_back(std::move(h));
}

void Builder::add_covariates(const std::vector<BrewEvidence>& evidence) {
    const auto slope = [&](auto&& has, double sd) {
        if (std::ranges::none_of(evidence, has)) return -1;
        const int unknown = out_.model.add_unknown();
        out_.model.say({{unknown, 1.0}}, 0.0, sd);
        return unknown;
    };
    out_.rest_slope = slope([](const BrewEvidence& e) { return e.fault.empty() && e.mash_c; }, rest_slope_sd);
    out_.ph_slope = slope([](const BrewEvidence& e) { return e.fault.empty() && e.mash_ph; }, ph_slope_sd);
    out_.gap_slope = slope([](const BrewEvidence& e) { return e.fault.empty() && e.mill_gap_mm; }, gap_slope_sd);
    std::vector<std::optional<double>> first_gap(out_.houses.size());
    for (const auto& e : evidence) {
        if (!e.mill_gap_mm) continue;
        const auto at = static_cast<std::size_t>(out_.house_named(e.brewhouse));
        if (!first_gap[at]) first_gap[at] = e.mill_gap_mm;
        out_.houses[at].gap_mm = e.mill_gap_mm;
    }
    // what is stated of the conversion is of the mill as it stood first
    for (std::size_t h = 0; h < out_.houses.size(); ++h) {
        const auto& house = out_.houses[h];
        std::vector<stats::Term> terms =
            prior_terms(house.prior, 0,
                        {house.conversion, house.lauter, house.constants[0], house.constants[1], house.constants[2]});
        if (first_gap[h] && *first_gap[h] != *house.gap_mm)
            terms.push_back({out_.gap_slope, *first_gap[h] - *house.gap_mm});
        out_.model.say(terms, house.prior.constant(0), house.prior.apart_sd[0]);
    }
}

int Builder::item(const std::string& name, double sd) {
    const auto known = out_.item_index.find(name);
    if (known != out_.item_index.end()) return known->second;
    const int index = static_cast<int>(out_.items.size());
    const int unknown = out_.model.add_unknown();
    // as stated: how far lots scatter, of which a few are odd, says nothing of how far malts do, and these are few
    out_.model.say({{unknown, 1.0}}, 0.0, sd);
    out_.items.push_back({name, sd, unknown});
    out_.item_index[name] = index;
    return index;
}

int Builder::lot(const std::string& code) {
    const auto known = out_.lot_index.find(code);
    if (known != out_.lot_index.end()) return known->second;
    const auto& [kind, lot] = lots_.at(code);
    LearnModel::LotAt at;
    at.lot = code;
    at.prior = lot_prior(kind, lot, latest_);
    at.item = item(at.prior.item, at.prior.item_sd);
    at.unknown = out_.model.add_unknown();
    auto& of_item = out_.items[static_cast<std::size_t>(at.item)];
    ++of_item.lots;
    const int sentence =
        out_.model.say({{at.unknown, 1.0}, {of_item.unknown, -1.0}}, 0.0, at.prior.lot_sd, lot_scatter);
    if (odd_ == OddLots::allowed) at.doubt = out_.model.doubt(sentence, odd_share, odd_widening);
    at.first_brew = static_cast<int>(out_.brews.size());
    const int index = static_cast<int>(out_.lots.size());
    out_.lots.push_back(std::move(at));
    out_.lot_index[code] = index;
    return index;
}

// Whether what is stated of an instrument or of the house holds; none: it does.
int Builder::lasting_doubt(int sentence) {
    return odd_ == OddLots::allowed ? out_.model.doubt(sentence, beyond_share, beyond_widening) : -1;
}

int Builder::instrument(const BrewInstrument& used) {
    const auto [known, is_new] = out_.instrument_index.emplace(used.key, static_cast<int>(out_.instruments.size()));
    if (is_new) {
        LearnModel::InstrumentAt at{used, out_.model.add_unknown()};
        at.doubt = lasting_doubt(out_.model.say({{at.unknown, 1.0}}, 0.0, std::sqrt(lasting_share)));
        for (const CheckedError& check : used.checks) out_.model.say({{at.unknown, 1.0}}, check.value, check.sd);
        out_.instruments.push_back(std::move(at));
    }
    auto& at = out_.instruments[static_cast<std::size_t>(known->second)];
    const int readings = is_new ? 0 : at.instrument.readings;
    at.instrument = used;
    at.instrument.readings += readings;
    ++at.brews;
    return at.unknown;
}

// The level as the next brew meets it. Returns the step's sentence.
int Builder::step(int& level, double sd) {
    const int next = out_.model.add_unknown();
    const int sentence = out_.model.say({{next, 1.0}, {level, -1.0}}, 0.0, sd, level_walk);
    level = next;
    return sentence;
}

void Builder::add_brew(const BrewEvidence& e) {
    const int which = out_.house_named(e.brewhouse);
    House& house = out_.houses[static_cast<std::size_t>(which)];
    auto& m = out_.model;
    int steps[2] = {-1, -1};
    const int place = house.brews++;
    if (place > 0) {
        steps[0] = step(house.conversion, conversion_walk_sd);
        steps[1] = step(house.lauter, lauter_walk_sd);
    }
    LearnModel::BrewAt at{&e, which, place, house.conversion, house.lauter, {}, {steps[0], steps[1]}};
    for (int& own : at.own) own = m.add_unknown();

    std::vector<stats::Term> own{{at.own[0], 1.0}, {at.conversion, -1.0}};
    for (const auto& share : e.shares) {
        auto& lot_at = out_.lots[static_cast<std::size_t>(lot(share.lot))];
        ++lot_at.uses;
        own.push_back({lot_at.unknown, -share.share});
    }
    if (e.mash_c) own.push_back({out_.rest_slope, rest_reference_c - *e.mash_c});
    if (e.mash_ph) own.push_back({out_.ph_slope, ph_reference - *e.mash_ph});
    if (e.mill_gap_mm) own.push_back({out_.gap_slope, *house.gap_mm - *e.mill_gap_mm});
    m.say(own, 0.0, house.prior.scatter_sd[0], brew_scatter);
    m.say({{at.own[1], 1.0}, {at.lauter, -1.0}}, 0.0, house.prior.scatter_sd[1], brew_scatter);
    for (std::size_t i = 2; i < house_figures; ++i)
        m.say({{at.own[i], 1.0}, {house.constants[i - 2], -1.0}}, 0.0, house.prior.scatter_sd[i], kit_scatter);

    std::vector<int> unknown(at.own.begin(), at.own.end());
    for (const auto& used : e.instruments) unknown.push_back(instrument(used));
    for (const auto& row : e.rows) {
        std::vector<stats::Term> terms;
        for (std::size_t i = 0; i < unknown.size(); ++i) {
            const double of = i < house_figures ? row.of[i] : row.lasting[i - house_figures];
            if (of != 0.0) terms.push_back({unknown[i], of});
        }
        m.say(terms, row.value, 1.0);
    }
    const int of_yield[3] = {at.conversion, at.lauter, at.own[static_cast<std::size_t>(HouseFigure::kettle_loss)]};
    m.link(of_yield[0], of_yield[1]);
    m.link(of_yield[0], of_yield[2]);
    m.link(of_yield[1], of_yield[2]);
    out_.brews.push_back(at);
}

} // namespace

double HousePrior::constant(std::size_t figure) const {
    double value = mean[figure];
    for (std::size_t i = 0; i < house_figures; ++i) value -= follows[figure][i] * mean[i];
    return value;
}

namespace {

// The levels' covariance as sentences that follow one another.
void follow_on(const Kit& kit, HousePrior& p) {
    p.apart_sd = p.level_sd;
    if (!kit.level_covariance) return;
    constexpr auto n = static_cast<Index>(house_figures);
    const std::array<double, house_figures> per{kit.conversion, kit.lauter_of_expected, 1.0, 1.0, 1.0};
    MatrixXd covariance(n, n);
    const auto figure = [](Index k) {
        return static_cast<std::size_t>(HousePrior::said_in[static_cast<std::size_t>(k)]);
    };
    for (Index i = 0; i < n; ++i)
        for (Index j = 0; j < n; ++j) {
            const std::size_t a = figure(i), b = figure(j);
            covariance(i, j) = (*kit.level_covariance)[a][b] / (per[a] * per[b]);
            if (i == j) covariance(i, i) = std::max(covariance(i, i), p.level_sd[a] * p.level_sd[a]);
        }
    for (Index i = 0; i < n; ++i) {
        const auto before = covariance.topLeftCorner(i, i);
        const VectorXd with = covariance.col(i).head(i);
        const VectorXd slope = i > 0 ? VectorXd(before.ldlt().solve(with)) : VectorXd(0);
        for (Index j = 0; j < i; ++j) p.follows[figure(i)][figure(j)] = slope[j];
        const double apart = covariance(i, i) - (i > 0 ? slope.dot(with) : 0.0);
        p.apart_sd[figure(i)] = std::sqrt(std::max(apart, 1e-6 * covariance(i, i)));
    }
}

} // namespace

HousePrior house_prior(const Brewhouse& brewhouse) {
    const Kit kit = kit_of(brewhouse);
    HousePrior p;
    const auto set = [&](HouseFigure f, double mean, double sd, double level_sd, double least) {
        const auto i = static_cast<std::size_t>(f);
        p.mean[i] = mean;
        p.level_sd[i] = std::max(level_sd, least);
        p.scatter_sd[i] = std::max(without(sd, level_sd), least);
    };
    const auto in_log = [](double sd, double value) { return std::min(sd / value, most_sd); };
    set(HouseFigure::conversion, std::log(kit.conversion), in_log(kit.conversion_sd, kit.conversion),
        in_log(kit.conversion_level_sd, kit.conversion), 1e-3);
    set(HouseFigure::lauter, std::log(kit.lauter_of_expected), in_log(kit.lauter_sd, kit.lauter_of_expected),
        in_log(kit.lauter_level_sd, kit.lauter_of_expected), 1e-3);
    set(HouseFigure::boil_off, kit.boil_off_l_per_h, kit.boil_off_sd_l_per_h, kit.boil_off_level_sd_l_per_h,
        1e-4 * kit.volume_l);
    set(HouseFigure::absorption, kit.absorption_l_per_kg, kit.absorption_sd_l_per_kg, kit.absorption_level_sd_l_per_kg,
        1e-3);
    set(HouseFigure::kettle_loss, kit.kettle_loss_l, kit.kettle_loss_sd_l, kit.kettle_loss_level_sd_l,
        1e-4 * kit.volume_l);
    follow_on(kit, p);
    return p;
}

LotPrior lot_prior(const Item& item, const Lot& lot, Date day) {
    return split(item, malt_figures(item, lot, day));
}

LotPrior lot_prior(const Item& item) {
    return split(item, malt_figures(item));
}

std::vector<BrewEvidence::Row> with_house_scatter(const BrewEvidence& evidence, const HousePrior& house, double times) {
    const auto k = static_cast<Index>(evidence.rows.size()), n = static_cast<Index>(house_figures);
    const auto lasting = static_cast<Index>(evidence.instruments.size());
    MatrixXd r(k, n + lasting + 1); // the last column is what was seen
    for (Index i = 0; i < k; ++i) {
        const auto& row = evidence.rows[static_cast<std::size_t>(i)];
        for (Index j = 0; j < n; ++j) r(i, j) = row.of[static_cast<std::size_t>(j)];
        for (Index j = 0; j < lasting; ++j) r(i, n + j) = row.lasting[static_cast<std::size_t>(j)];
        r(i, n + lasting) = row.value;
    }
    VectorXd scatter = VectorXd::Zero(r.cols());
    for (std::size_t j = 2; j < house_figures; ++j)
        scatter[static_cast<Index>(j)] = std::pow(times * house.scatter_sd[j], 2);
    r = stats::whitened(MatrixXd::Identity(k, k) + stats::sandwich(r, MatrixXd(scatter.asDiagonal())), r);
    std::vector<BrewEvidence::Row> out;
    for (Index i = 0; i < k; ++i) {
        BrewEvidence::Row row;
        for (Index j = 0; j < n; ++j) row.of[static_cast<std::size_t>(j)] = r(i, j);
        for (Index j = 0; j < lasting; ++j) row.lasting.push_back(r(i, n + j));
        row.value = r(i, n + lasting);
        out.push_back(std::move(row));
    }
    return out;
}

int LearnModel::house_named(const std::string& name) const {
    const auto found = std::ranges::find(houses, name, &House::name);
    LOTWORT_CHECK(found != houses.end());
    return static_cast<int>(found - houses.begin());
}

std::vector<stats::ScalePrior> LearnModel::priors() {
    std::vector<stats::ScalePrior> out;
    for (const double width : scale_widths) out.push_back({0.0, width});
    return out;
}

LearnModel learn_model(const std::vector<BrewEvidence>& evidence, const std::map<std::string, UsedLot>& lots,
                       const std::vector<Brewhouse>& houses, Date latest, OddLots odd) {
    LearnModel out;
    Builder builder(out, lots, latest, odd);
    for (const auto& house : houses) builder.add_house(house);
    builder.add_covariates(evidence);
    for (const auto& e : evidence)
        if (e.fault.empty()) builder.add_brew(e);
    return out;
}

} // namespace lotwort::infer_detail
