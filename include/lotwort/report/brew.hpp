// The answers of `lotwort brew`.
#pragma once

#include <lotwort/brew/brew_day.hpp>
#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/report/booked.hpp>
#include <lotwort/stock/lot.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// By what went in and did not come back, at what its lots cost.
struct BrewCost {
    Money sum;
    std::vector<std::string> without_price; // lots
    std::string currency;
};
[[nodiscard]] std::string cost_text(const BrewCost& cost); // "12.34 EUR, without CM-1: no price is known"
void cost_fields(JsonWriter& w, const BrewCost& cost);     // cost, currency, without_price

// A brew with the items of its lots by lot code. `booked` is null where it is only shown.
struct ShownBrew {
    Brew brew;
    std::map<std::string, std::string> items;
    std::vector<Difference> differences; // from its plan
    std::vector<std::string> remarks;
    std::optional<BrewCost> cost; // where it is looked at
    const Booked* booked = nullptr;
};
[[nodiscard]] std::string brew_text(const ShownBrew& shown);
[[nodiscard]] std::string brew_json(const ShownBrew& shown); // lotwort/brew/1: "brew", "differences", "remarks"

// The brews, newest last.
[[nodiscard]] std::string brew_list_text(const std::vector<Brew>& brews);
[[nodiscard]] std::string brew_list_csv(const std::vector<Brew>& brews);
[[nodiscard]] std::string brew_list_json(const std::vector<Brew>& brews); // "brews"

// The sheet to work from: liquor, weights by lot in the order of work, hop times, points to read, cautions.
[[nodiscard]] std::string brew_sheet(const PlannedBrew& planned);

// What of a brew that was given up went back, a line each: "  460 g of MM-1 went back into stock on 2026-03-10".
[[nodiscard]] std::string unused_text(const Brew& brew);

// A reading as it was taken: "28 L at 95 °C, 1.0400 at 20 °C".
[[nodiscard]] std::string reading_text(const Reading& reading);
// When, of which mash and run, by which instruments, and whether it is set aside: "09:30, mash 2, by kettle marks".
[[nodiscard]] std::string reading_note(const Reading& reading);
// Its row: id, point, what was read, and what else is known of it (instrument, run, set aside).
[[nodiscard]] std::string readings_text(const std::vector<Reading>& readings);

} // namespace lotwort::report
