// What programs rely on: every answer of every verb is as its published schema says.
#include "answers.hpp"
#include "every_option.hpp"
#include "golden.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>
#include <set>

using namespace lotwort;
using namespace lotwort::test;

namespace {

bool answers_in_json(const cli::Command& command) {
    const auto options = cli::all_options(command);
    return std::ranges::find(options, "json", &cli::Option::name) != options.end();
}

const cli::Command& command_of(const std::string& verb) {
    const auto found = std::ranges::find(cli::commands(), verb, [](const auto* c) { return c->name; });
    REQUIRE(found != cli::commands().end());
    return **found;
}

// Where a schema says of a list or a record nothing but that it is one.
void without_shape(const nlohmann::json& part, const std::string& at, std::vector<std::string>& found) {
    if (part.is_object() && part.contains("type")) {
        if (part["type"] == "array" && part.value("items", nlohmann::json::object()).empty()) found.push_back(at);
        if (part["type"] == "object" && !part.contains("properties") && !part.contains("additionalProperties"))
            found.push_back(at);
    }
    if (!part.is_structured()) return;
    for (const auto& [name, inner] : part.items()) without_shape(inner, at + "/" + name, found);
}

} // namespace

TEST_CASE("a schema says what is in each of its lists and records") {
    std::vector<std::string> found;
    for (const auto& file :
         std::filesystem::directory_iterator(std::filesystem::path(LOTWORT_SOURCE_DIR) / "docs/schemas"))
        if (file.path().extension() == ".json")
            without_shape(nlohmann::json::parse(project_file("docs/schemas/" + file.path().filename().string())),
                          file.path().stem().string(), found);
    CHECK(fmt::format("{}", fmt::join(found, "\n")) == "");
}

TEST_CASE("the answer of each way of each verb is as its schema says, and each verb has one") {
    Brewery b;
    stock_every_kind(b);
    const std::string kept = b.read("ledger.lotwort");
    std::set<std::string> held;
    for (const Way& way : every_way()) {
        if (!way.only.empty() || way.verb() == "serve" || !answers_in_json(command_of(way.verb()))) continue;
        b.write("ledger.lotwort", kept);
        if (way.verb() == "init") std::filesystem::remove(b.ledger_path());
        const Said said = b.run(way.line + " --json");
        if (!said.out.starts_with("{")) continue; // a file, or a way that programs have another form of
        CAPTURE(way.line);
        CHECK(against_its_schema(said.out) == "");
        held.insert(way.verb());
    }
    for (const cli::Command* command : cli::commands())
        if (answers_in_json(*command) && command->name != "serve") // which answers when it listens: tests/serve
            CHECK_MESSAGE(held.contains(std::string(command->name)), command->name);
}
