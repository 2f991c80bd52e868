// What no verb would book is refused of a file too, with its place.
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/exchange_file.hpp>

using namespace lotwort;

namespace {

constexpr std::string_view ledger_text = R"({"schema": "lotwort/exchange/1",
"items": [{"name": "pale malt", "kind": "malt"}, {"name": "hop", "kind": "hop"}, {"name": "yeast", "kind": "yeast"}],
"brewhouses": [{"name": "main", "volume_l": 20}],
"lots": [{"code": "PM-1", "item": "pale malt", "received": "2026-03-01", "mass_kg": 25}],
"brews": [{"code": "B1", "date": "2026-03-02", "brewhouse": "main"}]})";

// What an import on 2026-03-14 says of a file that holds these lists; empty where it takes them.
std::string refusal(const std::string& lists) {
    const std::string text = "{\"schema\": \"lotwort/exchange/1\",\n" + lists + "}";
    const Book ledger = read_exchange(ledger_text, "ledger");
    try {
        Places places;
        const Book file = read_exchange(text, "f", &places);
        (void)new_in(file, ledger, "f", places, parse_iso_date("2026-03-14"));
        return {};
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::refused);
        return error.what();
    }
}

std::string lot(const std::string& fields) {
    return refusal(R"("lots": [{"code": "L1", )" + fields + "}]");
}
std::string malt(const std::string& fields) {
    return lot(R"("item": "pale malt", "received": "2026-03-03", )" + fields);
}

} // namespace

TEST_CASE("what has happened has not happened on a day to come") {
    CHECK(lot(R"("item": "pale malt", "received": "2199-01-01", "mass_kg": 5)") ==
          "f:2:19: lot L1: received on 2199-01-01, a day that has not come");
    CHECK(lot(R"("item": "pale malt", "received": "2026-03-15", "mass_kg": 5)") ==
          "f:2:19: lot L1: received on 2026-03-15, a day that has not come");
    CHECK(lot(R"("item": "pale malt", "received": "2026-03-14", "mass_kg": 5, "best_before": "2199-01-01")").empty());
    CHECK(malt(R"("mass_kg": 5, "opened": "2026-04-01")") ==
          "f:2:19: lot L1: opened on 2026-04-01, a day that has not come");
    CHECK(malt(R"("mass_kg": 5, "retests": [{"on": "2026-04-01", "moisture_pct": 5}])") ==
          "f:2:19: lot L1: retested on 2026-04-01, a day that has not come");
    CHECK(malt(R"("mass_kg": 5, "certificate": {"moisture_pct": 5, "analysed": "2026-04-01"}})") != "");
    CHECK(refusal(R"("brews": [{"code": "B2", "date": "2199-01-01", "brewhouse": "main"}])") ==
          "f:2:20: brew B2: brewed on 2199-01-01, a day that has not come");
    CHECK(refusal(R"("brews": [{"code": "B2", "date": "2026-03-03", "brewhouse": "main",
"additions": [{"lot": "PM-1", "stage": "dry", "mass_kg": 1, "on": "2134-04-11"}]}])") ==
          "f:2:20: brew B2, additions: added on 2134-04-11, a day that has not come");
    CHECK(refusal(R"("brews": [{"code": "B2", "date": "2026-03-03", "brewhouse": "main", "abandoned": "stuck",
"additions": [{"lot": "PM-1", "stage": "mash", "mass_kg": 1}],
"unused": [{"lot": "PM-1", "mass_kg": 1, "on": "2134-04-11"}]}])") ==
          "f:2:20: brew B2, unused: back in stock on 2134-04-11, a day that has not come");
    CHECK(refusal(R"("movements": [{"on": "2026-03-15", "lot": "PM-1", "kind": "count", "mass_kg": -1}])") ==
          "f:2:15: movement without id of 2026-03-15: booked on 2026-03-15, a day that has not come");
    CHECK(refusal(R"("orders": [{"code": "O1", "supplier": "s", "ordered": "2026-03-15", "arrives": "2026-03-20",
"lines": [{"item": "pale malt", "pack_kg": 25, "packs": 1, "cost": 30}]}])").empty()); // it may be for a later day
}

TEST_CASE("names that differ in capitals alone would be taken for each other") {
    CHECK(refusal(R"("items": [{"name": "Pale Malt", "kind": "malt"}])") ==
          "f:2:20: item Pale Malt: differs from `pale malt` in capitals alone");
    CHECK(refusal(R"("items": [{"name": "rye", "kind": "malt"}, {"name": "RYE", "kind": "malt"}])") ==
          "f:2:53: item RYE: differs from `rye` in capitals alone");
    CHECK(refusal(R"("lots": [{"code": "pm-1", "item": "pale malt", "received": "2026-03-03", "mass_kg": 5}])") ==
          "f:2:19: lot pm-1: differs from `PM-1` in capitals alone");
}

TEST_CASE("a lot is what its item can be") {
    CHECK(malt(R"("volume_l": 5)") == "f:2:19: lot L1: 5 L of pale malt: malt, sugar and hops are received by mass");
    CHECK(malt(R"("count": 5)") == "f:2:19: lot L1: 5 pieces of pale malt: malt, sugar and hops are received by mass");
    CHECK(malt(R"("mass_kg": 5, "certificate": {"alpha_pct": 5})") ==
          "f:2:19: lot L1: pale malt is a malt, and alpha acids are of hops");
    CHECK(lot(R"("item": "hop", "received": "2026-03-03", "mass_kg": 5, "certificate": {"moisture_pct": 5})") ==
          "f:2:19: lot L1: hop is a hop, and the certificate speaks of a malt");
    CHECK(malt(R"("mass_kg": 5, "harvested_from": "B1", "generation": 1)") ==
          "f:2:19: lot L1: pale malt is no yeast, and is not harvested");
    CHECK(lot(R"("item": "yeast", "received": "2026-03-01", "mass_kg": 1, "harvested_from": "B1", "generation": 1)") ==
          "f:2:19: lot L1: harvested on 2026-03-01 from B1, which was brewed on 2026-03-02");
    CHECK(lot(R"("item": "yeast", "received": "2026-03-12", "mass_kg": 1, "harvested_from": "B1", "generation": 1)")
              .empty());
    CHECK(malt(R"("mass_kg": 5, "retests": [{"on": "2026-03-02", "moisture_pct": 5}])") ==
          "f:2:105: lots[0].retests[0].on: is before the lot was received");
    CHECK(refusal(R"("items": [{"name": "x", "kind": "hop", "class": "base"}])") ==
          "f:2:49: items[0].class: is of a malt alone");
    CHECK(refusal(R"("recipes": [{"name": "r", "volume_l": 20, "boil_minutes": 60,
"hops": [{"item": "hop", "stage": "boil", "minutes": 90, "mass_g": 5}]}])") ==
          "f:3:54: recipes[0].hops[0].minutes: 90 min in a boil of 60 min");
}

TEST_CASE("what records say of each other, or differently from the ledger, is told with the place of each") {
    CHECK(refusal(R"("items": [{"name": "malt", "kind": "malt", "stands_for": [{"item": "mlat"}]}],
"lots": [{"item": "pale malt", "received": "2026-03-01", "mass_kg": 26, "code": "PM-1"}],
"movements": [{"on": "2026-03-02", "lot": "PM-1", "kind": "count", "mass_kg": -1},
{"on": "2026-03-02", "lot": "PM-2", "kind": "count", "mass_kg": -1},
{"on": "2026-03-02", "lot": "PM-3", "kind": "count", "mass_kg": -1, "id": "m3"}])") ==
          "f holds 4 faults\n"
          "f:2:20: item malt, stands_for: no item is called `mlat`, neither in the file nor in the ledger; did you "
          "mean `malt`?\n"
          "f:5:1: movement without id of 2026-03-02: no lot is called `PM-2`, neither in the file nor in the ledger; "
          "did you mean `PM-1`?\n"
          "f:6:75: movement m3 of 2026-03-02: no lot is called `PM-3`, neither in the file nor in the ledger; did you "
          "mean `PM-1`?\n"
          "f:3:81: lot PM-1: mass_kg: 26 kg in the file, 25 kg in the ledger");
}
