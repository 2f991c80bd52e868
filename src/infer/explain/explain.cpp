#include "ended.hpp"
#include "slopes.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/infer/explain.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort {

namespace {

using namespace infer_detail;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// What was weighed of hops into the kettle, where they hold wort.
std::vector<PlannedHop> weighed_hops(const ReconcileInput& in) {
    std::vector<PlannedHop> hops;
    for (const auto& a : in.brew.additions)
        if (a.amount.measure == Measure::mass && in.lots.at(a.lot).item.kind == ItemKind::hop)
            hops.push_back({a.lot, a.stage, a.minutes.value_or(Minutes(0.0)), a.amount.grams(), {}, std::nullopt});
    return hops;
}

// The forecast of the day before where no plan has left one: of what was weighed, as a plan of it would have been.
Forecast forecast_of_weighed(const ExplainRequest& request, const std::vector<PlannedMalt>& malts, const Happened& h) {
    const Kit book = kit_of(request.brew.brewhouse);
    Recipe recipe = request.brew.recipe.value_or(Recipe{});
    if (!recipe.boil) recipe.boil = request.brew.brew.boil;
    const double target = request.plan && request.plan->volume ? request.plan->volume->value()
                          : request.brew.recipe                ? request.brew.recipe->volume.value()
                                                               : book.volume_l;
    return forecast(recipe, Litres(target), book, malts, weighed_hops(request.brew), Kilograms(h.facts.kettle_sugar_kg),
                    request.learned ? &*request.learned : nullptr, h.late);
}

// What was promised of the recipe's own malts is what was meant. What the forecast has beyond it lacked, and was
// forecast as any lot of its item, or was promised of a stand-in. Each of both gives what was learned of it.
void take_stand_ins_apart(const Grist& promised, const std::optional<Learned>& learned, Inputs& in) {
    constexpr double nothing_kg = 1e-9;
    const double all_kg = in.meant.certified_kg * in.malt_factor;
    const MaltSum& meant = promised.meant;
    in.stand_in = {in.meant.mass_kg - meant.mass_kg, in.meant.moisture_kg - meant.moisture_kg,
                   in.meant.certified_kg - meant.certified_kg};
    in.meant = meant;
    if (in.stand_in.certified_kg < nothing_kg) return;
    in.malt_factor = extract_split(promised, learned).meant_factor;
    in.stand_in_factor = (all_kg - meant.certified_kg * in.malt_factor) / in.stand_in.certified_kg;
}

Inputs inputs_of(const Forecast& f, double tun_loss_l) {
    const ForecastMeans& m = f.means;
    Inputs in;
    in.meant = {m.grist_kg, m.moisture_kg, m.extract_kg};
    in.sugar_kg = m.kettle_sugar_kg;
    in.malt_factor = in.stand_in_factor = m.malt_factor;
    in.conversion = m.conversion;
    in.lauter = m.lauter;
    in.strike_l = f.strike_liquor_l;
    in.sparge_l = f.sparge_liquor_l;
    in.boil_off_l = m.boil_off_l;
    in.absorption_l_per_kg = (m.retained_l - tun_loss_l) / m.grist_kg;
    in.kettle_loss_l = m.kettle_loss_l;
    in.attenuation = m.attenuation;
    in.late = m.late;
    return in;
}

// What reconcile finds of the same readings comes first: a split of readings that contradict each other is no more to
// be trusted than they are. The scatter they show beyond their own is laid over every part (Birge's ratio).
double trust(const Reconciliation& balanced, const Happened& h, Explanation& out) {
    out.test = balanced.test;
    out.suspects = balanced.suspects;
    if (balanced.readings_used == 0)
        out.remarks.emplace_back("nothing has been read yet: what the balance has is the forecast again");
    const auto ratio = [](const GlobalTest& test) {
        return test.passed ? 1.0 : std::sqrt(test.statistic / test.degrees_of_freedom);
    };
    out.widened = std::max(ratio(h.test), ratio(balanced.test));
    if (balanced.test.passed && !h.test.passed)
        out.remarks.push_back(fmt::format("the readings agree badly with what the brews before taught (p = {:.2g}): "
                                          "every part is {:.1f} times as wide for it",
                                          *h.test.p_value, out.widened));
    return out.widened;
}

ExplainedPart part_of(const char* cause, double value, const VectorXd& slope, const MatrixXd& covariance) {
    const double sd = std::sqrt(std::max(0.0, slope.dot(covariance * slope)));
    ExplainedPart part{cause, normal_estimate(value, sd), false};
    part.told = (part.difference.low > 0.0 || part.difference.high < 0.0) && std::abs(value) > 1e-12;
    return part;
}

// The beer as it was read at its end, and without that as the wort it came from. The forecast rests on final gravities
// as they were read, so what an instrument is off by in all of them stays in this one too.
struct Ended {
    Read read;
    Fermented beer;
    std::optional<Estimate> gravity_sg;
    double final_plato = 0.0;
    [[nodiscard]] bool is_fermented() const { return final_plato < beer.original_plato; }
};

// What the balance has of a quantity; none where it has none.
std::optional<Estimate> balanced_of(const Reconciliation& balanced, std::string_view quantity) {
    const auto found = std::ranges::find(balanced.quantities, quantity, [](const auto& q) { return q.first; });
    return found == balanced.quantities.end() ? std::nullopt : found->second.estimate;
}

// The original gravity is the one that reconcile tells; how far off it was read is the reading's own.
void take_reconciled(const Reconciliation& balanced, Read& read, std::vector<std::string>& remarks) {
    constexpr double worth_saying_sg = 0.0003;
    const auto original = balanced_of(balanced, "original_gravity_sg");
    if (!read.gravity_sg || !original) return;
    const double off = *read.gravity_sg - original->value;
    if (std::abs(off) >= worth_saying_sg)
        remarks.push_back(
            fmt::format("the original gravity is the balanced one, {:.4f}; it was read as {:.4f}, and the "
                        "{:.4f} between them are the reading's own",
                        original->value, *read.gravity_sg, std::abs(off)));
    read.gravity_sg = original->value;
    read.gravity_sd = original->sd;
}

Ended ended_of(const ReconcileInput& in, const Happened& h, const Reconciliation& balanced,
               std::vector<std::string>& remarks) {
    Ended e;
    e.read = read_of(in);
    take_reconciled(balanced, e.read, remarks);
    e.beer = fermented_of(h, e.read.gravity_sg ? wort::plato(SpecificGravity(*e.read.gravity_sg)).value()
                                               : 100.0 * h.balanced().fermenter_fraction);
    e.gravity_sg = final_of(
        in, normal_estimate(wort::specific_gravity_of(e.beer.original_plato / 100.0), e.read.gravity_sd), remarks);
    e.final_plato = e.gravity_sg ? wort::plato(SpecificGravity(e.gravity_sg->value)).value() : e.beer.original_plato;
    if (e.gravity_sg && !e.is_fermented())
        remarks.emplace_back("no alcohol is worked out: the final gravity lies above the original");
    return e;
}

// What came, by reconcile's original gravity and the volume as it was read; of what was not read, what the balance has.
struct Came {
    Results outcome;
    std::array<bool, outcomes> was_read;
};

Came came_of(const Results& balanced, const Ended& ended) {
    const bool fermented = ended.is_fermented();
    Came came{balanced,
              {ended.read.gravity_sg.has_value(), ended.read.volume_l.has_value(), fermented,
               fermented && ended.read.gravity_sg.has_value()}};
    if (came.was_read[original_gravity]) came.outcome[original_gravity] = *ended.read.gravity_sg;
    if (came.was_read[fermenter_volume]) came.outcome[fermenter_volume] = *ended.read.volume_l;
    if (came.was_read[final_gravity_read]) came.outcome[final_gravity_read] = ended.gravity_sg->value;
    if (came.was_read[alcohol])
        came.outcome[alcohol] = wort::alcohol_by_volume_pct(ended.beer.original_plato, ended.final_plato);
    return came;
}

std::vector<Cause> asked_of(const Inputs& planned, const Inputs& really, const Happened& h) {
    std::vector<Cause> asked;
    for (int c = 0; c < causes; ++c) {
        const bool is_there = c == stand_ins    ? planned.stand_in.mass_kg > 0.0 || really.stand_in.mass_kg > 0.0
                              : c == mash_rest  ? h.rest.sd > 0.0
                              : c == late_sugar ? planned.late.is_any() || really.late.is_any()
                                                : true;
        if (is_there) asked.push_back(static_cast<Cause>(c));
    }
    return asked;
}

// Of the brew's unknowns and what lies beyond them (slopes.hpp).
MatrixXd covariance_of(const Happened& h, const Ended& ended, double wider) {
    const auto n = h.theta.size();
    MatrixXd covariance = MatrixXd::Zero(n + beyonds, n + beyonds);
    covariance.topLeftCorner(n, n) = h.covariance;
    if (ended.is_fermented())
        covariance(n + of_attenuation, n + of_attenuation) =
            attenuation_variance(*ended.gravity_sg, ended.final_plato, ended.beer);
    covariance(n + of_rest, n + of_rest) = h.rest.sd * h.rest.sd;
    covariance(n + of_stand_ins, n + of_stand_ins) = h.split.sd_kg * h.split.sd_kg;
    return covariance * wider * wider;
}

// One outcome's parts. The wort's gravity and volume are over before the yeast; of the final gravity all that made the
// wort is one part.
std::vector<ExplainedPart> outcome_parts(std::size_t outcome, const std::vector<double>& parts, double reading_error,
                                         const MatrixXd& slopes, const MatrixXd& covariance,
                                         const std::vector<Cause>& asked) {
    std::vector<ExplainedPart> out;
    VectorXd of_wort = VectorXd::Zero(slopes.cols());
    double wort = 0.0;
    for (const Cause c : asked) {
        const VectorXd slope = slopes.row(c).transpose();
        const bool is_whole =
            makes_wort(c) ? outcome != final_gravity_read : outcome == final_gravity_read || outcome == alcohol;
        if (is_whole)
            out.push_back(part_of(cause_words[static_cast<std::size_t>(c)], parts[static_cast<std::size_t>(c)], slope,
                                  covariance));
        if (!is_whole && makes_wort(c)) {
            wort += parts[static_cast<std::size_t>(c)];
            of_wort += slope;
        }
    }
    if (outcome == final_gravity_read) out.insert(out.begin(), part_of(wort_words, wort, of_wort, covariance));
    out.push_back(part_of(cause_words[causes], reading_error, slopes.row(causes).transpose(), covariance));
    return out;
}

// Where the final gravity's instrument alone hides what the yeast did: what reading would tell.
std::optional<std::string> yeast_or_reading(const ExplainedPart& part, const Ended& ended, const VectorXd& slope,
                                            const MatrixXd& covariance) {
    constexpr double least_sg = 0.001, sds_in_90 = 1.645;
    const double size = std::abs(part.difference.value);
    if (part.told || size < least_sg || ended.gravity_sg->sd <= 0.0) return std::nullopt;
    const auto variance_by = [&](Beyond which) {
        const auto k = slope.size() - beyonds + which;
        return slope[k] * slope[k] * covariance(k, k);
    };
    const double whole = part.difference.sd * part.difference.sd, by_reading = variance_by(of_attenuation);
    if (2.0 * variance_by(of_rest) > whole) return std::nullopt; // what the mash rest does hides it
    const double others = std::max(0.0, whole - by_reading);
    const double room = size * size / (sds_in_90 * sds_in_90) - others;
    const double enough =
        room > 0.0 ? std::floor(ended.gravity_sg->sd * std::sqrt(room / by_reading) * 1e4) / 1e4 : 0.0;
    return fmt::format("the yeast cannot be told from the reading: the final gravity is known to ± {:.4f}, and {:.4f} "
                       "of it would be the yeast's; {}",
                       ended.gravity_sg->sd, size,
                       enough > 0.0 ? fmt::format("while there is beer, a reading good to ± {:.4f} would tell", enough)
                                    : "no reading of the beer alone would tell");
}

} // namespace

Explanation explain(const ExplainRequest& request) {
    Explanation out;
    out.brew = request.brew.brew.code;
    ReconcileInput in = request.brew;
    in.elsewhere.reset(); // what is learned says the same of the brewhouse
    if (request.learned) in.brewhouse = taught(in.brewhouse, *request.learned);
    const Happened h = happened(in, request.learned);
    const auto promised = planned_grist(request);
    if (!request.forecast && !promised)
        out.remarks.emplace_back("no plan holds the weights meant: they are taken to be as weighed");
    if (request.forecast && request.plan) out.plan = request.plan->code;
    if (request.learned) out.learned_from_brews = request.learned->brews;
    const Reconciliation reconciled = reconcile(request.brew);
    const double wider = trust(reconciled, h, out);

    const Grist& meant = promised ? *promised : h.grist;
    const Forecast f = request.forecast ? *request.forecast : forecast_of_weighed(request, meant.malts, h);
    const Constants constants{kit_of(request.brew.brewhouse).tun_loss_l, h.facts.wash_stages};
    const bool any_stand_in = h.grist.stand_in.mass_kg > 0.0 || meant.stand_in.mass_kg > 0.0;
    Inputs planned = inputs_of(f, constants.tun_loss_l);
    if (any_stand_in) take_stand_ins_apart(meant, request.learned, planned);
    const Ended ended = ended_of(in, h, reconciled, out.remarks);
    const double attenuated = ended.is_fermented() ? ended.beer.attenuation(ended.final_plato) : planned.attenuation;
    const Inputs really = inputs_at(h.theta, h, constants.tun_loss_l, attenuated);
    const Split split{planned, h, constants, attenuated, asked_of(planned, really, h)};
    const auto parts = parts_of(planned, really, constants, split.asked);
    const Results forecast_now = forecast_of(planned, constants), balanced = forecast_of(really, constants);
    const auto [outcome, was_read] = came_of(balanced, ended);
    const auto slopes = slopes_of(split, was_read);
    const MatrixXd covariance = covariance_of(h, ended, wider);
    const std::array<Estimate, outcomes> forecasts{f.original_gravity_sg, f.volume_l, f.final_gravity_sg,
                                                   f.alcohol_abv_pct};
    for (std::size_t o = 0; o < outcomes; ++o) {
        if ((o == alcohol || o == final_gravity_read) && !was_read[o]) continue;
        ExplainedOutcome e;
        e.quantity = outcome_names[o];
        e.forecast = forecasts[o];
        e.forecast.value = forecast_now[o]; // the same to the last digits, so that the parts sum to the difference
        e.outcome = outcome[o];
        e.outcome_was_read = was_read[o];
        e.difference = outcome[o] - forecast_now[o];
        e.parts = outcome_parts(o, parts[o], outcome[o] - balanced[o], slopes[o], covariance, split.asked);
        if (o == final_gravity_read)
            if (const auto remark =
                    yeast_or_reading(*std::ranges::find(e.parts, cause_words[yeast], &ExplainedPart::cause), ended,
                                     slopes[o].row(yeast).transpose(), covariance))
                out.remarks.push_back(*remark);
        out.outcomes.push_back(std::move(e));
    }
    return out;
}

} // namespace lotwort
