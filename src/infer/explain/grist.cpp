#include "grist.hpp"
#include <cmath>

namespace lotwort::infer_detail {

namespace {

constexpr double weighing_share = 0.005; // of a malt's mass, one sd

bool in_mash(const UsedLot& used) {
    return used.item.kind == ItemKind::malt || used.item.kind == ItemKind::sugar;
}

double certified(const PlannedMalt& malt) {
    return malt.mass.value() * malt.figures.extract_as_is.value;
}

// Of the true extracts of two malts of a grist, kg^2. What one lot errs by it errs by in each of its lines.
double covariance(const Grist& grist, std::size_t a, std::size_t b, const std::optional<Learned>& learned) {
    const PlannedMalt &one = grist.malts[a], &other = grist.malts[b];
    const auto i = learned ? learned->malt(one.item) : std::nullopt;
    const auto j = learned ? learned->malt(other.item) : std::nullopt;
    double sum = i && j ? certified(one) * certified(other) * learned->cov(*i, *j) : 0.0;
    if (one.item != other.item) return sum;
    sum += weighing_share * certified(one) * weighing_share * certified(other);
    if (!i)
        sum +=
            (one.mass * one.figures.extract_as_is.sd).value() * (other.mass * other.figures.extract_as_is.sd).value();
    return sum;
}

} // namespace

void MaltSum::add(const PlannedMalt& malt) {
    mass_kg += malt.mass.value();
    moisture_kg += malt.mass.value() * malt.figures.moisture_pct.value / 100.0;
    certified_kg += certified(malt);
}

void Grist::add(const UsedLot& used, Kilograms mass, Date day, bool is_stand_in) {
    malts.push_back({used.lot.code, mass, malt_figures(used.item, used.lot, day)});
    stands_in.push_back(is_stand_in ? 1 : 0);
    (is_stand_in ? stand_in : meant).add(malts.back());
}

Grist weighed_grist(const ReconcileInput& in) {
    Grist g;
    for (const auto& a : in.brew.additions)
        if (a.stage == Stage::mash && a.amount.measure == Measure::mass && in_mash(in.lots.at(a.lot)))
            g.add(in.lots.at(a.lot), a.amount.kilograms(), in.brew.date, a.instead_of.has_value());
    return g;
}

std::optional<Grist> planned_grist(const ExplainRequest& request) {
    if (!request.plan || !request.brew.recipe || request.plan->recipe != request.brew.recipe->name) return std::nullopt;
    Grist g;
    for (const auto& r : request.plan->reserved) {
        if (r.line >= static_cast<int>(request.brew.recipe->grist.size())) continue;
        const auto promised = request.brew.lots.find(r.lot);
        if (promised == request.brew.lots.end()) return std::nullopt;
        g.add(promised->second, r.amount.kilograms(), request.plan->date, r.instead_of.has_value());
    }
    if (g.certified_kg() <= 0.0) return std::nullopt;
    return g;
}

ExtractSplit extract_split(const Grist& g, const std::optional<Learned>& learned) {
    ExtractSplit split;
    double all = 0.0, stand_ins = 0.0, with_all = 0.0;
    double ln_meant = 0.0, ln_stand_in = 0.0; // times the certified extract
    for (std::size_t a = 0; a < g.malts.size(); ++a) {
        const auto i = learned ? learned->malt(g.malts[a].item) : std::nullopt;
        if (i) (g.stands_in[a] ? ln_stand_in : ln_meant) += certified(g.malts[a]) * learned->mean[*i];
        for (std::size_t b = 0; b < g.malts.size(); ++b) {
            const double both = covariance(g, a, b, learned);
            all += both;
            if (g.stands_in[a]) with_all += both;
            if (g.stands_in[a] && g.stands_in[b]) stand_ins += both;
        }
    }
    const auto by = [](double ln, double certified_kg) {
        return certified_kg > 0.0 ? std::exp(ln / certified_kg) : 1.0;
    };
    split.meant_factor = by(ln_meant, g.meant.certified_kg);
    split.meant_kg = g.meant.certified_kg * split.meant_factor;
    split.all_kg = g.certified_kg() * by(ln_meant + ln_stand_in, g.certified_kg());
    split.all_sd_kg = std::sqrt(std::max(0.0, all));
    if (all <= 0.0) return split;
    split.share = with_all / all;
    split.sd_kg = std::sqrt(std::max(0.0, stand_ins - with_all * with_all / all));
    return split;
}

} // namespace lotwort::infer_detail
