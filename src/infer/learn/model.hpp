// The sentences of infer/learn.hpp's model, and where each unknown stands.
#pragma once

#include "reconcile/brew_evidence.hpp"
#include <lotwort/infer/learning.hpp>
#include <lotwort/stats/gaussian_model.hpp>
#include <lotwort/stats/scale_grid.hpp>
#include <map>
#include <string>
#include <vector>

namespace lotwort::infer_detail {

// Scales, in this order; each multiplies what the ledger (or typical practice) states.
enum ScaleName : int { conversion_scatter, lauter_scatter, conversion_walk, lauter_walk, lot_scatter, item_scatter };
inline constexpr int scale_names = 6;

// Priors: sd of one step of the walk, in ln, per brew; and widths of the logarithms of the scales. Judgement:
// docs/methods/learn.md.
inline constexpr double conversion_walk_sd = 0.003, lauter_walk_sd = 0.002;
inline constexpr double scale_widths[scale_names] = {0.35, 0.35, 0.7, 0.7, 0.3, 0.25};
// One lot in seven is odd: its scatter is this many times the others'.
inline constexpr double odd_share = 0.15, odd_widening = 3.0;
// Of a lot's whole scatter against its certificate, what all lots of the item share where the item states nothing.
inline constexpr double item_part = 0.4, uncertified_item_part = 0.85;
// Covariates of ln conversion: no effect, give or take this per degree of the rest, per unit of pH and per millimetre
// of the mill's gap.
inline constexpr double rest_slope_sd = 0.01, ph_slope_sd = 0.10, gap_slope_sd = 0.06;
inline constexpr double rest_reference_c = 66.0, ph_reference = 5.4;

// One house's stated figures as priors, in the order of HouseFigure and its units.
struct HousePrior {
    std::array<double, house_figures> mean{}, level_sd{}, scatter_sd{};
};
[[nodiscard]] HousePrior house_prior(const Brewhouse& brewhouse);

struct LotPrior {
    std::string item;
    double item_sd = 0.0, lot_sd = 0.0; // relative
};
[[nodiscard]] LotPrior lot_prior(const Item& item, const Lot& lot, Date day);
// Of a lot that has no certificate yet: as the item is known.
[[nodiscard]] LotPrior lot_prior(const Item& item);

// One brew's rows with the scatter of boil-off, absorption and kettle loss worked in: each +- 1.
[[nodiscard]] std::vector<BrewEvidence::Row> with_house_scatter(const BrewEvidence& evidence, const HousePrior& house);

struct House {
    std::string name;
    HousePrior prior;
    std::array<int, 3> constants{};   // unknowns: boil-off, absorption, kettle loss
    int conversion = -1, lauter = -1; // the last level's unknowns
    std::optional<double> gap_mm;     // the mill's newest: levels are as at it
    int brews = 0;
};

struct LearnModel {
    stats::GaussianModel model;
    std::vector<House> houses;
    struct BrewAt {
        const BrewEvidence* evidence;
        int house;
        int conversion, lauter;         // levels
        int own_conversion, own_lauter; // of the brew
    };
    std::vector<BrewAt> brews; // in brew order, those that teach
    struct LotAt {
        std::string lot;
        LotPrior prior;
        int unknown, item; // item: index into items
        int uses = 0;
    };
    std::vector<LotAt> lots;
    std::map<std::string, int> lot_index;
    struct ItemAt {
        std::string item;
        double sd;
        int unknown;
        int lots = 0;
    };
    std::vector<ItemAt> items;
    std::map<std::string, int> item_index;
    int rest_slope = -1, ph_slope = -1, gap_slope = -1; // unknowns where any brew shows them

    [[nodiscard]] int house_named(const std::string& name) const;
    [[nodiscard]] static std::vector<stats::ScalePrior> priors();
};

// none: every lot ordinary, so that the model is Gaussian and its answer exact.
enum class OddLots { allowed, none };

// `evidence` must outlive the model; only what has no fault is used.
[[nodiscard]] LearnModel learn_model(const std::vector<BrewEvidence>& evidence,
                                     const std::map<std::string, UsedLot>& lots, const std::vector<Brewhouse>& houses,
                                     Date latest, OddLots odd = OddLots::allowed);

} // namespace lotwort::infer_detail
