// The forecast as a function of what was done and what happened, and a difference split over its causes.
#pragma once

#include "grist.hpp"
#include <array>
#include <lotwort/brew/balance.hpp>
#include <lotwort/wort/late_extract.hpp>
#include <vector>

namespace lotwort::infer_detail {

enum Cause : int {
    weights,
    malt_lots,
    stand_ins,
    conversion,
    lautering,
    volume,
    losses,
    yeast,
    mash_rest,
    late_sugar,
    causes
};
inline constexpr const char* cause_words[causes + 1] = {"weights",           "malt lots",
                                                        "stand-in malt",     "conversion",
                                                        "lautering",         "boil-off and volume",
                                                        "losses and top-up", "yeast",
                                                        "mash rest",         "sugar in the fermenter",
                                                        "reading error"};
// Those before the yeast make the wort; of the final gravity they are one part.
[[nodiscard]] inline constexpr bool makes_wort(int cause) {
    return cause < yeast;
}
inline constexpr const char* wort_words = "original gravity";
enum Outcome : int { original_gravity, fermenter_volume, final_gravity_read, alcohol, outcomes };
inline constexpr const char* outcome_names[outcomes] = {"original_gravity_sg", "volume_l", "final_gravity_sg",
                                                        "alcohol_abv_pct"};

// What the forecast is a function of, one member or more a cause.
struct Inputs {
    MaltSum meant;                               // weights, with the extract that certificates give them
    MaltSum stand_in;                            // in the place of what lacked: a cause of its own
    double sugar_kg = 0.0, sugar_water_kg = 0.0; // into the kettle: weights too
    double malt_factor = 1.0;                    // true extract over certified
    double stand_in_factor = 1.0;
    double conversion = 0.0, lauter = 0.0;
    double strike_l = 0.0, sparge_l = 0.0, kettle_liquor_l = 0.0, boil_off_l = 0.0;
    double absorption_l_per_kg = 0.0, kettle_loss_l = 0.0, top_up_l = 0.0;
    double attenuation = 0.0; // of the wort, mashed as it was meant
    double rest = 0.0;        // what the mash rest moved it by
    wort::LateExtract late{};
};

struct Constants {
    double tun_loss_l = 0.0;
    double wash_stages = 2.0;
};

using Results = std::array<double, outcomes>;

// Gravity SG, litres in the fermenter, final gravity SG, alcohol by volume in per cent: the balance of brew/balance.hpp
// read forwards.
[[nodiscard]] Results forecast_of(const Inputs& in, const Constants& c);

// Of every outcome really less planned, by cause: Shapley values over forecast_of, which sum to that difference. Causes
// that are not asked about are the same in both, and have no part.
[[nodiscard]] std::array<std::vector<double>, outcomes> parts_of(const Inputs& planned, const Inputs& really,
                                                                 const Constants& c, const std::vector<Cause>& asked);

} // namespace lotwort::infer_detail
