// A store as a brewer knows it: the common kinds with figures of common practice, and brews and stock in a few words.
#pragma once

#include "plan/brewery.hpp"
#include <lotwort/plan/substitute.hpp>
#include <tuple>

namespace lotwort::test {

[[nodiscard]] inline std::vector<Item> brewers_items() {
    std::vector<Item> items{malt("pilsner malt", "base", 81.0, 4.5, 3.5, 270),
                            malt("pilsner malt 2", "base", 81.0, 4.5, 3.5, 260),
                            malt("lager malt", "base", 81.0, 4.5, 4.0, 250),
                            malt("pale malt", "base", 81.0, 4.2, 5.0, 220),
                            malt("pale ale malt", "base", 81.0, 3.8, 6.5, 180),
                            malt("mild malt", "high-kilned", 80.0, 3.8, 9.0, 170),
                            malt("vienna malt", "high-kilned", 80.0, 4.2, 8.0, 200),
                            malt("munich malt", "high-kilned", 80.0, 4.2, 16.0, 120),
                            malt("dark munich malt", "high-kilned", 79.0, 4.2, 25.0, 80),
                            malt("wheat malt", "wheat", 84.0, 4.9, 4.0, 260),
                            malt("pale wheat malt", "wheat", 84.0, 4.9, 4.5, 250),
                            malt("dark wheat malt", "wheat", 83.0, 5.0, 16.0, 150),
                            malt("rye malt", "rye", 82.0, 5.0, 7.0, 180),
                            malt("dark rye malt", "rye", 81.0, 5.0, 11.0, 150),
                            malt("oat malt", "oats", 72.0, 5.0, 4.5, 60),
                            malt("caramel malt 30", "caramel", 76.0, 6.0, 30.0, 0),
                            malt("caramel malt 40", "caramel", 76.0, 6.0, 40.0, 0),
                            malt("caramel malt 120", "caramel", 75.0, 5.0, 120.0, 0),
                            malt("caramel malt 150", "caramel", 75.0, 5.0, 150.0, 0),
                            malt("caramel malt 250", "caramel", 74.0, 5.0, 250.0, 0),
                            malt("caramel malt 300", "caramel", 74.0, 5.0, 300.0, 0),
                            malt("dextrin malt", "base", 77.0, 5.5, 3.0, 10),
                            malt("brown malt", "roasted", 72.0, 3.0, 140.0, 0),
                            malt("pale chocolate malt", "roasted", 70.0, 3.0, 550.0, 0),
                            malt("chocolate malt", "roasted", 70.0, 3.0, 900.0, 0),
                            malt("black malt", "roasted", 68.0, 3.0, 1300.0, 0),
                            malt("roasted barley", "roasted", 68.0, 3.0, 1250.0, 0),
                            malt("smoked malt", "smoked", 80.0, 4.5, 6.0, 220),
                            malt("peated malt", "smoked", 80.0, 4.5, 6.0, 220),
                            malt("acid malt", "acid", 79.0, 5.5, 6.0, 100),
                            hop("bitter hop", 12.0, "resin"),
                            hop("bold hop", 10.0, "resin"),
                            hop("resin hop", 14.0, "resin"),
                            hop("floral hop", 4.0, "floral"),
                            hop("meadow hop", 5.0, "floral"),
                            hop("citrus hop", 12.0, "citrus"),
                            hop("grapefruit hop", 13.0, "citrus"),
                            hop("Cascade", 6.2, "American citrus"),
                            hop("Centennial", 10.0, "American citrus"),
                            hop("Comet", 10.0, "American citrus"),
                            hop("Fuggle", 5.1, "English"),
                            hop("Goldings", 5.2, "English"),
                            hop("East Kent Goldings", 5.5, "English"),
                            hop("Progress", 6.0, "English"),
                            hop("Willamette", 5.0, "English"),
                            hop("Hallertauer", 4.4, "noble"),
                            hop("Spalter", 4.2, "noble"),
                            hop("Hersbrucker", 4.0, "noble")};
    for (const auto& [name, extract, moisture] :
         {std::tuple{"dextrose", 100.0, 9.0}, std::tuple{"cane sugar", 100.0, 0.0},
          std::tuple{"lactose", 100.0, 1.0}}) {
        Item sugar = malt(name, "", extract, moisture, 0.0, 0.0);
        sugar.kind = ItemKind::sugar;
        sugar.malt_class.reset();
        items.push_back(sugar);
    }
    return items;
}

// "pale ale malt=4500,caramel malt 120=250|bitter hop=30@60,citrus hop=60@dry": grams; minutes of boil, dry or stand.
[[nodiscard]] plan::BrewToFill brew_in_words(const std::string& words, const char* code, const char* date);

// Lots of what the brews ask for, less what lacks ("pale ale malt=920"), and of what lies beside it: "pale malt" is
// plenty, "pale malt=450" is 450 g. Codes are the items' names with dashes.
[[nodiscard]] plan::SubstituteRequest short_brew(const std::string& brew, const std::string& lacks,
                                                 const std::string& beside);

[[nodiscard]] std::string lot_named(std::string item);

// "name=920": the name, and the grams; NaN where none are said.
struct Named {
    std::string name;
    double grams = 0.0;
    std::string tail; // after the @
};
[[nodiscard]] std::vector<Named> named_amounts(const std::string& words, char between = ',');

} // namespace lotwort::test
