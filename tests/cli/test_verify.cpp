// A seal that was noted proves the ledger later; one of another ledger does not.
#include "../../src/store/file/sqlite.hpp"
#include "brewery.hpp"
#include <sqlite3.h>

using namespace lotwort;
using namespace lotwort::test;

TEST_CASE("verify --seal accepts the seal it showed, whole or shortened, and still after more was booked") {
    const Brewery brewery;
    brewery.done("init --currency EUR");
    brewery.done("receive sucrose 5kg --lot S-1");
    const std::string seal = brewery.json("verify")["seal"]["sha256"];
    REQUIRE(seal.size() >= 32);
    CHECK(brewery.json("verify --seal " + seal)["proven_to"] == 2);
    CHECK(brewery.json("verify --seal " + seal.substr(0, 16))["proven_to"] == 2);
    brewery.done("discard S-1 1kg --reason spilled");
    CHECK(brewery.json("verify --seal " + seal)["proven_to"] == 2);
    CHECK(brewery.done("verify --seal " + seal).find("nothing was changed or cut off up to entry 2\n") !=
          std::string::npos);
    CHECK(brewery.json("verify")["seal"]["sha256"] != seal);
}

TEST_CASE("verify --seal finds that a ledger is not the one whose seal was noted") {
    const Brewery brewery, other;
    brewery.done("init --currency EUR");
    other.done("init --currency EUR");
    brewery.done("receive sucrose 5kg --lot S-1");
    other.done("receive sucrose 6kg --lot S-1");
    const Said said = other.run("verify --seal " + brewery.json("verify")["seal"]["sha256"].get<std::string>());
    CHECK(said.status == 5);
    CHECK(said.out.find("no entry bears it") != std::string::npos);
}

TEST_CASE("what is not in a damaged ledger is told as damage, in every verb, and not as a fault of the program") {
    const Brewery brewery;
    brewery.done("init --currency EUR");
    brewery.done("receive \"pale ale malt\" 25kg --lot P-1 --price 32.50");
    brewery.done("brewhouse add garage 23L");
    brewery.write("pale.toml", "name = \"pale\"\nvolume_l = 23\noriginal_gravity_sg = 1.048\n"
                               "grist = [{item = \"pale ale malt\", mass_kg = 4.5}]\n");
    brewery.done("recipe add FOLDER/pale.toml");
    brewery.done("brew --recipe pale");
    brewery.done("measure B1 kettle-full 28L@75C 1.043 fermenter 23L 1.048");
    brewery.done("plan pale");
    {
        store::Connection connection(brewery.ledger_path(), store::OpenAs::write, brewery.ledger_path());
        connection.execute("PRAGMA foreign_keys = OFF");
        sqlite3_db_config(connection.handle(), SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
        connection.execute("DELETE FROM item_version");
    }
    for (const char* line : {"trend", "reconcile B1", "explain B1", "plan P1", "stock", "buy", "lot P-1", "report",
                             "substitute P1", "trace P-1", "brew --recipe pale", "measure B1 cast-out 25L"}) {
        CAPTURE(std::string(line));
        const Said said = brewery.run(line); // a fault of the program would be thrown
        if (said.status == 4) CHECK(said.error.find(" is damaged (") != said.error.npos);
    }
    const Said trend = brewery.run("trend");
    CHECK(trend.status == 4);
    CHECK(trend.hint == "`lotwort verify` lists its faults; keep a copy of it, then put a backup in its place");
    CHECK(brewery.run("verify").status == 5);
}

TEST_CASE("what a brew cost by what went in stands with the brew and with its trace") {
    const Brewery brewery;
    brewery.done("init --currency EUR");
    brewery.write("pale.toml", "name = \"pale\"\nvolume_l = 23\noriginal_gravity_sg = 1.048\n"
                               "grist = [{item = \"pale ale malt\", mass_kg = 4.5}]\n");
    brewery.done("receive \"pale ale malt\" 25kg --lot P-1 --price 32.50");
    brewery.done("receive \"late hop\" 1kg --lot H-1 --price 30");
    brewery.done("receive sucrose 1kg --lot S-1");
    brewery.done("brewhouse add garage 23L");
    brewery.done("recipe add FOLDER/pale.toml");
    brewery.done("brew --recipe pale --add P-1=4.5kg --add H-1=30g@boil,60 --add S-1=100g@boil,5");
    for (const char* verb : {"brew", "trace"}) {
        Json answer = brewery.json(std::string(verb) + " B1");
        if (answer["brew"].contains("cost")) answer = answer["brew"];
        CHECK(answer["cost"] == 6.75); // 32.50 * 4.5/25 + 30 * 0.03
        CHECK(answer["without_price"] == Json::array({"S-1"}));
    }
    CHECK(brewery.done("brew B1").find("\ncost: 6.75 EUR, without S-1: no price is known\n") != std::string::npos);
    brewery.done("brew B1 --abandon \"the pump burst\" --used H-1=30g");
    CHECK(brewery.json("brew B1")["cost"] == 0.9); // the malt came back
}
