// A plan to be drawn up, and the plan: values alone.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/stock/reserve.hpp>
#include <map>
#include <string>
#include <vector>

namespace lotwort {

struct PlanRequest {
    std::string code;
    Date date;
    Recipe recipe;
    Brewhouse brewhouse;
    Litres volume; // in the fermenter
    std::vector<Item> items;
    std::vector<LotState> lots;
    std::optional<Learned> learned{}; // what past brews taught; the forecast takes it
    // Choose masses and liquor so that the learned forecast, not the book's, meets the recipe's gravity and the volume.
    bool aim = false;
    double within_sg = 0.002; // of the target gravity, that counts as on it
    std::vector<Pin> pins{};  // lots to be taken before others
    bool near_enough = false; // a line that finds nearly what it asks for (is_near_enough) asks for no more
    // It pitches another brew's yeast: the lots that were harvested of it, counted by their cells whatever the recipe
    // says. As long as there is none, nothing of the recipe's yeast is asked for.
    std::optional<std::vector<std::string>> crop_lots{};
};

// One line of the recipe, counted from 0 through grist, hops and others.
struct PlannedLine {
    int line = 0;
    std::string item;
    ItemKind kind = ItemKind::malt;
    Stage stage = Stage::mash;
    std::optional<Minutes> minutes;
    std::optional<Celsius> temperature; // of a stand
    std::optional<int> days;            // of a dry addition
    Amount needed;
    Allotment allotment;
    [[nodiscard]] bool is_short() const { return allotment.missing.units > 0; }
};

// Two in a hundred less than is asked for is enough, and so is a weigh step (10 g of malt and sugar, 1 g of hops):
// newer certificates and the balance move it as much.
[[nodiscard]] bool is_near_enough(const PlannedLine& line, Amount missing);

// A lot of hops taken at its certificate's alpha acids, which states no day to age them from.
struct UndatedAlpha {
    std::string lot;
    Percent stated;
};

struct PlannedBrew {
    Plan plan; // code, date, recipe, brewhouse, volume, and what is reserved
    std::vector<PlannedLine> lines;
    std::map<std::string, std::string> stand_ins; // the item of each reserved lot that is not of its line's own
    Forecast forecast;
    std::optional<Celsius> mash_rest;
    std::optional<Celsius> strike_temperature; // where the recipe states a mash rest
    std::optional<Minutes> boil;
    std::optional<double> on_target; // probability that the gravity lands within within_sg of the recipe's
    double within_sg = 0.0;
    std::optional<SpecificGravity> target; // the recipe's
    std::vector<std::string> remarks;      // what was assumed, or is worth a look, in sentences
    std::vector<UndatedAlpha> undated_alpha;
    std::size_t assumed_figures = 0; // of the brewhouse: typical, for nobody stated them
    [[nodiscard]] bool is_short() const;
};

} // namespace lotwort
