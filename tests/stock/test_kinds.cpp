#include "../golden.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/stock/fermentable.hpp>
#include <lotwort/stock/kinds.hpp>
#include <set>

using namespace lotwort;

namespace {

struct Spread {
    double value;
    double sd;
};

Spread spread_of(const Typical& t, const std::string& quantity) {
    if (quantity == "extract") return {t.extract_fine_dry_pct, t.extract_sd_pct};
    if (quantity == "moisture") return {t.moisture_pct, t.moisture_sd_pct};
    if (quantity == "colour") return {t.colour_ebc, t.colour_sd_ebc};
    if (quantity == "diastatic_power") return {t.diastatic_power_wk, t.diastatic_power_sd_wk};
    if (quantity == "alpha") return {t.alpha_pct, t.alpha_sd_pct};
    FAIL("nothing typical is known of ", quantity);
    return {};
}

const KindOfItem& kind(std::string_view name) {
    const KindOfItem* found = kind_named(name);
    REQUIRE_MESSAGE(found != nullptr, name);
    return *found;
}

Item item(const char* name, ItemKind kind) {
    Item made;
    made.name = name;
    made.kind = kind;
    return made;
}

} // namespace

TEST_CASE("no published limit or range of a kind surprises what the table has of it") {
    for (const auto& row : test::golden_rows("kinds.tsv")) {
        CAPTURE(row.id);
        const Spread typical = spread_of(kind(row.words.at("kind")).typical, row.function);
        CAPTURE(typical.value);
        CAPTURE(typical.sd);
        CHECK(typical.sd > 0.0);
        CHECK(std::abs(row.expected - typical.value) <= row.tolerance * typical.sd);
    }
}

TEST_CASE("every kind is whole: its class, its family, figures a brewer would believe, and where they are from") {
    const std::set<std::string_view> families{"pale",    "pilsner or lager",
                                              "mild",    "Vienna",
                                              "Munich",  "dextrin",
                                              "acid",    "smoked",
                                              "caramel", "amber or biscuit",
                                              "brown",   "chocolate",
                                              "black",   "roasted barley",
                                              "wheat",   "rye",
                                              "oat",     "spelt",
                                              "barley",  "maize",
                                              "rice"};
    const std::set<std::string_view> sugars{"plain", "dark", "honey", "maple", "malt extract", "unfermentable"};
    const std::set<std::string_view> groups{"aroma", "dual", "bittering"};
    const std::vector<std::string_view>& classes = known_malt_classes();
    CHECK(kinds().size() >= 90);
    for (const KindOfItem& k : kinds()) {
        CAPTURE(k.name);
        const Typical& t = k.typical;
        CHECK_FALSE(k.source.empty());
        CHECK((k.kind == ItemKind::malt) == (std::ranges::find(classes, k.malt_class) != classes.end()));
        if (k.kind == ItemKind::hop) {
            CHECK(groups.contains(k.family));
            CHECK(t.alpha_pct >= 2.0);
            CHECK(t.alpha_pct <= 16.0);
            CHECK(t.alpha_sd_pct >= 0.1 * t.alpha_pct);       // crops differ by more
            CHECK(t.alpha_sd_pct < 3.5);                      // narrower than any hop
            CHECK((k.family != "aroma" || !k.aroma.empty())); // an aroma hop is there for it
            continue;
        }
        CHECK((k.kind == ItemKind::malt ? families : sugars).contains(k.family));
        CHECK(t.extract_fine_dry_pct >= 60.0);
        CHECK(t.extract_fine_dry_pct <= 100.0);
        CHECK(t.extract_sd_pct > 0.0);
        CHECK(t.moisture_pct >= 0.0);
        CHECK(t.moisture_pct < 40.0);
        CHECK(t.moisture_sd_pct > 0.0);
        CHECK(t.colour_ebc >= 0.0);
        CHECK(t.colour_ebc <= 1500.0);
        CHECK(t.colour_sd_ebc > 0.0);
        CHECK(t.diastatic_power_wk <= 400.0);
        CHECK(k.max_share_pct > 0.0);
        CHECK(k.max_share_pct <= 100.0);
        CHECK(t.alpha_pct == 0.0);
        if (k.kind == ItemKind::malt) // narrower than a malt of which nothing is known
            CHECK(t.extract_sd_pct < typical_of(ItemKind::malt, "").extract_sd_pct);
    }
}

TEST_CASE("a name is of one kind, and every name of a kind finds it") {
    for (const KindOfItem& k : kinds()) {
        const Item kept = [&] {
            Item made = item("", k.kind);
            if (!k.malt_class.empty()) made.malt_class = std::string(k.malt_class);
            return made;
        }();
        std::vector<std::string_view> names = other_names(k);
        names.push_back(k.name);
        for (const std::string_view name : names) {
            CAPTURE(name);
            Item named = kept;
            named.name = std::string(name);
            CHECK(kind_of(named) == &k);
        }
    }
}

TEST_CASE("capitals, marks, the order of the words, and malt or hop left out or put in are no other kind") {
    const std::pair<const char*, const char*> same[] = {
        {"PALE ALE MALT", "pale ale malt"},
        {"Malt, pale ale", "pale ale malt"},
        {"pale-ale", "pale ale malt"},
        {"malted barley", "pale malt"},
        {"floor-malted pilsner", "pilsner malt"},
        {"Munich", "light Munich malt"},
        {"Munich malt dark", "dark Munich malt"},
        {"roast barley", "roasted barley"},
        {"roasted barley malt", "roasted barley"},
        {"wheat", "wheat malt"},
        {"malted oats", "oat malt"},
        {"oats", "oat malt"}, // a grain by its bare name is malted, as wheat and rye are
        {"oats, flaked", "flaked oats"},
        {"organic flaked oats", "flaked oats"},
        {"dextrin", "dextrin malt"},
        {"Caramel malt (20 EBC)", "light caramel malt"},
        {"caramel pilsner malt", "dextrin malt"},
        {"caramel foam malt", "dextrin malt"},
        {"cara blond malt", "light caramel malt"},
        {"extra pale caramel", "light caramel malt"},
        {"crystal", "crystal malt"},
        {"crystal hops", "Crystal"},
        {"Fuggles pellets", "Fuggle"},
        {"Mt Hood", "Mount Hood"},
        {"Brewers' Gold", "Brewer's Gold"},
        {"Hallertau hops", "Hallertauer Mittelfrüh"},
        {"table sugar", "sucrose"},
        {"malt extract (dry)", "dry malt extract"},
    };
    for (const auto& [typed, meant] : same) {
        CAPTURE(typed);
        CHECK(kind(typed).name == meant);
    }
}

TEST_CASE("what only sounds like a kind is none") {
    for (const std::string name :
         {"", "malt", "hop", "honey malt", "pale hop", "brown ale", "pilsner hops", "harvest house blend", "malt 1",
          "caramel malt 60 L", "ale yeast", "sugar beet malt", "caramel pale wheat malt", "cara malt"}) {
        CAPTURE(name);
        CHECK(kind_named(name) == nullptr);
    }
    CHECK(kind("barley malt").family == "pale"); // and no raw barley
}

TEST_CASE("an item is of the kind that its name says, unless it is stated to be something else") {
    Item pale = item("pale ale malt", ItemKind::malt);
    CHECK(kind_of(pale) == kind_named("pale ale malt"));
    CHECK(typical_of(pale).colour_ebc == kind("pale ale malt").typical.colour_ebc);
    pale.malt_class = "base";
    CHECK(kind_of(pale) == kind_named("pale ale malt"));
    pale.malt_class = "smoked";
    CHECK(kind_of(pale) == nullptr);
    CHECK(typical_of(pale).colour_ebc == typical_of(ItemKind::malt, "smoked").colour_ebc);
    CHECK(kind_of(item("honey", ItemKind::other)) == nullptr);
    CHECK(kind_of(item("Crystal", ItemKind::hop))->typical.alpha_pct > 0.0);
    CHECK(kind_of(item("Crystal", ItemKind::malt))->family == "caramel");
    CHECK(typical_of(item("house hop", ItemKind::hop)).alpha_sd_pct == typical_of(ItemKind::hop, "").alpha_sd_pct);
}

TEST_CASE("late and dry a hop goes by the group it was given, else by its kind's") {
    Item fuggle = item("Fuggles", ItemKind::hop), saaz = item("Saaz", ItemKind::hop),
         own = item("house hop", ItemKind::hop);
    CHECK(aroma_group(fuggle) == "English");
    CHECK(aroma_group(saaz) == "noble");
    CHECK(aroma_group(own).empty());
    saaz.group = "spice";
    CHECK(aroma_group(saaz) == "spice");
}

TEST_CASE("of a group those are first that brewers take for one another, either way round") {
    const auto hop = [](const char* name) { return item(name, ItemKind::hop); };
    CHECK(are_alike(hop("Cascade"), hop("Centennial")));
    CHECK(are_alike(hop("Centennial"), hop("Cascade")));
    CHECK(are_alike(hop("Goldings"), hop("East Kent Goldings"))); // one kind under two names
    CHECK_FALSE(are_alike(hop("Cascade"), hop("Comet")));
    CHECK_FALSE(are_alike(hop("house hop"), hop("Comet")));
    for (const KindOfItem& k : kinds())
        for (const std::string_view like : likes_of(k)) {
            CAPTURE(k.name);
            CHECK(std::ranges::count(likes_of(k), like) == 1); // a pair stands once in the table
            CAPTURE(like);
            const auto other = std::ranges::find(kinds(), like, &KindOfItem::name);
            REQUIRE(other != kinds().end());
            CHECK(other->aroma == k.aroma); // one that lies in another group would never be asked
        }
}

TEST_CASE("dextrin malt is no base malt: hardly any enzymes, at most a tenth of a grist") {
    const KindOfItem& dextrin = kind("dextrin malt");
    CHECK(dextrin.malt_class != "base");
    CHECK(dextrin.family == "dextrin");
    CHECK(dextrin.typical.diastatic_power_wk < 20.0);
    CHECK(dextrin.max_share_pct <= 10.0);
}

TEST_CASE(
    "a name that holds more than a kind's is of the kind with the most words in it, unless a card says otherwise") {
    CHECK(kind_within(item("Smith's pale ale malt", ItemKind::malt))->name == "pale ale malt"); // and not pale malt
    CHECK(kind_within(item("dark rye malt", ItemKind::malt))->family == "rye");
    CHECK(kind_within(item("caramel malt 150", ItemKind::malt))->family == "caramel");
    CHECK(kind_within(item("Crystal", ItemKind::malt))->family == "caramel"); // by its whole name, as ever
    CHECK(kind_within(item("meadow hop", ItemKind::hop)) == nullptr);
    Item other = item("pilsner malt 2", ItemKind::malt);
    CHECK(kind_within(other)->family == "pilsner or lager");
    other.malt_class = "roasted";
    CHECK(kind_within(other) == nullptr);
}

TEST_CASE("malts of one family stand in the order of their names") {
    CHECK(kind("light Munich malt").typical.colour_ebc < kind("dark Munich malt").typical.colour_ebc);
    CHECK(kind("light Munich malt").typical.diastatic_power_wk > kind("dark Munich malt").typical.diastatic_power_wk);
    CHECK(kind("light caramel malt").typical.colour_ebc < kind("medium caramel malt").typical.colour_ebc);
    CHECK(kind("medium caramel malt").typical.colour_ebc < kind("caramel malt 120 EBC").typical.colour_ebc);
    CHECK(kind("caramel malt 120 EBC").typical.colour_ebc < kind("dark caramel malt").typical.colour_ebc);
    CHECK(kind("chocolate malt").typical.colour_ebc < kind("black malt").typical.colour_ebc);
    CHECK(kind("pilsner malt").typical.colour_ebc < kind("pale ale malt").typical.colour_ebc);
}

TEST_CASE("a slip of the finger is told from a name that differs on purpose") {
    CHECK(kind_meant("pilsmer malt") == kind_named("pilsner malt"));
    CHECK(kind_meant("pale ale mlat") == kind_named("pale ale malt"));
    CHECK(kind_meant("Fugle") == kind_named("Fuggle"));
    CHECK(kind_meant("Sazz") == kind_named("Saaz"));
    CHECK(kind_meant("mapel syrup") == kind_named("maple syrup"));
    for (const std::string name : {"pilsner malt", "pale malt 7", "harvest house blend", "late hop", "ale yeast", "",
                                   "gypsum", "Xanthia", "caramel malt 130 EBC"}) {
        CAPTURE(name);
        CHECK(kind_meant(name) == nullptr);
    }
    CHECK(is_slip_of("crystal mlat 60", "crystal malt 60"));
    CHECK_FALSE(is_slip_of("crystal malt 80", "crystal malt 60"));
}

TEST_CASE("the nearest kinds are offered, each once") {
    CHECK(nearest_kinds("pilsmer malt").front() == "pilsner malt");
    CHECK(nearest_kinds("rhubarb").empty());
    const auto near = nearest_kinds("caramel malt 40", 10);
    std::set<const KindOfItem*> offered;
    for (const std::string& name : near) CHECK(offered.insert(kind_named(name)).second);
    CHECK(near.size() >= 2);
}

TEST_CASE("what yeast takes of honey is known better than of a sugar that nobody knows") {
    Item honey, other;
    honey.name = "blossom honey";
    other.name = "mystery";
    honey.kind = other.kind = ItemKind::sugar;
    CHECK(fermentable_share(honey).sd < fermentable_share(other).sd);
}
