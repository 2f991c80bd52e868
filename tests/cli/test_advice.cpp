// What an answer tells a brewer to do next: it can be typed as it stands, and once it is done it is no longer told.
#include "brewery.hpp"
#include "flowing.hpp"
#include "session.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <map>
#include <regex>
#include <set>

using namespace lotwort;
using namespace lotwort::test;

// What breaks if this breaks: a brewer types what the answer says, and is refused, or is told the same again.

namespace {

constexpr const char* pale = "name = \"pale\"\nvolume_l = 20\noriginal_gravity_sg = 1.048\nboil_minutes = 60\n"
                             "grist = [{item = \"pale ale malt\", share_pct = 100}]\n"
                             "hops = [{item = \"late hop\", stage = \"boil\", minutes = 60, mass_g = 20}]\n";

void set_up(const Brewery& b, const char* hop) {
    b.write("pale.toml", pale);
    b.done("init");
    b.done("receive \"pale ale malt\" 100kg --lot PAM-1");
    b.done(std::string("receive \"late hop\" 500g --lot LAT-1") + hop);
    b.done("brewhouse add garage 20L");
    b.done("recipe add FOLDER/pale.toml");
}

// The command behind "such as", or on a line of its own: without the program's name.
std::string command_in(const std::string& text, const std::string& verb) {
    const std::regex command("lotwort (" + verb + " [^\n;]*)");
    std::smatch found;
    return std::regex_search(text, found, command) ? found[1].str() : "";
}

std::string replaced(std::string text, const std::string& what, const std::string& by) {
    for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + by.size()))
        text.replace(at, what.size(), by);
    return text;
}

// Names as nobody should give them, and as some do.
constexpr const char* malt = "pale malt \"extra\"";
constexpr const char* hop = "brewer's $5 hop";
constexpr const char* house = "old `brew` house";
constexpr const char* recipe = "it's \"the\" $ale";
constexpr const char* supplier = "Hill & Side";

std::string in_single_quotes(const std::string& name) {
    return "'" + replaced(name, "'", "'\\''") + "'";
}

// The commands that an answer shows: behind "next:", "Then:" and the like, each to the end of its line.
std::set<std::string> commands_shown(const std::string& text) {
    std::set<std::string> commands;
    const std::regex shown("(?:next: |^  |such as\n  |: )(lotwort [a-z]+ [^\n;]*)",
                           std::regex::ECMAScript | std::regex::multiline);
    for (auto at = std::sregex_iterator(text.begin(), text.end(), shown); at != std::sregex_iterator(); ++at)
        commands.insert(
            std::regex_replace((*at)[1].str(), std::regex("(, once it is cleared| \\((and|in|the).*)$"), ""));
    return commands;
}

} // namespace

TEST_CASE("a brewhouse's figures are asked for until they are stated, each once") {
    const Brewery b;
    set_up(b, " --alpha 5.4% --analysed 2026-03-01");
    CHECK(holds(b.done("plan pale --on 2026-03-20"), "until you state them: lotwort brewhouse show garage"));
    std::size_t asked = 0;
    for (; asked < 30; ++asked) {
        const std::string said = command_in(b.done("brewhouse show garage"), "brewhouse change");
        if (said.empty()) break;
        INFO(said);
        b.done(said); // an option that states what is stated would be refused: nothing would change
    }
    CHECK(asked > 5);
    CHECK(asked < 30);
    CHECK(!holds(b.done("plan P1"), "until you state"));
}

TEST_CASE("a hop's day of analysis is asked for where its certificate has none, and no more once it is stated") {
    const Brewery b;
    set_up(b, " --alpha 5.4%");
    const std::string command = command_in(b.done("plan pale --on 2026-03-20"), "lot LAT-1 --retest");
    REQUIRE(command == "lot LAT-1 --retest --alpha 5.4% --analysed DATE");
    b.done(replaced(command, "DATE", "2026-02-10"));
    CHECK(!holds(b.done("plan pale --on 2026-03-21"), "no day to age it from"));
    CHECK(holds(b.done("plan pale --on 2026-03-21"), "LAT-1 is taken at"));
}

TEST_CASE("a reading that is there is advised a second time only as a second one") {
    const Brewery b;
    set_up(b, " --alpha 5.4%");
    b.done("plan pale --on 2026-03-14");
    b.done("brew P1");
    b.done("measure B1 kettle-full 24L@95C 1.044");
    const Json next = b.json("reconcile B1")["measure_next"];
    REQUIRE(next.size() > 0);
    const std::string text = b.done("reconcile B1 --full");
    for (std::size_t i = 0; i < next.size(); ++i) {
        const std::string what = next[i]["point"].get<std::string>() + " " + next[i]["kind"].get<std::string>();
        const bool is_read = what == "kettle-full volume" || what == "kettle-full gravity";
        CHECK_MESSAGE(holds(text, what + (is_read ? ", twice (" : " (")), what);
    }
}

TEST_CASE("what is shown to be typed next is taken, whatever things are called") {
    const Workplace place;
    std::set<std::string> shown;
    const auto done = [&](const std::string& line) {
        const auto result = place.run(line + " 2>&1");
        INFO("$ " << line << "\n" << result.out);
        CHECK((result.status == 0 || result.status == 3));
        shown.merge(commands_shown(result.out));
    };
    const std::string m = in_single_quotes(malt), h = in_single_quotes(hop), b = in_single_quotes(house),
                      r = in_single_quotes(recipe), s = in_single_quotes(supplier);
    done("lotwort init");
    done("lotwort receive " + m + " 8kg --kind malt --lot 'M 1'");
    done("lotwort receive " + h + " 100g --kind hop --lot 'H 1' --alpha 6%");
    done("lotwort item change " + m + " --moisture 4%");
    done("lotwort item add 'rye \"malt\"' --kind malt");
    done("lotwort brewhouse add " + b + " 20L");
    done("lotwort brewhouse show " + b);
    done("lotwort brewhouse vessel " + b + " --point kettle-full --dip 0cm=0L --dip 40cm=30L");
    done("printf 'name = \"it'\\''s \\\\\"the\\\\\" $ale\"\\nvolume_l = 20\\n[[grist]]\\nitem = \"pale malt "
         "\\\\\"extra\\\\\"\"\\nmass_kg = 4\\n"
         "[[hops]]\\nitem = \"brewer'\\''s $5 hop\"\\nmass_g = 10\\nminutes = 60\\n' > r.toml; lotwort recipe add "
         "r.toml");
    done("lotwort recipe scale " + r + " 20L");
    done("lotwort");
    done("lotwort plan " + r + " --on 2026-03-10");
    done("lotwort plan " + r + " --on 2026-03-14");
    done("lotwort");
    done("lotwort offer add " + s + " " + m + " 25kg 30");
    done("lotwort buy");
    done("lotwort brew P1");
    done("lotwort measure B1 kettle-full 24L@95C 1.074@20C cast-out 21L@95C 1.047 fermenter 20L 1.047 --sure");
    done("lotwort reconcile B1");
    done("lotwort count 'M 1' 3kg --reason found");
    done("lotwort stock");
    done("lotwort trace 'H 1' --hold damp");
    done("lotwort trace 'H 1' --release");
    done("lotwort lot 'H 1' --retest --alpha 5%");
    done("lotwort");
    CHECK(shown.size() > 12);
    const std::map<std::string, std::string> fills{{" DATE", " 2026-03-20"},       {"VOLUME GRAVITY", "20L 1.046"},
                                                   {"LOT=AMOUNT", "'H 1=5g@dry'"}, {" AMOUNT", " 1g"},
                                                   {"PACK PRICE", "25kg 31"},      {"SUPPLIER", "Dale"},
                                                   {"FILE.toml", "r.toml"}};
    for (std::string line : shown) {
        for (const auto& [placeholder, by] : fills) line = replaced(line, placeholder, by);
        const auto result = place.run(line + " 2>&1");
        INFO("$ " << line << "\n" << result.out);
        CHECK(result.out.find("there is no ") == std::string::npos);
        CHECK(result.status != 2);
    }
}
