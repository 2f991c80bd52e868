// Whoever takes from plans what they were promised, and nothing free makes good, is told which plan loses what, and what
// to type.
#include "brewery.hpp"

using namespace lotwort;
using namespace lotwort::test;

namespace {

const std::string lost = "P1 on 2026-03-20 loses what it was promised: 4 kg of PAM-1\n"
                         "what can stand in: lotwort substitute P1\n";

struct Planned : Brewery {
    Planned() {
        done("init");
        done("brewhouse add garage 25L");
        write("pale.toml", "name = \"pale\"\nvolume_l = 20\n[[grist]]\nitem = \"pale ale malt\"\nmass_kg = 4\n");
        done("receive \"pale ale malt\" 5kg --lot PAM-1 --best-before 2026-12-01");
        done("recipe add FOLDER/pale.toml");
        done("plan pale --on 2026-03-20");
    }
    [[nodiscard]] bool says(const std::string& line) const { return done(line).find(lost) != std::string::npos; }
};

} // namespace

TEST_CASE("each verb that breaks a promise says which, and where to look for what can stand in") {
    for (const char* line :
         {"discard PAM-1 all --reason wet", "count PAM-1 0kg --reason stolen", "trace PAM-1 --hold weevils",
          "brew --recipe pale --add PAM-1=5kg"}) {
        const Planned b;
        const Json told = b.json(std::string(line) + " --dry-run");
        REQUIRE_MESSAGE(told["promises_lost"].size() == 1, line);
        CHECK(told["promises_lost"][0]["plan"] == "P1");
        CHECK(told["promises_lost"][0]["lost_kg"] == 4);
        CHECK(told["promises_lost"][0]["again"] == "lotwort substitute P1");
        CHECK_MESSAGE(b.says(line), line);
        CHECK(b.json("plan")["shortages"][0]["missing_kg"] == 4);
    }
}

TEST_CASE("a lot that is shared out or put together with another hands its promise on") {
    const Planned b;
    b.done("receive \"pale ale malt\" 5kg --lot PAM-2");
    CHECK_FALSE(b.says("lot PAM-2 --merge PAM-1 --as BOTH"));
    CHECK(b.json("lot BOTH")["promised_kg"] == 4);
    const Planned other;
    CHECK_FALSE(other.says("lot PAM-1 --split 5kg --as BIN"));
    CHECK(other.json("lot BIN")["promised_kg"] == 4);
}

TEST_CASE("what is taken back, or comes by a file, breaks promises no more silently") {
    const Planned b;
    b.done("count PAM-1 0kg --reason miscounted");
    const Json found = b.json("count PAM-1 5kg --reason found");
    const auto entry = std::to_string(found["entry"]["number"].get<int>());
    CHECK(b.json("reverse " + entry + " --dry-run")["promises_lost"][0]["lost_kg"] == 4);
    CHECK(b.says("reverse " + entry));
    b.done("count PAM-1 5kg --reason found");
    b.done("trace PAM-1 --hold weevils");
    const Json released = b.json("trace PAM-1 --release");
    CHECK(b.says("reverse " + std::to_string(released["entry"]["number"].get<int>())));
    const Planned other;
    other.write("loss.json", R"({"schema": "lotwort/exchange/1", "movements": [
        {"on": "2026-03-14", "lot": "PAM-1", "kind": "discard", "mass_kg": -5, "reason": "wet"}]})");
    CHECK(other.says("import FOLDER/loss.json"));
}

TEST_CASE("where nothing that was promised goes, nothing is said of plans") {
    const Planned b;
    CHECK(b.done("discard PAM-1 1kg --reason wet").find("P1") == std::string::npos);
    CHECK(b.json("count PAM-1 4kg")["promises_lost"].is_null());
    CHECK(b.done("brew P1").find("loses") == std::string::npos); // the plan's own
}
