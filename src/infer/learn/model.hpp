// The sentences of infer/learn.hpp's model, and where each unknown stands.
#pragma once

#include "reconcile/brew_evidence.hpp"
#include <lotwort/infer/learning.hpp>
#include <lotwort/stats/gaussian_model.hpp>
#include <lotwort/stats/scale_grid.hpp>
#include <lotwort/stock/mixture.hpp>
#include <map>
#include <string>
#include <vector>

namespace lotwort::infer_detail {

// Scales, in this order. Each multiplies a scatter that the ledger states, or that is typical:
// - of brews about the house's levels;
// - of these levels from brew to brew;
// - of lots about their malts;
// - of one brew's boil-off, absorption and kettle loss about the house's.
enum ScaleName : int { brew_scatter, level_walk, lot_scatter, kit_scatter };
inline constexpr int scale_names = 4;

// Priors: sd of one step of the walk, in ln, per brew; and widths of the logarithms of the scales: a factor of three
// either way for one sd, so that eight steady brews overrule it. Judgement: docs/methods/learn.md.
inline constexpr double conversion_walk_sd = 0.0012, lauter_walk_sd = 0.0008;
inline constexpr double scale_widths[scale_names] = {1.1, 0.8, 0.8, 1.1};
// An instrument's lasting error, or a figure of the house, is now and then far from what is stated.
inline constexpr double beyond_share = 0.25, beyond_widening = 3.0;
// One lot in seven is odd: its scatter is this many times the others'.
inline constexpr double odd_share = 0.15, odd_widening = 3.0;
// Of a lot's whole scatter against its certificate, what all lots of the item share where the item states nothing.
inline constexpr double item_part = shared_scatter, uncertified_item_part = 0.85;
// Covariates of ln conversion: no effect, give or take this per degree of the rest, per unit of pH and per millimetre
// of the mill's gap.
inline constexpr double rest_slope_sd = 0.01, ph_slope_sd = 0.10, gap_slope_sd = 0.06;
inline constexpr double rest_reference_c = 66.0, ph_reference = 5.4;

// One house's stated figures as priors, in the order of HouseFigure and its units.
struct HousePrior {
    std::array<double, house_figures> mean{}, level_sd{}, scatter_sd{};
    // A told efficiency ties the levels together. Said one after another in `said_in` order, each is its mean, and so
    // much of how far every one before it is off its own, give or take apart_sd. Without one, each stands alone.
    std::array<std::array<double, house_figures>, house_figures> follows{};
    std::array<double, house_figures> apart_sd{};
    static constexpr std::array<HouseFigure, house_figures> said_in{HouseFigure::boil_off, HouseFigure::absorption,
                                                                    HouseFigure::kettle_loss, HouseFigure::lauter,
                                                                    HouseFigure::conversion};
    // The constant of a figure's sentence whose terms are the figure itself and, for each before it, less follows.
    [[nodiscard]] double constant(std::size_t figure) const;
};
[[nodiscard]] HousePrior house_prior(const Brewhouse& brewhouse);

struct LotPrior {
    std::string item;
    double item_sd = 0.0, lot_sd = 0.0; // relative
};
[[nodiscard]] LotPrior lot_prior(const Item& item, const Lot& lot, Date day);
// Of a lot that has no certificate yet: as the item is known.
[[nodiscard]] LotPrior lot_prior(const Item& item);

// One brew's rows with the scatter of boil-off, absorption and kettle loss, so many times what is stated, worked in:
// each +- 1.
[[nodiscard]] std::vector<BrewEvidence::Row> with_house_scatter(const BrewEvidence& evidence, const HousePrior& house,
                                                                double times);

struct House {
    std::string name;
    HousePrior prior;
    std::array<int, 3> constants{};   // unknowns: boil-off, absorption, kettle loss
    std::array<int, 3> doubts{};      // of their priors
    int conversion = -1, lauter = -1; // the last level's unknowns
    std::optional<double> gap_mm;     // the mill's newest: levels are as at it
    int brews = 0;
};

struct LearnModel {
    stats::GaussianModel model;
    std::vector<House> houses;
    struct BrewAt {
        const BrewEvidence* evidence;
        int house, place;                   // the how manieth of its house, from 0
        int conversion, lauter;             // levels
        std::array<int, house_figures> own; // of the brew, in the order of HouseFigure
        int steps[2] = {-1, -1}; // sentences of the walk that lead here: conversion, lautering; none: the first
    };
    std::vector<BrewAt> brews; // in brew order, those that teach
    struct LotAt {
        std::string lot;
        LotPrior prior;
        int unknown, item; // item: index into items
        int uses = 0;
        int doubt = -1;      // none where no lot is odd
        int first_brew = -1; // into brews
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
    struct InstrumentAt {
        BrewInstrument instrument; // as last read with
        int unknown, doubt = -1;   // its lasting error, in stated sd
        int brews = 0;
    };
    std::vector<InstrumentAt> instruments; // in order of first use
    std::map<std::string, int> instrument_index;
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
