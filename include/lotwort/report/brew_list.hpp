// The brews, a line each: what they came to, and what they cost.
#pragma once

#include <lotwort/report/brew.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// By the readings alone (infer/beer_as_read.hpp).
struct ListedBrew {
    Brew brew;
    std::optional<double> original_sg, final_sg, abv_pct;
    std::optional<double> efficiency; // of the brewhouse, a fraction
    std::optional<double> litres;     // in the fermenter, 20 °C
    BrewCost cost;
    // Goods and freight; none where a lot has no price, or nothing was weighed in.
    [[nodiscard]] std::optional<Money> whole_cost() const;
    [[nodiscard]] std::optional<Money> cost_per_hl() const; // of what was in the fermenter, at 20 °C
};

// Newest last: the last twenty, unless all are asked for. A cost that is not whole is left out; --csv says what lacks.
[[nodiscard]] std::string brew_list_text(const std::vector<ListedBrew>& brews, bool whole);
[[nodiscard]] std::string brew_list_csv(const std::vector<ListedBrew>& brews);
[[nodiscard]] std::string brew_list_json(const std::vector<ListedBrew>& brews); // "brews", and "figures" of each

} // namespace lotwort::report
