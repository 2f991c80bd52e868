// Items by name: what a new one is taken for, and what is asked or remarked where the name may be a slip.
#include "brewery.hpp"
#include "flowing.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace lotwort::test;

namespace {

// A person at the terminal, who gives the answers one after the other and keeps the questions.
struct Person {
    std::vector<std::string> answers;
    std::vector<std::string> questions{};
    void sit_at(Brewery& b) {
        b.surroundings().ask = [this](const std::string& question) -> std::optional<std::string> {
            questions.push_back(question);
            const std::size_t at = std::min(questions.size(), answers.size()) - 1;
            return answers[at];
        };
    }
};

std::vector<std::string> items_of(const Brewery& b) {
    std::vector<std::string> names;
    for (const Json& item : b.json("item list")["items"]) names.push_back(item["name"]);
    std::ranges::sort(names);
    return names;
}

using Names = std::vector<std::string>;

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("the table of kinds is shown without a ledger: names in one screen, figures of one, all as a table") {
    const Brewery b;
    const std::string all = b.done("item kinds");
    CHECK(std::ranges::count(all, '\n') <= 24);
    CHECK(has(all, "pale, pale ale, pilsner, lager"));
    const std::string one = b.done("item kinds \"roast barley\"");
    CHECK(has(one, "roasted barley: roasted malt, roasted barley\n"));
    CHECK(has(one, "source           common practice"));
    const Json kinds = b.json("item kinds")["kinds"];
    CHECK(kinds.size() >= 90);
    CHECK(b.json("item kinds dextrin")["kinds"][0]["max_share_pct"] == 10);
    const std::string csv = b.done("item kinds --csv");
    CHECK(std::ranges::count(csv, '\n') == static_cast<long>(kinds.size()) + 1);
}

TEST_CASE("a hop that only its alpha acids tell is kept as a hop") {
    const Brewery b;
    b.done("init");
    b.done("receive \"valley seedling\" 500g --alpha 6%");
    b.done("item add \"ridge seedling\" --alpha 9%");
    b.done("receive \"Saaz\" 100g");
    for (const Json& item : b.json("item list")["items"]) CHECK(item["kind"] == "hop");
}

TEST_CASE("what nobody stated of a known kind is that kind's") {
    const Brewery b;
    b.done("init");
    const std::string came = b.done("receive Saaz 100g");
    const double alpha = b.json("item kinds Saaz")["kinds"][0]["alpha_pct"];
    CHECK(has(came, fmt::format("as is typical: alpha acids {:.2f} ", alpha)));
    CHECK(holds(b.done("item show Saaz"), "taken as typical of Saaz; lotwort item kinds Saaz shows it."));
    b.done("item add \"valley seedling\" --alpha 6%");
    CHECK(has(b.done("item show \"valley seedling\""), "typical of its class"));
}

TEST_CASE("at a terminal a near name is asked about, and yes takes what is there") {
    for (const bool yes : {true, false}) {
        CAPTURE(yes);
        Brewery b;
        b.done("init");
        b.done("receive \"roasted barley\" 5kg");
        Person person{{yes ? "yes" : "no"}};
        person.sit_at(b);
        b.done("receive \"roast barley\" 5kg");
        b.done("receive \"pilsmer malt\" 25kg");
        CHECK(person.questions ==
              Names{"roast barley is new, and the item `roasted barley` is known; is that meant? (yes or no) ",
                    "pilsmer malt is new, and the kind `pilsner malt` is known; is that meant? (yes or no) "});
        CHECK(items_of(b) == (yes ? Names{"pilsner malt", "roasted barley"}
                                  : Names{"pilsmer malt", "roast barley", "roasted barley"}));
        b.done("receive \"wheat malt\" 5kg"); // a kind of its own, near to nothing
        CHECK(person.questions.size() == 2);
    }
}

TEST_CASE("where the input ends at the question nothing is booked") {
    Brewery b;
    b.done("init");
    b.done("receive \"roasted barley\" 5kg");
    b.surroundings().ask = [](const std::string&) { return std::optional<std::string>(); };
    CHECK(b.run("receive \"roast barley\" 5kg").error ==
          "roast barley is new, and the item `roasted barley` is known");
    CHECK(items_of(b) == Names{"roasted barley"});
}

TEST_CASE("every verb that makes an item asks: an offer, an item, a recipe, a delivery note") {
    Brewery b;
    b.done("init");
    b.done("item add \"pale ale malt\"");
    b.write("r.toml",
            "name = \"pale\"\nvolume_l = 20\ngrist = [{item = \"pale ale mlat\", mass_kg = 4}]\n"
            "hops = [{item = \"Fugle\", mass_g = 30, minutes = 60}, {item = \"Fugle\", mass_g = 9, minutes = 5}]\n");
    b.write("n.csv", "item,amount\npal ale malt,25kg\nSazz,500g\n");
    Person person{{"yes"}};
    person.sit_at(b);
    b.done("offer add Hillside \"pale ale mallt\" 25kg 30");
    b.done("item add \"viena malt\"");
    b.done("recipe add FOLDER/r.toml");
    b.done("receive --delivery FOLDER/n.csv");
    CHECK(person.questions.size() == 7); // each line of a recipe is a line
    CHECK(items_of(b) == Names{"Fuggle", "Saaz", "Vienna malt", "pale ale malt"});
    const Json recipe = b.json("recipe show pale")["recipes"][0];
    CHECK(recipe["grist"][0]["item"] == "pale ale malt");
    CHECK(recipe["hops"][0]["item"] == "Fuggle");
}

TEST_CASE("where nobody can be asked it is remarked, and kept as typed") {
    const Brewery b;
    b.done("init");
    b.done("item add \"pale ale malt\"");
    b.write("r.toml", "name = \"pale\"\nvolume_l = 20\ngrist = [{item = \"pale ale mlat\", mass_kg = 4}]\n");
    b.write("n.csv", "item,amount\npale ale malt,25kg\nSazz,500g\n");
    CHECK(has(b.done("item add \"viena malt\""), "viena malt: did you mean the kind `Vienna malt`?"));
    CHECK(
        has(b.done("offer add Hillside \"pale ale malt,\" 25kg 30"), "did you mean `pale ale malt`, which is there?"));
    CHECK(has(b.done("recipe add FOLDER/r.toml"), "pale ale mlat: did you mean `pale ale malt`, which is there?"));
    CHECK(has(b.done("receive --delivery FOLDER/n.csv"), "line 3: Sazz: did you mean the kind `Saaz`?"));
    CHECK(items_of(b).size() >= 5);
}

TEST_CASE("names that differ on purpose are not asked about") {
    Brewery b;
    b.done("init");
    Person person{{"yes"}};
    person.sit_at(b);
    for (const char* name : {"crystal malt 60 L", "crystal malt 80 L", "light Munich malt", "dark Munich malt",
                             "pale malt", "pale ale malt", "house malt", "flaked oats", "flaked wheat", "ale yeast"})
        b.done(fmt::format("item add \"{}\"", name));
    CHECK(person.questions.empty());
    CHECK(items_of(b).size() == 10);
}
