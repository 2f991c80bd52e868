// The README's session is what a stranger types first: it runs as it stands, in an empty folder, and prints what it
// says.
#include "session.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

TEST_CASE(
    "the README's sessions print what the README says, and reach a reconciled brew in eight commands without a file") {
    const auto sessions = sessions_in("README.md");
    REQUIRE(!sessions.empty());
    Workplace place; // one after the other
    int commands = 0;
    bool reconciled = false;
    for (const Session& session : sessions)
        for (const Step& step : session.steps) {
            INFO("README.md: $ " << step.command);
            const auto result = place.run("{ " + step.command + "\n} 2>&1");
            CHECK(result.status == 0);
            CHECK(result.out == step.prints);
            if (reconciled) continue;
            ++commands;
            CHECK(step.command.starts_with("lotwort "));
            CHECK(step.command.find(".toml") == std::string::npos);
            CHECK(step.command.find('>') == std::string::npos);
            reconciled = step.command.find("lotwort reconcile") != std::string::npos;
        }
    CHECK(reconciled);
    CHECK(commands <= 8);
}
