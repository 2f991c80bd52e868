// A brewery over many brews, with truths to hold what is learned against: lots that scatter about their certificates,
// malts of which all lots do, a brewhouse whose conversion and lautering wander, readings that err and are left out.
#pragma once

#include <array>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/infer/learn.hpp>
#include <map>
#include <random>
#include <string>
#include <vector>

namespace lotwort::test {

// How lots come into use.
enum class LotUse {
    in_turn,       // two lots of each base malt open at a time
    whole_in_turn, // the same, each brew on one lot alone
    one_by_one,    // a lot is used up before the next is opened
    two_halves     // one lot of the first malt for half of the brews, another for the rest, in two recipes
};

struct HouseWish {
    unsigned seed = 1;
    int kind = 1; // into kinds(): no sparge, one batch, two batches, continuous
    int brews = 60;
    LotUse use = LotUse::in_turn;
    double missing = 0.25;      // of each reading but liquor
    double lot_scatter = 0.011; // true, relative
    double item_scatter = 0.005;
    double conversion_scatter = 0.0177, lauter_scatter = 0.0141;
    double conversion_walk = 0.003, lauter_walk = 0.002;
    int brews_per_lot = 5;
    int step_at = -1;  // the brew with which the conversion's level moves
    double step = 0.0; // ln
    int odd_lot = -1;  // this lot of the first malt lies `odd` off
    double odd = 0.0;
    double volume = 23.0;
    bool typical = false; // nothing stated but the volume and how it sparges, and no instrument named
    // Of the variance of an instrument's bias, what lasts over all brews; the rest is drawn anew in each.
    double lasting = 0.7;
    std::map<std::string, double> offsets =
        {}; // lasting errors instead of drawn ones; of marks a share of what is read
    double thermometer_c = 0.0, thermometer_scatter_c = 0.0; // reads high by
    double absorption_factor = 1.0;                          // the grain's, of what is stated
};

// Of which every reading is taken.
inline HouseWish read_whole(unsigned seed, int brews) {
    HouseWish wish;
    wish.seed = seed;
    wish.brews = brews;
    wish.missing = 0.0;
    return wish;
}

struct HouseTruth {
    std::map<std::string, double> lots, items;          // relative differences
    std::vector<double> conversion_level, lauter_level; // ln, by brew
    std::vector<double> original_gravity, volume;       // of each brew, as the balance had it
    std::array<double, 3> constants{};                  // boil-off, absorption, kettle loss
    std::map<std::string, double> offsets;              // lasting, in the instrument's unit, at its usual reading
    std::vector<double> brewhouse_level;                // conversion x lautering levels x what washing gives x transfer
    std::string odd_lot;
};

class SimulatedHouse {
public:
    explicit SimulatedHouse(const HouseWish& wish);
    LearnRequest request; // the brews so far, all lots
    HouseTruth truth;
    Recipe recipe;

    // Brews one more on these lots (shares of the mass), by the forecast's liquor for 23 L; added to request and truth.
    void brew(const std::vector<std::pair<std::string, double>>& malts, double grist_kg);
    // What the wish's recipes would take next: lots with shares.
    [[nodiscard]] std::vector<std::pair<std::string, double>> next_malts();
    [[nodiscard]] double next_grist_kg() { return std::round(normal(4.7, 0.5) * wish_.volume / 23.0 * 100.0) / 100.0; }
    [[nodiscard]] std::vector<PlannedMalt> planned(const std::vector<std::pair<std::string, double>>& malts,
                                                   double grist_kg) const;
    double normal(double mean, double sd) { return std::normal_distribution<double>(mean, sd)(chance_); }

private:
    const std::string& open_lot(std::size_t item);
    [[nodiscard]] double lasting_error(const std::string& instrument, double value) const;
    void read(Brew& brew, ReadingPoint point, std::optional<double> litres, std::optional<double> fraction,
              double at_c);

    HouseWish wish_;
    std::mt19937 chance_;
    Brewhouse brewhouse_;
    std::vector<Instrument> instruments_;
    std::vector<Item> items_;
    std::map<std::string, UsedLot> lots_;
    std::vector<std::vector<std::pair<std::string, int>>> open_; // by item: open lots and brews left in them
    std::vector<int> opened_;
    double conversion_ = 0.0, lauter_ = 0.0, boil_off_ = 0.0, absorption_ = 0.0, loss_ = 0.0;
    std::map<std::string, double> bias_, drawn_; // of this brew; lasting, in units of what is stated
};

} // namespace lotwort::test
