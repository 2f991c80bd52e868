// Every page of docs/commands is the help of a verb, tells all its options and no others, and its example runs and
// prints what the page says.
#include "golden.hpp"
#include "session.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <lotwort/cli/program.hpp>
#include <regex>
#include <set>
#include <sstream>

using namespace lotwort;
using namespace lotwort::test;
namespace fs = std::filesystem;

namespace {

std::set<std::string> page_names() {
    std::set<std::string> names;
    for (const auto& entry : fs::directory_iterator(fs::path(LOTWORT_SOURCE_DIR) / "docs/commands"))
        if (entry.path().extension() == ".md") names.insert(entry.path().stem().string());
    return names;
}

std::string page_text(std::string_view name) {
    return project_file("docs/commands/" + std::string(name) + ".md");
}

// The options a page lists: lines that begin "- --name".
std::multiset<std::string> listed_options(const std::string& page) {
    std::multiset<std::string> names;
    const std::regex item("(^|\n)- --([a-z-]+)");
    for (std::sregex_iterator at(page.begin(), page.end(), item), end; at != end; ++at) names.insert((*at)[2].str());
    return names;
}

} // namespace

TEST_CASE("each verb has a page, and each page a verb") {
    std::set<std::string> expected{"lotwort"};
    for (const cli::Command* command : cli::commands()) expected.insert(std::string(command->name));
    CHECK(page_names() == expected);
}

TEST_CASE("a page lists the options its verb takes, each once, and no others") {
    for (const cli::Command* command : cli::commands()) {
        CAPTURE(std::string(command->name));
        const std::string page = page_text(command->name);
        std::multiset<std::string> declared;
        for (const cli::Option& option : cli::all_options(*command)) {
            declared.insert(std::string(option.name));
            const std::string shown =
                "- --" + std::string(option.name) + (option.value.empty() ? "" : " " + std::string(option.value));
            CHECK_MESSAGE(page.find(shown) != std::string::npos, "missing: " << shown);
        }
        CHECK(listed_options(page) == declared);
    }
}

TEST_CASE("a page begins with its name, shows the usage, and has an example that uses the verb") {
    for (const cli::Command* command : cli::commands()) {
        const std::string name(command->name);
        CAPTURE(name);
        const std::string page = page_text(name);
        CHECK(page.starts_with("# lotwort " + name + "\n"));
        CHECK(page.find("\nUsage: lotwort " + name) != std::string::npos);
        for (const auto& positional : command->positionals)
            CHECK_MESSAGE(page.find(std::string(positional.name)) != std::string::npos, std::string(positional.name));
        bool used = false;
        for (const Session& session : sessions_of(name))
            for (const Step& step : session.steps)
                used = used || step.command.find("lotwort " + name) != std::string::npos;
        CHECK(used);
    }
}

TEST_CASE("no page has a space at a line's end") {
    for (const std::string& name : page_names()) {
        CAPTURE(name);
        const std::string page = page_text(name);
        CHECK_FALSE(std::regex_search(page, std::regex("[ \t]\n")));
    }
}

TEST_CASE("the examples of the pages print what the pages say") {
    for (const std::string& name : page_names()) {
        Workplace place;
        for (const Session& session : sessions_of(name)) {
            if (!session.after.empty()) place.prepare(session.after);
            for (const Step& step : session.steps) {
                INFO("docs/commands/" << name << ".md: $ " << step.command);
                CHECK(place.run("{ " + step.command + "\n} 2>&1").out == step.prints);
            }
        }
    }
}

TEST_CASE("--help prints the page without its marks, whatever else is missing") {
    Workplace place;
    for (const cli::Command* command : cli::commands()) {
        CAPTURE(std::string(command->name));
        const auto help = place.run("lotwort " + std::string(command->name) + " --help");
        CHECK(help.status == 0);
        CHECK(help.out.starts_with("lotwort " + std::string(command->name) + "\n"));
        CHECK(help.out.find("```") == std::string::npos);
        const bool fits = !std::regex_search(help.out, std::regex("(^|\n)[^ \n][^\n]{120}")); // 80, and room for UTF-8
        CHECK(fits);
    }
}

// What breaks if this breaks: a table or a file's lines run together into one paragraph, as `name = "shed" volume_l = 23`.
TEST_CASE("what stands line by line in a page stands so in its help") {
    Workplace place;
    for (const std::string& name : page_names()) {
        CAPTURE(name);
        const std::string help = place.run("lotwort " + (name == "lotwort" ? "" : name) + " --help").out;
        std::istringstream page(page_text(name));
        bool fenced = false, may_begin = true; // behind an empty line or other code
        for (std::string line; std::getline(page, line);) {
            const bool fence = line.starts_with("```"), indented = may_begin && line.starts_with("    ");
            if (fence) fenced = !fenced;
            if (!fence && (fenced || indented))
                CHECK_MESSAGE(help.find((indented ? line.substr(4) : line) + "\n") != std::string::npos, line);
            may_begin = line.empty() || indented;
        }
    }
}
