// A new brewery is asked for what its first brew needs.
#include "brewery.hpp"
#include "session.hpp"
#include <doctest/doctest.h>
#include <map>

using namespace lotwort::test;

namespace {

// Answers by a word of the question; an empty line where none fits. `asked` in order.
struct Terminal {
    std::map<std::string, std::string> answers;
    std::vector<std::string> asked{};
    void sit_at(Brewery& b) {
        b.surroundings().ask = [this](const std::string& question) -> std::optional<std::string> {
            asked.push_back(question);
            for (const auto& [word, answer] : answers)
                if (question.find(word) != std::string::npos) return answer;
            return "";
        };
    }
};

} // namespace

TEST_CASE("every question has a default, and empty lines alone make a brewery that can plan") {
    Brewery b;
    Terminal terminal;
    terminal.sit_at(b);
    const std::string said = b.done("init");
    for (const std::string& question : terminal.asked) {
        CAPTURE(question);
        CHECK(question.find(" [") != std::string::npos);
    }
    CHECK(said.find("  lotwort brewhouse add house 23L --sparge batch\n") != std::string::npos);
    CHECK(said.find("  lotwort brewhouse instrument hydrometer --kind hydrometer\n") != std::string::npos);
    CHECK(b.json("brewhouse")["brewhouses"][0]["stated"]["volume_l"] == 23);
}

TEST_CASE("at a real terminal Enter takes what stands in brackets") {
    const Workplace place; // script, of Debian's essential bsdutils, gives the program a terminal
    const auto said = place.run("(yes '' | head -8) | script -qec 'lotwort init' /dev/null");
    CHECK(said.out.find("lotwort brewhouse add house 23L --sparge batch") != std::string::npos);
    CHECK(said.out.find("lotwort brewhouse instrument hydrometer --kind hydrometer") != std::string::npos);
    CHECK(place.run("lotwort brewhouse list").out.find("house") != std::string::npos);
}

TEST_CASE("each answer is an entry, and the commands shown make the same brewery") {
    Brewery asked, typed;
    Terminal terminal{{{"put in the fermenter", "40L"},
                       {"of the malt's extract?", "74%"},
                       {"What is in stock", "pale ale malt=25kg"},
                       {"beside 1 told", "bittering hop=200g"}}};
    terminal.sit_at(asked);
    const std::string said = asked.done("init");
    typed.done("init --yes");
    std::size_t commands = 0;
    for (auto at = said.find("\n  lotwort "); at != std::string::npos; at = said.find("\n  lotwort ", at + 1)) {
        const auto from = at + std::string("\n  lotwort ").size();
        typed.done(said.substr(from, said.find('\n', from) - from));
        ++commands;
    }
    CHECK(commands == 4);
    CHECK(asked.json("history")["entries"].size() == 5);
    CHECK(asked.json("brewhouse") == typed.json("brewhouse"));
    CHECK(asked.json("stock") == typed.json("stock"));
    CHECK(said.find("next: lotwort recipe add") != std::string::npos);
}

TEST_CASE("a wrong answer is asked again with the reason, and the end of the input ends the questions") {
    Brewery b;
    int volume_asked = 0;
    std::string again;
    b.surroundings().ask = [&](const std::string& question) -> std::optional<std::string> {
        if (question.find("Shall the first") != std::string::npos) return "yes";
        if (question.find("put in the fermenter") != std::string::npos) {
            again = question;
            return ++volume_asked == 1 ? "40" : "40L";
        }
        if (question.find("sparge") != std::string::npos) return "batch";
        return std::nullopt;
    };
    b.done("init");
    CHECK(volume_asked == 2);
    CHECK(again.find("40") < again.find("How much is a brew"));
    CHECK(b.json("brewhouse")["brewhouses"].size() == 0); // what was not told to its end is not booked
}

TEST_CASE("the same wrong answer is asked again as another is, and what ended the questions is said") {
    Brewery b;
    int volume_asked = 0;
    b.surroundings().ask = [&](const std::string& question) -> std::optional<std::string> {
        if (question.find("put in the fermenter") == std::string::npos) return "";
        return ++volume_asked < 4 ? "40" : "40L";
    };
    b.done("init");
    CHECK(volume_asked == 4);
    CHECK(b.json("brewhouse")["brewhouses"][0]["stated"]["volume_l"] == 40);

    Brewery stubborn;
    stubborn.surroundings().ask = [&](const std::string& question) -> std::optional<std::string> {
        return question.find("put in the fermenter") == std::string::npos ? "" : "40";
    };
    CHECK(stubborn.done("init").find("the last answer was not taken:\n`40` has no unit\n") != std::string::npos);
}

TEST_CASE("stock that is refused four times ends the questions, and the last reason is said") {
    Brewery b;
    int asked = 0;
    b.surroundings().ask = [&](const std::string& question) -> std::optional<std::string> {
        if (question.find("What is in stock") == std::string::npos) return "";
        ++asked;
        return "pale ale malt=25";
    };
    const std::string said = b.done("init");
    CHECK(asked == 4);
    CHECK(said.find("the last answer was not taken:\n`25` has no unit\n") != std::string::npos);
    CHECK(b.json("brewhouse")["brewhouses"].size() == 1); // what was taken before stays
}

TEST_CASE("an efficiency is answered as --efficiency takes it") {
    Brewery b;
    Terminal terminal{{{"of the malt's extract?", "72%±2@kettle"}}};
    terminal.sit_at(b);
    b.done("init");
    const Json stated = b.json("brewhouse")["brewhouses"][0]["stated"];
    CHECK(stated["efficiency_kettle_pct"] == 72);
    CHECK(stated["efficiency_sd_pct"] == 2);
    for (const std::string& question : terminal.asked)
        CHECK(question.find("or in the kettle?") == std::string::npos); // said already
}

TEST_CASE("nothing is asked with --yes, of a machine, or where it is refused") {
    for (const char* line : {"init --yes", "init --json", "init --dry-run"}) {
        Brewery b;
        Terminal terminal;
        terminal.sit_at(b);
        b.done(line);
        CHECK(terminal.asked.empty());
    }
    Brewery b;
    Terminal terminal{{{"Shall the first", "no"}}};
    terminal.sit_at(b);
    CHECK(b.done("init").find("booked what you answered") == std::string::npos);
    CHECK(terminal.asked.size() == 1);
}

TEST_CASE("who ends the questions in the middle is told that nothing of the brewhouse is booked") {
    Brewery b;
    b.surroundings().ask = [](const std::string& question) -> std::optional<std::string> {
        if (question.find("How do you sparge") != std::string::npos) return std::nullopt; // Ctrl-D
        return "";
    };
    CHECK(b.done("init").find("the questions ended before the brewhouse was told: nothing of it is booked") !=
          std::string::npos);
    CHECK(b.json("brewhouse")["brewhouses"].empty());
}
