// A refusal in parts, for programs.
#include "json.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/verbs/refusal.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

std::string field(const char* verb, const verbs::NamedWords& words, const char* message) {
    const auto commands = verbs::commands();
    const auto command = std::ranges::find(commands, verb, [](const auto* c) { return c->name; });
    return verbs::refusal_of(**command, words, Error(ErrorKind::refused, message)).field;
}

} // namespace

TEST_CASE("a refusal names the word it is about: the one it begins with, else the one it quotes") {
    CHECK(field("receive", {}, "--price `x` is not an amount of money") == "price");
    CHECK(field("receive", {}, "the value of --lot is empty") == "lot");
    CHECK(field("receive", {}, "AMOUNT is missing: how much") == "AMOUNT");
    CHECK(field("receive", {{"ITEM", {"malt"}}, {"AMOUNT", {"5"}}}, "`5` has no unit") == "AMOUNT");
    CHECK(field("receive", {{"ITEM", {"5"}}, {"AMOUNT", {"5"}}}, "`5` has no unit").empty());
    CHECK(field("receive", {{"ITEM", {"malt"}}}, "the ledger is busy").empty());
    CHECK(field("receive", {}, "--priced is nothing").empty());
}

TEST_CASE("its JSON has kind, status, message, hint and field, and leaves out what there is not") {
    const auto json =
        Json::parse(report::refusal_json({"receive", ErrorKind::usage, "no unit", "write 5kg", "AMOUNT"}));
    CHECK(json["schema"] == "lotwort/refusal/1");
    CHECK(json["verb"] == "receive");
    const auto error = json["error"];
    CHECK(error["kind"] == "usage");
    CHECK(error["status"] == 2);
    CHECK(error["message"] == "no unit");
    CHECK(error["hint"] == "write 5kg");
    CHECK(error["field"] == "AMOUNT");
    const auto bare = Json::parse(report::refusal_json({{}, ErrorKind::ledger, "busy", {}, {}}));
    CHECK(bare["error"]["kind"] == "ledger");
    CHECK(!bare.contains("verb"));
    CHECK(!bare["error"].contains("hint"));
    CHECK(!bare["error"].contains("field"));
    CHECK(!bare["error"].contains("changed"));
    report::Refusal late{"discard", ErrorKind::refused, "others have booked", {}, {}};
    late.changed = {{4, "Ben", "received WM-1"}, {3, "", "counted"}};
    const auto changed = Json::parse(report::refusal_json(late))["error"]["changed"];
    CHECK(changed == Json::parse(R"([{"entry": 4, "by": "Ben", "what": "received WM-1"},
                                     {"entry": 3, "what": "counted"}])"));
}
