// The README's session is what a stranger types first: it runs as it stands, in an empty folder, and prints what it says.
#include "session.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

TEST_CASE("the README's session prints what the README says, and reaches a reconciled brew") {
    const auto sessions = sessions_in("README.md");
    REQUIRE(sessions.size() == 1);
    Workplace place;
    bool reconciled = false;
    for (const Step& step : sessions.front().steps) {
        INFO("README.md: $ " << step.command);
        const auto result = place.run("{ " + step.command + "\n} 2>&1");
        CHECK(result.status == 0);
        CHECK(result.out == step.prints);
        reconciled = reconciled || step.command.find("lotwort reconcile") != std::string::npos;
    }
    CHECK(reconciled);
}
