// What the beer in a run of packages is: its strength and its carbon dioxide, with what it was primed with.
#pragma once

#include <lotwort/brew/package.hpp>
#include <optional>

namespace lotwort {

// Where packages are kept cold, and where one may come to stand; °C.
inline constexpr double kept_cold_c = 4.0, left_warm_c = 25.0;
// How warm beer is taken to have been where nobody said.
inline constexpr Celsius usual_warmest{20.0};

struct PackagedBeer {
    double priming_g_per_l = 0.0;              // fermentable extract
    std::optional<double> abv_pct;             // with what priming adds
    double priming_abv_pct = 0.0;              // of it
    std::optional<double> carbon_dioxide_left; // g/L that stayed of the fermentation; where it was primed
    std::optional<double> carbon_dioxide;      // g/L in all: by priming, else as it is meant
    std::optional<double> cold_bar, warm_bar;  // above the air's pressure that hold it at those temperatures
};

// beer_abv_pct: as it was filled. fermentable_g: of all that the run was primed with; 0 where it was not.
[[nodiscard]] PackagedBeer packaged_beer(const Package& package, std::optional<double> beer_abv_pct,
                                         double fermentable_g);

// g of fermentable extract that carbonate the run as it is meant; 0 where its own gas is enough, or nothing is meant.
[[nodiscard]] double priming_wanted_g(const Package& package);

} // namespace lotwort
