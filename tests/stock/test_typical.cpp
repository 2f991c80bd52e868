#include "../golden.hpp"
#include <doctest/doctest.h>
#include <lotwort/stock/malt_analysis.hpp>
#include <lotwort/stock/typical.hpp>

using namespace lotwort;

namespace {

struct Spread {
    double value;
    double sd;
};

// What typical.hpp says of `quantity` of a class.
Spread typical_spread(const std::string& malt_class, const std::string& quantity) {
    const Typical t = typical_of(ItemKind::malt, malt_class);
    if (quantity == "extract") return {t.extract_fine_dry_pct, t.extract_sd_pct};
    if (quantity == "extract_iob") // in the other mash's litre-degrees
        return {iob_of_congress(t.extract_fine_dry_pct), t.extract_sd_pct / 0.2586};
    if (quantity == "moisture") return {t.moisture_pct, t.moisture_sd_pct};
    if (quantity == "colour") return {t.colour_ebc, t.colour_sd_ebc};
    if (quantity == "diastatic_power") return {t.diastatic_power_wk, t.diastatic_power_sd_wk};
    if (quantity == "fine_coarse") return {fine_coarse_difference_pct, fine_coarse_difference_sd_pct};
    FAIL("nothing typical is known of ", quantity);
    return {};
}

} // namespace

TEST_CASE("no malt at a published specification limit surprises what is taken as typical") {
    for (const auto& row : test::golden_rows("malt_ranges.tsv")) {
        CAPTURE(row.id);
        CAPTURE(row.function);
        const auto dot = row.function.find('.');
        const Spread typical = typical_spread(row.function.substr(0, dot), row.function.substr(dot + 1));
        CAPTURE(typical.value);
        CAPTURE(typical.sd);
        CHECK(typical.sd > 0.0);
        CHECK(std::abs(row.expected - typical.value) <= row.tolerance * typical.sd);
    }
}

TEST_CASE("a class nobody knows is wider than any that is known") {
    const Typical unknown = typical_of(ItemKind::malt, "spelt of the valley");
    for (const auto name : known_malt_classes()) {
        CAPTURE(name);
        const Typical known = typical_of(ItemKind::malt, name);
        CHECK(known.extract_sd_pct <= unknown.extract_sd_pct);
        CHECK(known.moisture_sd_pct <= unknown.moisture_sd_pct);
        CHECK(known.diastatic_power_sd_wk <= unknown.diastatic_power_sd_wk);
    }
    CHECK(known_malt_classes().size() == 10);
}

TEST_CASE("typical of other kinds") {
    CHECK(typical_of(ItemKind::sugar, "").extract_fine_dry_pct == 100.0);
    CHECK(typical_of(ItemKind::hop, "").alpha_pct > 0.0);
    CHECK(typical_of(ItemKind::yeast, "").extract_fine_dry_pct == 0.0);
    CHECK(typical_of(ItemKind::malt, "caramel").diastatic_power_wk == 0.0); // what is missing counts as none there
    CHECK(typical_of(ItemKind::malt, "roasted").diastatic_power_wk == 0.0);
}

TEST_CASE("what a name speaks of") {
    struct Named {
        const char* name;
        ItemKind kind;
        std::string_view malt_class;
    };
    for (const Named& expected : {
             Named{"Pale Ale Malt", ItemKind::malt, "base"},
             Named{"pilsner malt", ItemKind::malt, "base"},
             Named{"munich malt", ItemKind::malt, "high-kilned"},
             Named{"Vienna", ItemKind::malt, "high-kilned"},
             Named{"crystal malt 150", ItemKind::malt, "caramel"},
             Named{"caramel malt", ItemKind::malt, "caramel"},
             Named{"chocolate malt", ItemKind::malt, "roasted"},
             Named{"roasted barley", ItemKind::malt, "roasted"},
             Named{"black malt", ItemKind::malt, "roasted"},
             Named{"wheat malt", ItemKind::malt, "wheat"},
             Named{"rye malt", ItemKind::malt, "rye"},
             Named{"malted oats", ItemKind::malt, "oats"},
             Named{"smoked malt", ItemKind::malt, "smoked"},
             Named{"acidulated malt", ItemKind::malt, "acid"},
             Named{"flaked maize", ItemKind::malt, "adjunct"},
             Named{"dextrose", ItemKind::sugar, ""},
             Named{"brown sugar", ItemKind::sugar, ""},
             Named{"dried malt extract", ItemKind::sugar, ""},
             Named{"honey malt", ItemKind::malt, "base"},
             Named{"aroma hop", ItemKind::hop, ""},
             Named{"bittering hops", ItemKind::hop, ""},
             Named{"ale yeast", ItemKind::yeast, ""},
             Named{"yeast nutrient", ItemKind::other, ""},
             Named{"gypsum", ItemKind::salt, ""},
             Named{"calcium chloride", ItemKind::salt, ""},
             Named{"lactic acid", ItemKind::other, ""},
             Named{"irish moss", ItemKind::other, ""},
             Named{"", ItemKind::malt, "base"},
             Named{"mild malt", ItemKind::malt, "high-kilned"},
             Named{"biscuit malt", ItemKind::malt, "high-kilned"},
             Named{"melanoidin", ItemKind::malt, "high-kilned"},
             Named{"dextrin malt", ItemKind::malt, "caramel"},
             Named{"dark caramel malt", ItemKind::malt, "caramel"},
             Named{"special dark malt", ItemKind::malt, "caramel"},
             Named{"caramel wheat malt", ItemKind::malt, "caramel"},
             Named{"chocolate rye malt", ItemKind::malt, "roasted"},
             Named{"roast barley", ItemKind::malt, "roasted"},
             Named{"patent malt", ItemKind::malt, "roasted"},
             Named{"spelt", ItemKind::malt, "wheat"},
             Named{"peated malt", ItemKind::malt, "smoked"},
             Named{"smoked wheat malt", ItemKind::malt, "smoked"}, // by its words
             Named{"malted barley", ItemKind::malt, "base"},
             Named{"barley", ItemKind::malt, "adjunct"},
             Named{"rolled oats", ItemKind::malt, "adjunct"},
             Named{"rice", ItemKind::malt, "adjunct"},
             Named{"rice hulls", ItemKind::other, ""}, // they have no extract
             Named{"honey", ItemKind::sugar, ""},
             Named{"maple syrup", ItemKind::sugar, ""},
             Named{"treacle", ItemKind::sugar, ""},
             Named{"Saaz", ItemKind::hop, ""},
             Named{"East Kent Goldings", ItemKind::hop, ""},
             Named{"Northern Brewer", ItemKind::hop, ""},
             Named{"Magnum", ItemKind::hop, ""},
             Named{"Cascade", ItemKind::hop, ""},
             Named{"Crystal hops", ItemKind::hop, ""},
             Named{"harvest house blend", ItemKind::malt, "base"}, // nothing matches it
         }) {
        CAPTURE(expected.name);
        const GuessedKind guessed = guess_kind(expected.name);
        CHECK(guessed.kind == expected.kind);
        CHECK(guessed.malt_class == expected.malt_class);
    }
}

TEST_CASE("what has alpha acids is a hop, unless its name says something else") {
    CHECK(guess_kind("valley seedling", true).kind == ItemKind::hop);
    CHECK(guess_kind("valley seedling").kind == ItemKind::malt);
    CHECK(guess_kind("valley malt", true).kind == ItemKind::malt);
    CHECK(guess_kind("pilsner", true).kind == ItemKind::malt);
}
