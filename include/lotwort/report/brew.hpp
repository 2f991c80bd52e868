// The answers of `lotwort brew`.
#pragma once

#include <lotwort/brew/brew_day.hpp>
#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/brew/sheet_guide.hpp>
#include <lotwort/infer/fermentation.hpp>
#include <lotwort/report/booked.hpp>
#include <lotwort/stock/lot.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// What a lot's part in a brew cost.
struct CostLine {
    std::string lot, item;
    std::optional<std::string> package; // the run that it primed; none: into the brew itself
    Amount amount;
    std::optional<Money> cost; // none: no price is known
    Money freight;             // of the order it came of, beside the cost
    int shared_by = 0;         // yeast: the brews that bear its cost in equal parts
};

// By what went in and did not come back, at what its lots cost. The lines make the sums.
struct BrewCost {
    Money sum;
    std::vector<std::string> without_price; // lots
    std::string currency;
    std::vector<CostLine> lines;
    Money freight;
    // Of all brews in its fermenter, freight in it; by litre where a volume was read, and where some is packaged.
    Money fermenter;
    int fermenter_brews = 0;
    bool fermenter_is_priced = true;
    std::optional<double> fermenter_l, packaged_l;
    [[nodiscard]] std::optional<Money> per_litre_in_fermenter() const; // to the nearest hundredth
    [[nodiscard]] std::optional<Money> per_litre_packaged() const;
};
// "12.34 EUR, 0.60 of freight beside it; 0.56 a litre of 23 L in the fermenter, 0.65 of 20 L packaged; without CM-1: no
// price is known"
[[nodiscard]] std::string cost_text(const BrewCost& cost);
// cost, freight, currency, without_price, per_litre_in_fermenter, per_litre_packaged; with the lines where they are
// asked.
void cost_fields(JsonWriter& w, const BrewCost& cost);
void cost_lines(JsonWriter& w, const BrewCost& cost);

// A brew with the items of its lots by lot code. `booked` is null where it is only shown.
struct ShownBrew {
    Brew brew;
    std::map<std::string, std::string> items;
    std::vector<Difference> differences; // from its plan
    std::vector<std::string> remarks;
    std::optional<BrewCost> cost;               // where it is looked at
    std::optional<Fermentation> fermentation{}; // the same
    const Booked* booked = nullptr;
};
[[nodiscard]] std::string brew_text(const ShownBrew& shown);
[[nodiscard]] std::string brew_json(const ShownBrew& shown); // lotwort/brew/1: "brew", "differences", "remarks"

// The sheet to work from: liquor, weights by lot in the order of work, hop times, points to read with the stick's
// depths, cautions.
[[nodiscard]] std::string brew_sheet(const PlannedBrew& planned, const SheetGuide& guide);

// Pieces that the printed sheet shares. ", 32.1 cm at 75 °C" where the point's vessel has a dip table that reaches so
// far.
[[nodiscard]] std::string on_the_stick(const SheetGuide& guide, ReadingPoint point);
// What their lines below follow.
[[nodiscard]] std::string expected_in_kettle(const SheetGuide& guide);
[[nodiscard]] std::string packaged_then(const SheetGuide& guide);
// What to do where the full kettle shows another gravity, a line each.
[[nodiscard]] std::vector<std::string> mend_lines(const SheetGuide& guide);
// "1.0356: boil off 1.9 L more, 37 min longer"
[[nodiscard]] std::vector<std::string> mends_in_words(const std::vector<KettleMend>& mends);
// When each dry hop goes in, a line each; empty where the recipe says no days.
[[nodiscard]] std::vector<std::string> dry_hop_lines(const SheetGuide& guide);

// What of a brew that was given up went back, a line each: "  460 g of MM-1 went back into stock on 2026-03-10".
[[nodiscard]] std::string unused_text(const Brew& brew);

// A reading as it was taken: "28 L at 95 °C, 1.0400 at 20 °C".
[[nodiscard]] std::string reading_text(const Reading& reading);
// When, of which mash and run, by which instruments, and whether it is set aside: "09:30, mash 2, by kettle marks".
[[nodiscard]] std::string reading_note(const Reading& reading);
// Its row: id, point, what was read, and what else is known of it (instrument, run, set aside).
[[nodiscard]] std::string readings_text(const std::vector<Reading>& readings);

} // namespace lotwort::report
