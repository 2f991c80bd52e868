// The brew as its readings and what was known before have it, and the forecast's inputs that belong to it.
#pragma once

#include "grist.hpp"
#include "inputs.hpp"
#include <Eigen/Core>
#include <lotwort/brew/balance.hpp>
#include <optional>

namespace lotwort::infer_detail {

// What a mash rest that was not the recipe's moved the attenuation by, as the brews before taught.
struct MashRest {
    double moved = 0.0, sd = 0.0;
};

struct Happened {
    Eigen::VectorXd theta;
    Eigen::MatrixXd covariance;
    BrewFacts facts;
    GlobalTest test;
    wort::LateExtract late;
    MashRest rest;
    Grist grist;
    ExtractSplit split;
    [[nodiscard]] BrewBalance<double> balanced() const;
};

// Error(refused) where no malt holds extract, the brew has several mashes or shares its fermenter, or nothing fits its
// readings. `in` has the book as learned (taught below).
[[nodiscard]] Happened happened(const ReconcileInput& in, const std::optional<Learned>& learned);

// The brewhouse's book with what past brews taught in it, so that the balance of this brew expects that.
[[nodiscard]] Brewhouse taught(Brewhouse house, const Learned& learned);

// At other unknowns than it found; stand_ins_kg of extract more were in the stand-ins, and less in the malts meant.
[[nodiscard]] Inputs inputs_at(const Eigen::VectorXd& theta, const Happened& h, double tun_loss_l, double attenuated,
                               double stand_ins_kg = 0.0);

} // namespace lotwort::infer_detail
