// The table of verbs, and the words of a command line sorted under their names.
#include <doctest/doctest.h>
#include <functional>
#include <lotwort/cli/program.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/report/table.hpp>
#include <set>
#include <sstream>

using namespace lotwort;
using namespace lotwort::cli;

namespace {

const Command& verb(std::string_view name) {
    for (const Command* command : commands())
        if (command->name == name) return *command;
    throw std::runtime_error("no verb " + std::string(name));
}

std::string usage_refusal(const std::string& name, const std::vector<std::string>& words) {
    try {
        (void)parse_arguments(verb(name), words);
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::usage);
        return std::string(e.what()) + " | " + e.hint();
    }
    return "taken";
}

} // namespace

TEST_CASE("verbs have names of their own, stand together by group, and can run") {
    std::set<std::string_view> names;
    std::set<Group> groups;
    std::optional<Group> before;
    for (const Command* command : commands()) {
        CAPTURE(std::string(command->name));
        CHECK(names.insert(command->name).second);
        const bool runs = command->run != nullptr;
        CHECK(runs);
        CHECK(!command->summary.empty());
        CHECK(!command->summary.ends_with('.'));
        CHECK(command->summary.size() + 13 < 90); // a line of the list
        if (before != command->group) CHECK(groups.insert(command->group).second);
        before = command->group;
    }
}

TEST_CASE("options have names of their own, in small letters, and say what they are") {
    for (const Command* command : commands()) {
        std::set<std::string_view> names;
        for (const Option& option : all_options(*command)) {
            CAPTURE(std::string(command->name) + " --" + std::string(option.name));
            CHECK(names.insert(option.name).second);
            CHECK(option.name.find_first_not_of("abcdefghijklmnopqrstuvwxyz-") == std::string_view::npos);
            CHECK(!option.what.empty());
        }
    }
}

TEST_CASE("only the last words of a verb may be left out or be many") {
    for (const Command* command : commands()) {
        CAPTURE(std::string(command->name));
        bool optional = false;
        for (std::size_t i = 0; i < command->positionals.size(); ++i) {
            const Positional& positional = command->positionals[i];
            CHECK((positional.optional || !optional));
            optional = optional || positional.optional;
            CHECK((!positional.many || i + 1 == command->positionals.size()));
        }
    }
}

TEST_CASE("words go under the declared names, wherever they stand") {
    const auto words =
        parse_arguments(verb("receive"), {"--lot", "PAM-7", "pale ale malt", "--price=32.50", "25kg", "-n"});
    CHECK(words.required("ITEM") == "pale ale malt");
    CHECK(words.required("AMOUNT") == "25kg");
    CHECK(words.text("lot") == "PAM-7");
    CHECK(words.text("price") == "32.50");
    CHECK(words.has("dry-run"));
    CHECK(!words.has("json"));
    CHECK_THROWS_AS((void)words.has("no such option"), Bug);
}

TEST_CASE("behind -- a word may begin with a dash") {
    const auto words = parse_arguments(verb("stock"), {"--", "-odd name"});
    CHECK(words.text("ITEM") == "-odd name");
}

TEST_CASE("an option is never guessed from its beginning") {
    // --no would otherwise pass for --note
    CHECK(usage_refusal("receive", {"malt", "25kg", "--no", "why"}).starts_with("`--no` is not an option of receive"));
    CHECK(usage_refusal("receive", {"malt", "25kg", "--prise", "3"}) ==
          "`--prise` is not an option of receive | did you mean `--price`?");
}

TEST_CASE("what is missing, twice or too much is said with the usage") {
    CHECK(usage_refusal("discard", {"A"}) ==
          "AMOUNT is missing: how much, with its unit, or all | write: lotwort discard LOT AMOUNT");
    CHECK(usage_refusal("receive", {"pale", "ale", "malt", "25kg"}) ==
          "`malt` is one word too many | a name with spaces goes in quotes: lotwort receive \"pale ale malt\" 25kg");
    CHECK(usage_refusal("receive", {"malt", "25kg", "--lot", "A", "--lot", "B"})
              .starts_with("--lot is given more than once"));
    CHECK(usage_refusal("receive", {"malt", "25kg", "--lot"}).starts_with("--lot needs a value"));
    CHECK(usage_refusal("receive", {"malt", "25kg", "--lot="}).starts_with("--lot needs a value"));
    CHECK(usage_refusal("stock", {"--lots=yes"}).starts_with("--lots takes no value"));
    CHECK(
        usage_refusal("count", {"PAM-1", "-5kg"}) ==
        "`-5kg` is not an option of count | an amount is written without a sign: 5kg; what must begin with a dash goes "
        "behind `--`");
}

TEST_CASE("an empty value, and a value that is itself an option, is refused for every option of every verb") {
    for (const Command* command : commands())
        for (const Option& option : all_options(*command)) {
            if (option.value.empty()) continue;
            const std::string name = "--" + std::string(option.name);
            CAPTURE(std::string(command->name) + " " + name);
            for (const char* empty : {"", "  "})
                CHECK(usage_refusal(std::string(command->name), {name, empty}) ==
                      "the value of " + name + " is empty | write " + name + " " + std::string(option.value) + ": " +
                          std::string(option.what));
            for (const char* other : {"--json", "--", "-n", "-h", "--no such thing"})
                if (option.alone.empty())
                    CHECK(
                        usage_refusal(std::string(command->name), {name, other}).starts_with(name + " needs a value"));
            const auto meant = parse_arguments(*command, {"--help", name + "=--json"});
            CHECK(meant.all(option.name) == std::vector<std::string>{"--json"});
        }
}

TEST_CASE("an empty word is refused wherever a verb takes one") {
    for (const Command* command : commands()) {
        std::vector<std::string> words;
        for (const Positional& positional : command->positionals) {
            CAPTURE(std::string(command->name) + " " + std::string(positional.name));
            words.emplace_back("");
            CHECK(usage_refusal(std::string(command->name), words)
                      .starts_with(std::string(positional.name) + " is empty: "));
            words.back() = "word";
        }
    }
}

TEST_CASE("what was typed and nobody asked for is named, and an option that was asked for is not") {
    const auto words = parse_arguments(verb("receive"), {"malt", "25kg", "--lot", "A", "--note", "why", "--json"});
    CHECK(words.has("lot")); // that it is there is not yet what it says
    CHECK(words.unused() == std::vector<std::string>{"`25kg`", "`malt`", "--json", "--lot", "--note"});
    CHECK(words.required("ITEM") == "malt");
    CHECK(words.text("lot") == "A");
    CHECK(words.has("json"));
    CHECK(words.unused() == std::vector<std::string>{"`25kg`", "--note"});
}

TEST_CASE("--csv and --json do not go together") {
    for (const Command* command : commands())
        if (command->has_rows && (command->positionals.empty() || command->positionals.front().optional))
            CHECK(usage_refusal(std::string(command->name), {"--csv", "--json"})
                      .starts_with("--csv and --json are two forms of one answer"));
}

TEST_CASE("--help is heard whatever is missing") {
    CHECK(parse_arguments(verb("receive"), {"--help"}).has("help"));
}

TEST_CASE("the day is today, or the one given, and never one to come") {
    Surroundings around;
    around.today = *parse_iso_date("2026-03-10");
    const auto day = [&](std::vector<std::string> words) {
        words.insert(words.end(), {"malt", "25kg"});
        return to_iso(Call(verb("receive"), parse_arguments(verb("receive"), words), around).on());
    };
    CHECK(day({}) == "2026-03-10");
    CHECK(day({"--on", "2026-03-01"}) == "2026-03-01");
    CHECK(day({"--on", "yesterday"}) == "2026-03-09");
    CHECK_THROWS_WITH_AS((void)day({"--on", "2026-03-11"}), "2026-03-11 has not come yet", Error);
}

TEST_CASE("the ledger is the one named, else the variable's, else in the data folder") {
    Surroundings around;
    const auto path = [&](const std::vector<std::string>& words) {
        return Call(verb("stock"), parse_arguments(verb("stock"), words), around).ledger_path();
    };
    CHECK_THROWS_AS((void)path({}), Error);
    around.home = "/home/brewer";
    CHECK(path({}) == "/home/brewer/.local/share/lotwort/ledger.lotwort");
    around.data_home = "relative"; // the XDG specification has it ignored
    CHECK(path({}) == "/home/brewer/.local/share/lotwort/ledger.lotwort");
    around.data_home = "/data";
    CHECK(path({}) == "/data/lotwort/ledger.lotwort");
    around.ledger = "mine.lotwort";
    CHECK(path({}) == "mine.lotwort");
    CHECK(path({"--ledger", "other.lotwort"}) == "other.lotwort");
}

TEST_CASE("-h asks for a verb's page, whatever else is missing") {
    CHECK(parse_arguments(verb("receive"), {"-h"}).has("help"));
}

TEST_CASE("a page fits a terminal, and so does what its example prints but for long messages of a refusal") {
    for (const Command* command : commands()) {
        std::istringstream page(help_text(command->name));
        for (std::string line; std::getline(page, line);) {
            CAPTURE(line);
            const bool said_by_a_refusal = line.starts_with("lotwort ") || line.starts_with("add what went in");
            const bool typed = line.starts_with("$ echo") || line.starts_with("$ printf");
            if (!said_by_a_refusal && !typed) CHECK(report::display_width(line) <= report::usual_line);
        }
    }
}
