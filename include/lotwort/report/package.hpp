// The answers of `lotwort package`.
#pragma once

#include <lotwort/brew/packaged_beer.hpp>
#include <lotwort/report/booked.hpp>
#include <lotwort/stock/lot.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// What a run was primed with.
struct Primed {
    std::string lot, item;
    Amount amount;
    double fermentable_g = 0.0; // extract that yeast takes
};

struct ShownPackage {
    Package package;
    std::string recipe; // of its brew; empty where none is stated
    std::vector<Primed> primed;
    PackagedBeer beer;
};

// What a fermenter held, what went into packages, what was lost and what is left of it, at 20 °C.
struct BeerLeft {
    std::vector<std::string> brews;
    std::optional<Litres> held; // none: no volume was read in it
    Litres packaged{0.0}, lost{0.0};
    [[nodiscard]] std::optional<Litres> left() const;
    // Something was packaged, and no more is left than trub; anything, where no volume was read.
    [[nodiscard]] bool is_emptied() const;
};

struct PackageAnswer {
    std::string asked; // a brew or a run; empty: all
    bool is_run = false;
    std::vector<ShownPackage> runs;
    std::optional<BeerLeft> tank;
    std::vector<std::string> remarks;
    std::optional<Booked> booked;
};

[[nodiscard]] std::string package_text(const PackageAnswer& answer);
[[nodiscard]] std::string package_csv(const PackageAnswer& answer);  // a line a run
[[nodiscard]] std::string package_json(const PackageAnswer& answer); // lotwort/package/1

// "40 bottles of 500 ml (20 L)".
[[nodiscard]] std::string filled_text(const Package& package);
// To the centilitre: "23.21 L".
[[nodiscard]] std::string litres_text(double litres);
// "the red lion 24, home 8"; what came back is taken off, and who gave all back is left out.
[[nodiscard]] std::string sent_text(const Package& package);

} // namespace lotwort::report
