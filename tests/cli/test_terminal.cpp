// What a terminal adds: lines as wide as it is, words completed with what they are, and colour for what is wrong.
#include "answers.hpp"
#include "brewery.hpp"
#include "session.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/brew/brewhouse.hpp>
#include <lotwort/cli/colour.hpp>
#include <lotwort/report/table.hpp>
#include <sstream>

using namespace lotwort;
using namespace lotwort::test;

namespace {

std::size_t widest(const std::string& text) {
    std::istringstream lines(text);
    std::size_t most = 0;
    for (std::string line; std::getline(lines, line);) most = std::max(most, report::display_width(line));
    return most;
}

struct Stocked : Brewery {
    Stocked() : Brewery("2026-03-10") {
        begin({"\"pale ale malt\" 25kg --lot PAM-1",
               "\"a malt of a name that is long beyond all bearing\" 5kg --kind malt"});
    }
};

std::string completed(const Brewery& b, const std::string& line) {
    return b.run("--complete " + line).out;
}

} // namespace

TEST_CASE("a name is whole where there is room, and cut where the terminal is narrow") {
    Stocked b;
    const std::string name = "a malt of a name that is long beyond all bearing";
    b.surroundings().columns = 160;
    CHECK(b.done("stock --lots").find(name) != std::string::npos);
    b.surroundings().columns = 60;
    const std::string narrow = b.done("stock");
    CHECK(narrow.find(name) == std::string::npos);
    CHECK(narrow.find("…") != std::string::npos);
    CHECK(widest(narrow) <= 60);
    b.surroundings().columns.reset(); // a file or a pipe
    CHECK(widest(b.done("stock")) <= 80);
}

TEST_CASE("prose stays readable on a wide terminal and fits a narrow one") {
    Stocked b;
    for (const std::size_t columns : {40U, 79U, 200U}) {
        b.surroundings().columns = columns;
        CAPTURE(columns);
        const std::string said = b.done("receive \"wheat malt\" 5kg -n");
        CHECK(widest(said) <= std::min<std::size_t>(80, columns));
    }
}

TEST_CASE("completion offers the values that an option takes, and no others") {
    const Stocked b;
    CHECK(completed(b, "export --rows st") == "stock\n");
    CHECK(completed(b, "receive malt 1kg --basis fine") == "fine-as-is\nfine-dry\n");
    CHECK(completed(b, "item change \"pale ale malt\" --class high") == "high-kilned\n");
    CHECK(completed(b, "brewhouse add k 23L --sparge \"\"") == "batch\ncontinuous\nnone\n");
    CHECK(completed(b, "substitute P1 --kind near") == "nearest\n");
    CHECK(completed(b, "history --kind rec") == "receive\nrecipe\n");
    CHECK(completed(b, "convert 81% --to pl") == "plato\n");
    CHECK(completed(b, "stock --units u") == "us\n");
    CHECK(completed(b, "brewhouse vessel home --point kettle-f") == "kettle-full\n");
    CHECK(completed(b, "receive malt 1kg --note \"\"") == "");
}

TEST_CASE("each value that completion offers of an option that lists its values is taken") {
    const Stocked b;
    std::istringstream sparges(completed(b, "brewhouse add k 23L --sparge \"\""));
    int count = 0;
    for (std::string way; std::getline(sparges, way); ++count)
        CHECK(b.run("brewhouse add other 23L -n --sparge " + way).status == 0);
    CHECK(count == static_cast<int>(WordsOf<Sparge>::list.size()));
    std::istringstream rows(completed(b, "export --rows \"\""));
    for (std::string kind; std::getline(rows, kind);) CHECK(b.run("export - --rows " + kind).status == 0);
}

TEST_CASE("verbs and options are completed with what they are, for the shells that show it") {
    const Stocked b;
    CHECK(b.run("--complete-described disc").out == "discard  take spoiled or lost stock out, with the reason\n");
    CHECK(b.run("--complete-described stock --lo").out.starts_with("--lots  "));
    CHECK(b.run("--complete-described discard PAM").out == "PAM-1\n");
    CHECK(completed(b, "--ver") == "--version\n");
    CHECK(completed(b, "help stat") == "statement\n");
    CHECK(completed(b, "--completion z") == "zsh\n");
}

TEST_CASE("help and version are words too") {
    const Stocked b;
    CHECK(b.done("help stock") == b.done("stock --help"));
    CHECK(b.done("help") == b.done("--help"));
    CHECK(b.done("version") == b.done("--version"));
    CHECK(b.run("help stok").error == "there is no verb `stok`");
}

TEST_CASE("an answer has one form") {
    const Stocked b;
    const Said both = b.run("stock --json --csv");
    CHECK(both.status == 2);
    CHECK(both.error == "--csv and --json are two forms of one answer");
    CHECK(both.out.empty());
}

TEST_CASE("colour stands on the words that say what is wrong, and takes none away") {
    CHECK(cli::coloured("Lacking: 1 kg of pale malt.\n") == "\033[1;31mLacking:\033[0m 1 kg of pale malt.\n");
    CHECK(cli::coloured("chocolate malt, translacking\n") == "chocolate malt, translacking\n");
    CHECK(cli::coloured("O1  overdue\n") == "O1  \033[1;31moverdue\033[0m\n");
    CHECK(cli::coloured("") == "");
}

TEST_CASE("a program that asked for JSON is told a refusal in JSON, and of which word it is") {
    const Workplace place;
    (void)place.run("lotwort init --yes");
    const auto told = [&](const std::string& line) {
        const std::string answer = place.run(line + " 2>/dev/null").out;
        CHECK(against_its_schema(answer) == "");
        return Json::parse(answer);
    };
    const Json price = told("lotwort receive malt 5kg --price 3,8,5 --json");
    CHECK(price["schema"] == "lotwort/refusal/1");
    CHECK(price["verb"] == "receive");
    CHECK(price["error"]["kind"] == "refused");
    CHECK(price["error"]["field"] == "price");
    CHECK(price["error"]["status"] == 1);
    CHECK(told("lotwort receive malt 5 --json")["error"]["field"] == "AMOUNT");
    CHECK(told("lotwort recieve malt 5kg --json")["error"]["hint"] == "did you mean `receive` or `recipe`?");
    CHECK(told("lotwort stock --ledger nowhere --json")["error"]["status"] == 4);
    const auto person = place.run("lotwort receive malt 5 2>/dev/null");
    CHECK(person.out.empty()); // people are told on standard error alone
    CHECK(person.status == 1);
    CHECK(place.run("lotwort receive malt 5 -- --json 2>/dev/null").out.empty()); // a word, not the option
}
