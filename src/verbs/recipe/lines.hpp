// The lines of a recipe as options: --malt "pale ale malt=92%", --hop "hop one=15g@boil,60".
#pragma once

#include "shared.hpp"
#include <lotwort/brew/recipe.hpp>

namespace lotwort::verbs {

inline constexpr std::array<Option, 12> line_options{{
    {"gravity", "GRAVITY", "original gravity to reach: 1.050 or 12P"},
    {"malt", "MALT=SHARE", "a malt with its share of the grist, 92%, or its mass, 4.5kg", true},
    {"hop", "HOP=AMOUNT", "a hop, and when: 15g@boil,60, 30IBU@boil,60, 40g@stand,20,80C, 50g@dry,4", true},
    {"yeast", "YEAST", "what ferments it; with =11g or =2pieces how much, else by its cells", true},
    {"pitch", "RATE", "million yeast cells per mL and °P, where the yeast states no amount: 0.75"},
    {"other", "ITEM=AMOUNT", "anything else, and when: 500g@kettle, 5g@boil,15", true},
    {"boil", "TIME", "of the boil: 60min"},
    {"mash-rest", "TEMPERATURE", "of the mash: 66C"},
    {"attenuation", "PERCENT", "apparent, expected of the yeast: 76%"},
    {"tank-days", "DAYS", "from the brew until its tank is free again: 21days; 14 unless given"},
    {"harvest-days", "DAYS", "from the brew until its yeast can be cropped: 10days; 7 unless given"},
    {"efficiency", "PERCENT@WHERE", "the masses are for a brewhouse of: 72%@fermenter or 75%@kettle"},
}};

// What the options say of a recipe, laid over it. Of items the ledger knows, the name is theirs.
struct LaidOver {
    std::vector<std::string> said;   // each thing that was altered, for the entry
    std::vector<std::string> yeasts; // items that are yeast, whatever their names say
};
// For a new recipe: each option is a line of its own. Error(refused) for shares that are no grist.
LaidOver lay_lines(Call& call, const Book& book, Recipe& recipe);
// For one that is there: a line of the same item is altered, any other is added, and --drop takes lines out. Shares
// that nothing was said of give way in proportion.
LaidOver change_lines(Call& call, const Book& book, Recipe& recipe);

// Error(refused) for what breaks a rule of recipes (brew/rules.hpp).
void demand_rules(const Recipe& recipe);

} // namespace lotwort::verbs
