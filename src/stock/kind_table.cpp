#include "kind_table.hpp"
#include <array>

namespace lotwort {

namespace {

struct Spread {
    double value;
    double sd; // of items of the kind
};

constexpr std::string_view common_practice = "common practice";

constexpr KindOfItem malt(std::string_view name, std::string_view malt_class, std::string_view family, Spread extract,
                          Spread moisture, Spread colour, Spread enzymes, double most, std::string_view source,
                          std::string_view also = {}) {
    const Typical typical{extract.value, extract.sd,    moisture.value, moisture.sd, colour.value,
                          colour.sd,     enzymes.value, enzymes.sd,     0.0,         0.0};
    return {name, ItemKind::malt, malt_class, family, typical, most, source, also};
}

constexpr KindOfItem sugar(std::string_view name, std::string_view family, Spread extract, Spread moisture,
                           Spread colour, double most, std::string_view also = {}) {
    const Typical typical{extract.value, extract.sd, moisture.value, moisture.sd, colour.value, colour.sd, 0.0, 0.0,
                          0.0,           0.0};
    return {name, ItemKind::sugar, {}, family, typical, most, common_practice, also};
}

constexpr KindOfItem hop(std::string_view name, std::string_view use, std::string_view aroma, Spread alpha,
                         std::string_view source, std::string_view also = {}, std::string_view like = {}) {
    const Typical typical{0.0, 0.0, 10.0, 2.0, 0.0, 0.0, 0.0, 0.0, alpha.value, alpha.sd};
    return {name, ItemKind::hop, {}, use, typical, 0.0, source, also, aroma, like};
}

// A row a kind; each pair is a value and the scatter of items of the kind. To mend a figure, mend its row and, where it
// rests on a source, say which of its figures do.
// malt: name, class, family, extract % fine dry, moisture %, colour EBC, diastatic power WK, usual greatest share of a
// grist %, source, other names. sugar: name, family, extract % of dry matter, moisture %, colour EBC, share, other
// names. hop: name, use, aroma, alpha acids %, source, other names, whom it is taken for first; only land hops and
// those of public programmes, which no company owns. A pair of likes stands once.
constexpr std::array table{
    // base malts
    malt("pale malt", "base", "pale", {81, 1.2}, {4.2, 0.5}, {4.2, 0.7}, {220, 50}, 100, "BAIRDS (moisture, colour)",
         "pale; malted barley; barley malt; two-row malt; two-row pale malt; brewer's malt; low colour pale ale malt"),
    malt("pale ale malt", "base", "pale", {82, 1}, {3.6, 0.4}, {6, 0.8}, {175, 35}, 100, "BAIRDS",
         "pale ale; ale malt"),
    malt("pilsner malt", "base", "pilsner or lager", {80.8, 1.2}, {4.5, 0.4}, {3.3, 0.5}, {270, 50}, 100,
         "TGL17756 (extract, moisture, enzymes)", "pilsener malt; pilsen malt; pils malt"),
    malt("lager malt", "base", "pilsner or lager", {80.8, 1.2}, {4.4, 0.5}, {3.4, 0.6}, {260, 50}, 100, common_practice,
         "pale lager malt; extra pale malt"),
    malt("mild malt", "high-kilned", "mild", {80.5, 1.2}, {3.8, 0.6}, {9, 1.5}, {150, 35}, 100, common_practice,
         "mild ale malt"),
    malt("Vienna malt", "high-kilned", "Vienna", {80.5, 1.2}, {4.2, 0.5}, {8, 1.5}, {200, 45}, 100, common_practice,
         "viennese malt"),
    malt("light Munich malt", "high-kilned", "Munich", {79.8, 1.2}, {4, 0.5}, {16, 2.5}, {130, 35}, 100,
         "EMALT, TGL17756", "Munich malt; Munich I; Munich 1; Munich type I malt"),
    malt("dark Munich malt", "high-kilned", "Munich", {79, 1.3}, {4, 0.6}, {25, 4}, {95, 35}, 100,
         "TGL17756 (extract, enzymes)", "Munich II; Munich 2; Munich type II malt"),
    // special base malts
    malt("dextrin malt", "caramel", "dextrin", {77, 2.5}, {5.5, 1.2}, {3.5, 1}, {5, 10}, 10, common_practice,
         "dextrine malt; dextrin; dextrine; foam malt"),
    malt("acidulated malt", "acid", "acid", {79, 2.5}, {5.5, 1.2}, {5, 2}, {100, 80}, 10, common_practice,
         "acid malt; sour malt; acidulated; sauer malt"),
    malt("smoked malt", "smoked", "smoked", {80.5, 1.5}, {4.5, 0.7}, {6, 2}, {230, 60}, 100, common_practice,
         "beech smoked malt; beechwood smoked malt; oak smoked malt; smoke malt; rauch malt; rauchmalz"),
    malt("peated malt", "smoked", "smoked", {80.5, 1.5}, {4.5, 0.7}, {5, 2}, {220, 60}, 20, common_practice,
         "peat smoked malt; peat malt"),
    malt("melanoidin malt", "high-kilned", "Munich", {79, 1.5}, {4.3, 0.8}, {70, 12}, {25, 30}, 20, common_practice,
         "melanoidin; melanoidine malt"),
    malt("amber malt", "high-kilned", "amber or biscuit", {78.5, 2}, {3.5, 0.8}, {60, 14}, {10, 15}, 20,
         common_practice, "amber"),
    malt("biscuit malt", "high-kilned", "amber or biscuit", {78.5, 2}, {3.5, 0.8}, {50, 10}, {10, 15}, 20,
         common_practice, "biscuit"),
    malt("brown malt", "roasted", "brown", {77.5, 1.5}, {3.7, 0.7}, {120, 14}, {0, 5}, 20, "BAIRDS", "brown"),
    // caramel malts
    malt("light caramel malt", "caramel", "caramel", {75, 1.5}, {6, 1.2}, {20, 6}, {0, 15}, 25, "TGL17756 (extract)",
         "pale caramel malt; caramel malt 20 EBC"),
    malt("medium caramel malt", "caramel", "caramel", {74.5, 2}, {5.5, 1.2}, {60, 14}, {0, 10}, 20, common_practice,
         "caramel malt 60 EBC"),
    malt("caramel malt 120 EBC", "caramel", "caramel", {74, 2}, {5, 1.2}, {120, 18}, {0, 5}, 15, common_practice,
         "amber caramel malt"),
    malt("dark caramel malt", "caramel", "caramel", {70.5, 2.5}, {4.5, 1.2}, {300, 50}, {0, 5}, 10,
         "TGL17756 (extract)", "caramel malt 300 EBC"),
    malt("special dark caramel malt", "caramel", "caramel", {70, 3}, {4.5, 1.2}, {350, 50}, {0, 5}, 10, common_practice,
         "special dark malt; extra dark caramel malt"),
    malt("caramel malt", "caramel", "caramel", {74, 3}, {5, 1.2}, {120, 80}, {0, 15}, 15, "TGL17756 (extract)",
         "caramel; any caramel malt"),
    malt("light crystal malt", "caramel", "caramel", {75, 2}, {5, 1.2}, {90, 20}, {0, 5}, 15, common_practice,
         "pale crystal malt"),
    malt("crystal malt", "caramel", "caramel", {74.5, 2.5}, {4.8, 1.2}, {145, 45}, {0, 10}, 15, common_practice,
         "crystal; medium crystal malt"),
    malt("dark crystal malt", "caramel", "caramel", {73, 3}, {4.5, 1.2}, {260, 50}, {0, 5}, 10, common_practice),
    malt("caramel wheat malt", "caramel", "caramel", {76, 2.5}, {5.5, 1.2}, {110, 30}, {0, 10}, 15, common_practice,
         "crystal wheat malt"),
    malt("caramel rye malt", "caramel", "caramel", {75, 3}, {5.5, 1.2}, {120, 40}, {0, 10}, 15, common_practice,
         "crystal rye malt"),
    // roasted malts
    malt("pale chocolate malt", "roasted", "chocolate", {72, 3}, {3.5, 1}, {550, 80}, {0, 5}, 10, common_practice,
         "light chocolate malt"),
    malt("chocolate malt", "roasted", "chocolate", {70.5, 3}, {3.5, 1}, {950, 150}, {0, 5}, 10, common_practice,
         "chocolate"),
    malt("chocolate wheat malt", "roasted", "chocolate", {73, 3.5}, {4, 1}, {950, 150}, {0, 5}, 10, common_practice,
         "roasted wheat malt; roasted wheat"),
    malt("chocolate rye malt", "roasted", "chocolate", {71, 4}, {4, 1}, {600, 150}, {0, 5}, 10, common_practice,
         "roasted rye malt"),
    malt("black malt", "roasted", "black", {67.5, 4}, {3.5, 1}, {1300, 150}, {0, 5}, 10, "TGL17756 (extract)",
         "black; patent malt; black patent malt; colour malt"),
    malt("debittered black malt", "roasted", "black", {68, 4}, {4, 1}, {1200, 200}, {0, 5}, 10, common_practice,
         "dehusked black malt; huskless black malt"),
    malt("roasted barley", "roasted", "roasted barley", {69, 4}, {3.5, 1.2}, {1250, 200}, {0, 5}, 10, common_practice,
         "roast barley; black barley"),
    // other malted grains
    malt("wheat malt", "wheat", "wheat", {83.8, 1.2}, {4.8, 0.5}, {4, 1}, {250, 60}, 70, "TGL17756 (extract, moisture)",
         "pale wheat malt; light wheat malt; white wheat malt; malted wheat"),
    malt("dark wheat malt", "wheat", "wheat", {83, 1.5}, {4.7, 0.6}, {16, 3}, {180, 60}, 60, common_practice),
    malt("rye malt", "rye", "rye", {82, 2.5}, {5, 0.7}, {6.5, 2}, {180, 70}, 50, common_practice,
         "malted rye; pale rye malt"),
    malt("oat malt", "oats", "oat", {72, 4}, {5, 1}, {4.5, 1.5}, {50, 40}, 30, common_practice, "malted oats"),
    malt("spelt malt", "wheat", "spelt", {82, 2}, {5, 0.8}, {5, 1.5}, {220, 70}, 60, common_practice, "malted spelt"),
    // unmalted grain
    malt("raw barley", "adjunct", "barley", {76, 3}, {12, 1.5}, {3, 1}, {0, 10}, 20, common_practice,
         "barley; unmalted barley"),
    malt("flaked barley", "adjunct", "barley", {78, 3}, {9, 1.5}, {3.5, 1}, {0, 10}, 20, common_practice,
         "barley flakes"),
    malt("torrified barley", "adjunct", "barley", {77, 3}, {7.5, 2}, {4, 1.5}, {0, 10}, 20, common_practice),
    malt("raw wheat", "adjunct", "wheat", {80, 2.5}, {12, 1.5}, {3, 1}, {0, 10}, 50, common_practice, "unmalted wheat"),
    malt("flaked wheat", "adjunct", "wheat", {81, 2.5}, {9, 1.5}, {3.5, 1}, {0, 10}, 40, common_practice,
         "wheat flakes"),
    malt("torrified wheat", "adjunct", "wheat", {80, 2.5}, {8, 2}, {4, 1.5}, {0, 10}, 20, common_practice),
    malt("raw oats", "adjunct", "oat", {65, 5}, {11.5, 1.5}, {3, 1}, {0, 10}, 15, common_practice, "unmalted oats"),
    malt("flaked oats", "adjunct", "oat", {74, 4}, {9.5, 1.5}, {3, 1}, {0, 10}, 30, common_practice,
         "oat flakes; rolled oats; torrified oats"),
    malt("maize grits", "adjunct", "maize", {88, 2.5}, {12, 1.5}, {1.5, 1}, {0, 10}, 40, common_practice,
         "corn grits; raw maize; maize; corn"),
    malt("flaked maize", "adjunct", "maize", {88, 2.5}, {10, 1.5}, {1.5, 1}, {0, 10}, 40, common_practice,
         "flaked corn; maize flakes; corn flakes; torrified maize"),
    malt("rice", "adjunct", "rice", {91, 2.5}, {12, 1.5}, {1, 1}, {0, 10}, 40, common_practice,
         "raw rice; rice grits; broken rice"),
    malt("flaked rice", "adjunct", "rice", {91, 2.5}, {10, 1.5}, {1, 1}, {0, 10}, 40, common_practice,
         "rice flakes; torrified rice"),
    malt("raw rye", "adjunct", "rye", {78, 3}, {12, 1.5}, {4, 1.5}, {0, 10}, 20, common_practice, "unmalted rye"),
    malt("flaked rye", "adjunct", "rye", {79, 3}, {9.5, 1.5}, {4.5, 1.5}, {0, 10}, 20, common_practice, "rye flakes"),
    // sugars
    sugar("sucrose", "plain", {100, 0.3}, {0.1, 0.2}, {0, 1}, 20,
          "sugar; table sugar; cane sugar; beet sugar; white sugar; granulated sugar"),
    sugar("dextrose", "plain", {100, 0.5}, {8.8, 1.2}, {0, 1}, 20,
          "dextrose monohydrate; glucose; glucose powder; corn sugar; grape sugar"),
    sugar("invert syrup", "plain", {100, 0.8}, {20, 3}, {25, 20}, 20,
          "invert sugar; invert sugar syrup; pale invert syrup"),
    sugar("glucose syrup", "plain", {100, 1}, {20, 3}, {1, 2}, 20,
          "corn syrup; maize syrup; brewing syrup; brewer's syrup; maltose syrup; high maltose syrup"),
    sugar("rice syrup", "plain", {100, 1.5}, {21, 3}, {5, 4}, 20),
    sugar("light candi sugar", "plain", {100, 0.5}, {0.5, 0.5}, {2, 3}, 20,
          "candi sugar; clear candi sugar; white candi sugar; light candy sugar"),
    sugar("dark candi sugar", "dark", {99, 1.5}, {1.5, 1.5}, {300, 150}, 15, "dark candy sugar; brown candi sugar"),
    sugar("dark candi syrup", "dark", {99, 1.5}, {23, 4}, {300, 150}, 15, "candi syrup; candi sugar syrup"),
    sugar("brown sugar", "dark", {98, 1.5}, {2, 1.5}, {40, 30}, 10, "demerara sugar; raw cane sugar"),
    sugar("honey", "honey", {97, 2}, {17.5, 2}, {10, 8}, 20, "blossom honey; flower honey"),
    sugar("maltodextrin", "unfermentable", {99, 1.5}, {5, 1.5}, {0, 2}, 10, "malto-dextrin; dextrin powder"),
    sugar("lactose", "unfermentable", {99.5, 0.8}, {5, 1}, {0, 2}, 10, "lactose monohydrate; milk sugar"),
    sugar("dry malt extract", "malt extract", {98.5, 1.5}, {4, 1.2}, {8, 3}, 100,
          "pale dry malt extract; light dry malt extract; dried malt extract; pale dried malt extract; spray malt; "
          "light spray malt; DME"),
    sugar("liquid malt extract", "malt extract", {99, 1.2}, {20, 2}, {10, 4}, 100,
          "pale liquid malt extract; light liquid malt extract; malt extract; pale malt extract; malt extract syrup; "
          "LME"),
    sugar("molasses", "dark", {97, 3}, {23, 3}, {250, 120}, 5, "treacle; black treacle; cane molasses"),
    sugar("maple syrup", "maple", {99, 1}, {33.5, 1}, {30, 20}, 10),
    // hops: English
    hop("Fuggle", "aroma", "English", {5.1, 1.1}, "USDA", "Fuggles; English Fuggle", "Willamette; Styrian Golding"),
    hop("Goldings", "aroma", "English", {5.2, 0.8}, common_practice,
        "Golding; English Goldings; East Kent Goldings; East Kent Golding; EKG; Kent Goldings", "Progress"),
    hop("Bramling Cross", "dual", "blackcurrant", {6.5, 0.9}, common_practice),
    hop("Bullion", "bittering", "blackcurrant", {7.5, 1.2}, common_practice, "", "Brewer's Gold"),
    hop("Brewer's Gold", "dual", "blackcurrant", {7, 1.3}, common_practice, "Brewers Gold"),
    hop("Northern Brewer", "dual", "mint", {8.5, 1.2}, common_practice),
    hop("Challenger", "dual", "English", {7.5, 1}, common_practice, "", "Northdown"),
    hop("Northdown", "dual", "English", {8, 1}, common_practice),
    hop("Progress", "aroma", "English", {6.2, 0.9}, common_practice),
    hop("Target", "bittering", "", {12.6, 2}, "USDA"),
    // hops: German and Alsatian
    hop("Hallertauer Mittelfrüh", "aroma", "noble", {4.4, 0.7}, "USDA",
        "Hallertauer Mittelfrueh; Hallertauer Mittelfruh; Hallertau Mittelfrüh; Hallertau Mittelfrueh; Hallertau "
        "Mittelfruh; Hallertauer; Hallertau; Mittelfrüh; Mittelfrueh; Mittelfruh",
        "Mount Hood; Liberty; Hersbrucker"),
    hop("Tettnanger", "aroma", "noble", {4.2, 0.9}, common_practice, "Tettnang", "Spalter; Saaz; Santiam"),
    hop("Spalter", "aroma", "noble", {4.2, 0.9}, common_practice, "Spalt", "Saaz"),
    hop("Hersbrucker", "aroma", "noble", {4, 1.2}, common_practice, "Hersbrucker Spät; Hersbrucker Spaet; Hersbruck",
        "Strisselspalt"),
    hop("Perle", "dual", "noble", {7, 1.3}, common_practice, "German Perle"),
    hop("Magnum", "bittering", "", {13.5, 1.5}, common_practice, "Hallertauer Magnum; Hallertau Magnum; German Magnum"),
    hop("Strisselspalt", "aroma", "noble", {2.5, 0.8}, common_practice, "Strisselspalter"),
    // hops: Czech and Polish
    hop("Saaz", "aroma", "noble", {3.5, 0.7}, common_practice, "Czech Saaz; Saazer; Bohemian Saaz", "Lublin; Sterling"),
    hop("Lublin", "aroma", "noble", {3.8, 0.8}, common_practice, "Lubelski; Lubliner"),
    // hops: Slovenian
    hop("Styrian Golding", "aroma", "English", {5.6, 0.7}, "USDA",
        "Styrian Goldings; Savinjski Golding; Savinja Golding", "Willamette; Bobek; Celeia"),
    hop("Aurora", "dual", "", {8.5, 1.3}, common_practice, "Super Styrian; Styrian Aurora"),
    hop("Bobek", "aroma", "English", {5, 1.3}, common_practice, "Styrian Bobek"),
    hop("Celeia", "aroma", "English", {4.5, 1.2}, common_practice, "Styrian Celeia"),
    // hops: American, old or of public programmes
    hop("Cluster", "dual", "", {7, 1}, common_practice, "Clusters"),
    hop("Cascade", "aroma", "American citrus", {6.2, 1.1}, "USDA", "", "Centennial"),
    hop("Centennial", "dual", "American citrus", {10, 1}, common_practice),
    hop("Chinook", "dual", "American pine", {12.5, 1.3}, common_practice),
    hop("Comet", "dual", "American citrus", {10, 1.2}, common_practice),
    hop("Crystal", "aroma", "noble", {4, 1}, common_practice, "", "Liberty; Mount Hood"),
    hop("Galena", "bittering", "", {13, 1.4}, common_practice),
    hop("Liberty", "aroma", "noble", {4.2, 0.8}, common_practice),
    hop("Mount Hood", "aroma", "noble", {5.5, 1}, common_practice, "Mt. Hood"),
    hop("Nugget", "bittering", "", {13.5, 2.2}, "USDA"),
    hop("Santiam", "aroma", "noble", {6, 1}, common_practice),
    hop("Sterling", "aroma", "noble", {7.5, 1}, "USDA"),
    hop("Willamette", "aroma", "English", {5, 0.8}, common_practice),
};

} // namespace

std::span<const KindOfItem> kind_table() {
    return table;
}

} // namespace lotwort
