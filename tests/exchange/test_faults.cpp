// A gallery of refusals: for each way that a file can be wrong, what its writer is told.

#include <algorithm>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <string>

using namespace lotwort;

namespace {

// What read_exchange says of a document; empty where it takes it.
std::string refusal(const std::string& text) {
    try {
        (void)read_exchange(text, "f");
        return {};
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::refused);
        return error.what();
    }
}

// ... of a document that holds `records` in its second line.
std::string of(const std::string& records) {
    return refusal("{\"schema\": \"lotwort/exchange/1\",\n" + records + "}");
}

std::string item(const std::string& fields) {
    return of(R"("items": [{"name": "m", "kind": "malt", )" + fields + "}]");
}
std::string reading(const std::string& fields) {
    return of(R"("brews": [{"code": "B1", "date": "2026-03-01", "brewhouse": "main", "readings": [{"point": "mash", )" +
              fields + "}]}]");
}
std::string lot(const std::string& fields) {
    return of(R"("lots": [{"code": "L1", "item": "m", "received": "2026-03-01", )" + fields + "}]");
}
std::string recipe(const std::string& fields) {
    return of(R"("recipes": [{"name": "r", "volume_l": 23, )" + fields + "}]");
}
std::string movement(const std::string& fields) {
    return of(R"("movements": [{"on": "2026-03-01", "lot": "L1", )" + fields + "}]");
}

} // namespace

TEST_CASE("a file that is no document") {
    CHECK(refusal("") == "f:1:1: the file ends before anything is said");
    CHECK(refusal("  \n\n") == "f:1:1: the file ends before anything is said");
    CHECK(refusal("lots") == "f:1:1: no JSON: invalid literal");
    CHECK(refusal("[]") == R"(f:1:1: an exchange file is a record, { "schema": "lotwort/exchange/1", ... })");
    CHECK(refusal("7") == R"(f:1:1: an exchange file is a record, { "schema": "lotwort/exchange/1", ... })");
    CHECK(refusal("{}") == R"(f:1:1: schema: is missing; an exchange file begins with "schema": "lotwort/exchange/1")");
    CHECK(refusal(R"({"schema": 1})") == "f:1:12: schema: must be the text `lotwort/exchange/1`");
    CHECK(refusal(R"({"schema": "lotwort/exchange/2"})") ==
          "f:1:12: schema: this program reads `lotwort/exchange/1`, not `lotwort/exchange/2`");
    CHECK(refusal(R"({"schema": "lotwort/exchange/1"} {})") ==
          "f:1:34: no JSON: unexpected '{'; expected end of input");
    CHECK(refusal(R"({"schema": "lotwort/exchange/1", "items": [],})") ==
          "f:1:46: no JSON: unexpected '}'; expected string literal");
    CHECK(refusal("{\"schema\": \"lotwort/exchange/1\",\n \"items\" []}") ==
          "f:2:10: no JSON: unexpected '['; expected ':'");
    CHECK(refusal("{'schema': 1}") == "f:1:2: no JSON: invalid literal");
    CHECK(refusal(std::string("{\"schema\"\0: 1}", 14)) == "f:1:10: a zero byte: this is no text");
    CHECK(refusal("{\"schema\": \"caf\xe9\"}") == "f:1:17: no JSON: invalid string: ill-formed UTF-8 byte");
    CHECK(refusal("{\"schema\": \"a\nb\"}") ==
          R"(f:1:14: no JSON: invalid string: control character U+000A (LF) must be escaped to \u000A or \n)");
    CHECK(refusal(R"({"schema": "\ud800"})") ==
          "f:1:19: no JSON: invalid string: surrogate U+D800..U+DBFF must be followed by U+DC00..U+DFFF");
}

TEST_CASE("a file that was cut short says in which line, and what was left open") {
    CHECK(
        refusal(
            "{\"schema\": \"lotwort/exchange/1\",\n\"brews\": [{\"code\": \"B1\"},\n{\"readings\": [{\"ph\": 5.2,\n") ==
        "f:3:26: the file ends here, while `brews[1].readings[0]` is still open");
    CHECK(refusal("{\"schema\": \"lotwort/exch") == "f:1:25: the file ends here, while `schema` is still open");
    CHECK(refusal("{\"schema\": \"lotwort/exchange/1\", \"lots\"") ==
          "f:1:40: the file ends here, while `lots` is still open");
    CHECK(refusal("{\"schema\": \"lotwort/exchange/1\", \"lots\": [") ==
          "f:1:43: the file ends here, while `lots` is still open");
    CHECK(refusal("{") == "f:1:2: the file ends here, while the document is still open");
}

TEST_CASE("nesting that no book has") {
    const std::string deep = std::string(100'000, '[');
    CHECK(refusal(deep) == "f:1:65: nested deeper than 64 levels");
    CHECK(of("\"lots\": " + std::string(64, '[') + std::string(64, ']')) == "f:2:72: nested deeper than 64 levels");
}

TEST_CASE("numbers that are none") {
    CHECK(item(R"("colour_ebc": NaN)") ==
          "f:2:55: items[0].colour_ebc: NaN is no JSON number; leave the field out instead");
    CHECK(item(R"("colour_ebc": -Infinity)") ==
          "f:2:55: items[0].colour_ebc: -Infinity is no JSON number; leave the field out instead");
    CHECK(item(R"("colour_ebc": 1e999)") == "f:2:55: no number is that large");
    CHECK(item(R"("colour_ebc": 01)") == "f:2:56: no JSON: unexpected number literal; expected '}'");
    CHECK(item(R"("colour_ebc": 1.)") == "f:2:57: no JSON: invalid number; expected digit after '.'");
    CHECK(item(R"("colour_ebc": "6")") ==
          "f:2:55: items[0].colour_ebc: a text where a number is due; write it without quotes");
    CHECK(item(R"("colour_ebc": "pale")") == "f:2:55: items[0].colour_ebc: a text where a number is due");
    CHECK(item(R"("colour_ebc": null)") ==
          "f:2:55: items[0].colour_ebc: null; leave the field out where nothing is known");
    CHECK(item(R"("colour_ebc": true)") == "f:2:55: items[0].colour_ebc: true where a number is due");
    CHECK(item(R"("colour_ebc": [6])") == "f:2:55: items[0].colour_ebc: a list where a number is due");
    CHECK(item(R"("shelf_life_days": 1.5)") == "f:2:60: items[0].shelf_life_days: 1.5 is no whole number");
    CHECK(item(R"("shelf_life_days": 1e300)") == "f:2:60: items[0].shelf_life_days: 1e+300 is outside 1 to 36500");
}

TEST_CASE("figures no brewery has, with the range that is believable") {
    CHECK(item(R"("moisture_pct": 95.8)") == "f:2:57: items[0].moisture_pct: 95.8 is outside 0 to 30");
    CHECK(item(R"("extract_pct": 309, "extract_basis": "fine-dry")") ==
          "f:2:56: items[0].extract_pct: 309 is more than the malt itself; on the basis fine-dry it is a per cent by "
          "mass");
    CHECK(item(R"("extract_pct": 309, "extract_basis": "l-per-kg-fine-dry")").empty());
    CHECK(reading(R"("gravity_sg": 1.5)") ==
          "f:2:114: brews[0].readings[0].gravity_sg: 1.5 is outside 0.98 to 1.2; a specific gravity is written 1.048");
    CHECK(reading(R"("gravity_sg": 1048)") ==
          "f:2:114: brews[0].readings[0].gravity_sg: 1048 is outside 0.98 to 1.2; a specific gravity is written 1.048");
    CHECK(reading(R"("gravity_sg": 12)") ==
          "f:2:114: brews[0].readings[0].gravity_sg: 12 is outside 0.98 to 1.2; a specific gravity is written 1.048");
    CHECK(reading(R"("volume_l": -1)") == "f:2:112: brews[0].readings[0].volume_l: -1 is outside 0 to 1000000");
    CHECK(lot(R"("mass_kg": 1e7)") == "f:2:75: lots[0].mass_kg: 10000000 is outside 0 to 1000000");
    CHECK(lot(R"("mass_g": 1e10)") == "f:2:74: lots[0].mass_g: 10000000000 is outside 0 to 1000000000");
    CHECK(lot(R"("mass_kg": 0)") == "f:2:10: lots[0]: a lot of nothing; leave it out");
    CHECK(lot(R"("mass_kg": 5, "price": -1)") == "f:2:87: lots[0].price: -1 is outside 0 to 1000000000");
    CHECK(lot(R"("mass_kg": 5, "price": 12.345)") == "f:2:87: lots[0].price: 12.345 has more than two decimals");
}

TEST_CASE("fields that are unknown, missing or stated twice") {
    CHECK(item(R"("color_ebc": 6)") == "f:2:41: items[0].color_ebc: unknown field; did you mean `colour_ebc`?");
    CHECK(item(R"("qwertzuiop": 6)") == "f:2:41: items[0].qwertzuiop: unknown field");
    CHECK(of(R"("lot": [])") == "f:2:1: lot: unknown field; did you mean `lots`?");
    CHECK(of(R"("items": [{"name": "m"}])") == "f:2:11: items[0].kind: is missing");
    CHECK(of(R"("items": [{"kind": "malt"}])") == "f:2:11: items[0].name: is missing");
    CHECK(of(R"("items": {})") == "f:2:10: items: a record where a list, [ ... ], is due");
    CHECK(of(R"("items": ["pale malt"])") == "f:2:11: items[0]: a text where a record, { ... }, is due");
    CHECK(of(R"("items": [{"name": "m", "kind": "malt", "name": "n"}])") == "f:2:41: items[0].name: stated twice");
    CHECK(of(R"("schema": "lotwort/exchange/1")") == "f:2:1: schema: stated twice");
    CHECK(lot(R"("mass_kg": 5, "volume_l": 3)") == "f:2:78: lots[0].volume_l: a second amount; state one");
    CHECK(lot(R"("price": 5)") == "f:2:10: lots[0]: needs one of mass_kg, mass_g, volume_l, count");
    CHECK(of(R"("currency": "euro")") ==
          "f:2:13: currency: `euro` is no currency; write three capital letters, such as EUR");
    CHECK(of(R"("currency": "eur")") ==
          "f:2:13: currency: `eur` is no currency; write three capital letters, such as EUR");
}

TEST_CASE("words, texts and dates") {
    CHECK(of(R"("items": [{"name": "m", "kind": "grain"}])") ==
          "f:2:33: items[0].kind: `grain` is none of malt, sugar, hop, yeast, salt, other");
    CHECK(of(R"("items": [{"name": "m", "kind": 1}])") ==
          "f:2:33: items[0].kind: a number where one of malt, sugar, hop, yeast, salt, other is due");
    CHECK(of(R"("items": [{"name": "", "kind": "malt"}])") == "f:2:20: items[0].name: is empty");
    CHECK(of(R"("items": [{"name": " m", "kind": "malt"}])") == "f:2:20: items[0].name: begins or ends with a blank");
    CHECK(of(R"("items": [{"name": "a\tb", "kind": "malt"}])") == "f:2:20: items[0].name: holds a tab");
    CHECK(of(R"("items": [{"name": "\u001b[31m", "kind": "malt"}])") ==
          "f:2:20: items[0].name: holds a control character (U+001B)");
    CHECK(
        of(R"("items": [{"name": "m", "kind": "malt"}, {"name": "n", "kind": "hop"}, {"name": "m", "kind": "hop"}])") ==
        "f:2:81: items[2].name: `m` stands twice; first in [0]");
    CHECK(lot(R"("mass_kg": 5, "best_before": "2026-02-30")") ==
          "f:2:93: lots[0].best_before: `2026-02-30` is no date; write YYYY-MM-DD, such as 2026-03-01");
    CHECK(lot(R"("mass_kg": 5, "best_before": 20260228)") ==
          "f:2:93: lots[0].best_before: a number where a date in quotes, YYYY-MM-DD, is due");
    CHECK(of(R"("instruments": [{"name": "h", "kind": "hydrometer", "unit": "points"}])") ==
          "f:2:61: instruments[0].unit: `points` is none of sg, plato, brix, c, l, cm, kg, g");
    CHECK(of(R"("suppliers": [{"name": "s", "closed_weekdays": ["sun"]}])") ==
          "f:2:48: suppliers[0].closed_weekdays: `sun` is none of monday, tuesday, wednesday, thursday, friday, "
          "saturday, sunday");
    CHECK(reading(R"("ph": 5.2, "at": "9:30")") ==
          "f:2:117: brews[0].readings[0].at: `9:30` is no time of day; write HH:MM, such as 09:30");
}

TEST_CASE("records that contradict themselves") {
    CHECK(reading(R"("at": "09:30")") ==
          "f:2:82: brews[0].readings[0]: reads nothing; state a volume, a gravity, a temperature or a ph");
    CHECK(reading(R"("volume_l": 25, "mass_kg": 26)") ==
          "f:2:82: brews[0].readings[0]: states more than one of volume_l, depth_cm, mass_kg; make two readings of it");
    CHECK(reading(R"("gravity_sg": 1.048, "brix": 12)") == "f:2:82: brews[0].readings[0]: states more than one of "
                                                           "gravity_sg, gravity_plato, brix; make two readings of it");
    CHECK(
        recipe(
            R"("original_gravity_sg": 1.048, "grist": [{"item": "a", "share_pct": 90}, {"item": "b", "share_pct": 9}])") ==
        "f:2:82: recipes[0].grist: the shares sum to 99 %, not 100");
    CHECK(
        recipe(
            R"("original_gravity_sg": 1.048, "grist": [{"item": "a", "share_pct": 90}, {"item": "b", "share_pct": 9.5}])")
            .empty());
    CHECK(
        recipe(
            R"("original_gravity_sg": 1.048, "grist": [{"item": "a", "share_pct": 100}, {"item": "b", "mass_kg": 1}])") ==
        "f:2:82: recipes[0].grist: mixes share_pct and mass_kg; state one of them on every line");
    CHECK(recipe(R"("grist": [{"item": "a", "share_pct": 100}])") ==
          "f:2:13: recipes[0].original_gravity_sg: is missing: a grist by shares gets its masses from it");
    CHECK(recipe(R"("grist": [{"item": "a"}])") == "f:2:53: recipes[0].grist[0]: needs either share_pct or mass_kg");
    CHECK(recipe(R"("hops": [{"item": "h", "minutes": 60}])") ==
          "f:2:52: recipes[0].hops[0]: needs either mass_g or bitterness_ibu");
    CHECK(recipe(R"("hops": [{"item": "h", "stage": "mash", "mass_g": 5}])") ==
          "f:2:75: recipes[0].hops[0].stage: hops go into boil, stand or dry, not mash");
    CHECK(recipe(R"("hops": [{"item": "h", "stage": "dry", "bitterness_ibu": 5}])") ==
          "f:2:100: recipes[0].hops[0].bitterness_ibu: a dry addition gives no bitterness that could be asked for; "
          "state mass_g");
    CHECK(recipe(R"("others": [{"item": "o", "mass_kg": 1, "count": 2}])") ==
          "f:2:54: recipes[0].others[0]: needs exactly one of mass_kg, volume_l, count");
    CHECK(
        of(R"("brewhouses": [{"name": "b", "volume_l": 23, "vessels": [{"point": "kettle-full", "dip_table": [[0, 0], [5, 10], [5, 11]]}]}])") ==
        "f:2:96: brewhouses[0].vessels[0].dip_table: must rise: [5, 11] stands above [5, 10]");
    CHECK(
        of(R"("brewhouses": [{"name": "b", "volume_l": 23, "vessels": [{"point": "kettle-full", "dip_table": [[0, 0, 0]]}]}])") ==
        "f:2:97: brewhouses[0].vessels[0].dip_table[0]: a list where a pair, [depth_cm, litres], is due");
    CHECK(of(R"("items": [{"name": "m", "kind": "malt", "stands_for": [{"item": "m"}]}])") ==
          "f:2:55: items[0].stands_for: an item cannot stand in for itself");
    CHECK(of(R"("offers": [{"supplier": "s", "item": "m", "price_steps": [{"packs": 1, "price": 5}]}])") ==
          "f:2:12: offers[0]: needs exactly one of pack_kg, pack_l, pack_count");
    CHECK(of(R"("offers": [{"supplier": "s", "item": "m", "pack_kg": 25}])") ==
          "f:2:12: offers[0].price_steps: needs at least one price");
    CHECK(
        of(R"("offers": [{"supplier": "s", "item": "m", "pack_kg": 25, "price_steps": [{"packs": 2, "price": 5}, {"packs": 1, "price": 6}]}])") ==
        "f:2:73: offers[0].price_steps: must rise in packs, each step once");
}

TEST_CASE("movements and terms that contradict each other") {
    CHECK(movement(R"("kind": "discard", "mass_kg": 1)") ==
          "f:2:15: movements[0]: takes from the lot, so its amount is negative");
    CHECK(movement(R"("kind": "receipt", "mass_kg": -1)") ==
          "f:2:15: movements[0]: adds to the lot, so its amount is positive");
    CHECK(movement(R"("kind": "count", "mass_kg": -1, "brew": "B1")") ==
          "f:2:57: movements[0].kind: must be brew or unused where brew is stated");
    CHECK(movement(R"("kind": "reversal", "mass_kg": 1)") ==
          "f:2:15: movements[0].reverses: is missing: a reversal names what it takes back");
    CHECK(movement(R"("kind": "count", "mass_kg": 1, "reverses": "m1")") ==
          "f:2:57: movements[0].kind: must be reversal where `reverses` is stated");
    const std::string step = R"("price_steps": [{"packs": 1, "price": 5}])";
    CHECK(of(R"("suppliers": [{"name": "s", "delivery": 9}],
"offers": [{"supplier": "s", "item": "m", "pack_kg": 25, )" +
             step + R"(, "delivery": 9.5}])") ==
          "f:3:113: offers[0].delivery: 9.5 here, but 9 elsewhere for supplier `s`");
    CHECK(of(R"("offers": [{"supplier": "s", "item": "m", "pack_kg": 25, )" + step + R"(},
{"supplier": "s", "item": "m", "pack_kg": 25, )" +
             step + "}]") == "f:3:1: offers[1]: a second offer of the same pack of `m` by `s`");
}

TEST_CASE("all faults are told, in the order of the file") {
    CHECK(of("\"lots\": [{\"code\": \"L1\", \"received\": \"soon\", \"mass_kg\": \"5\"}],\n"
             "\"items\": [{\"name\": \"größe\", \"kind\": \"malz\", \"hsi\": 0}]") ==
          "f holds 5 faults\n"
          "f:2:10: lots[0].item: is missing\n"
          "f:2:37: lots[0].received: `soon` is no date; write YYYY-MM-DD, such as 2026-03-01\n"
          "f:2:56: lots[0].mass_kg: a text where a number is due; write it without quotes\n"
          "f:3:37: items[0].kind: `malz` is none of malt, sugar, hop, yeast, salt, other\n"
          "f:3:45: items[0].hsi: unknown field");
}

TEST_CASE("of very many faults fifty are told and the rest counted") {
    std::string lots = "\"lots\": [";
    for (int i = 0; i < 20'000; ++i) lots += "\n{},";
    lots.back() = ']';
    const std::string told = of(lots);
    CHECK(told.starts_with("f holds 80000 faults\nf:3:1: lots[0].code: is missing\nf:3:1: lots[0].item: is missing\n"));
    CHECK(told.ends_with("\nand 79950 more"));
    CHECK(std::count(told.begin(), told.end(), '\n') == 51);
}

TEST_CASE("the fifty that are told are the first of the file, whenever they were found") {
    // names that stand twice are looked for when all is read, and stand before all that was found by then
    std::string items = R"("items": [{"name": "m", "kind": "malt"}, {"name": "m", "kind": "malt"}],)";
    items += "\n\"lots\": [";
    for (int i = 0; i < 45; ++i) items += "\n7,";
    items.back() = ']';
    const std::string told = of(items + ",\n\"brews\": [1, 2, 3, 4, 5, 6, 7, 8, 9]");
    CHECK(told.starts_with("f holds 55 faults\nf:2:51: items[1].name: `m` stands twice; first in [0]\nf:4:1: lots[0]"));
    CHECK(told.ends_with("\nf:49:14: brews[1]: a number where a record, { ... }, is due"
                         "\nf:49:17: brews[2]: a number where a record, { ... }, is due"
                         "\nf:49:20: brews[3]: a number where a record, { ... }, is due\nand 5 more"));
}

TEST_CASE("a file of more values than any brewery fills is refused, and not held") {
    std::string readings = R"("brews": [{"readings": [)";
    for (int i = 0; i < 6'000'001; ++i) readings += "0,";
    CHECK(of(readings).ends_with(": more than 6000000 values"));
}

TEST_CASE("a field that is named as a path is begun is unknown like any other") {
    CHECK(of(R"("[[items": [])") == "f:2:1: [[items: unknown field; did you mean `items`?");
    CHECK(of(R"("[": 1)") == "f:2:1: [: unknown field");
    CHECK(of(R"(".": 1)") == "f:2:1: .: unknown field");
}

TEST_CASE("a list of movements is told off as any other") {
    CHECK(of(R"("movements": [], "movements": [{"on": 1}])") == "f:2:18: movements: stated twice");
    CHECK(of(R"("movements": [1, "x", []])") == "f holds 3 faults\n"
                                                "f:2:15: movements[0]: a number where a record, { ... }, is due\n"
                                                "f:2:18: movements[1]: a text where a record, { ... }, is due\n"
                                                "f:2:23: movements[2]: a list where a record, { ... }, is due");
    CHECK(of(R"("movements": {"on": 1})") == "f:2:14: movements: a record where a list, [ ... ], is due");
    const std::string taken = R"("on": "2026-03-01", "lot": "L", "kind": "count", "mass_kg": 1})";
    CHECK(of(R"("movements": [{"id": "m2", )" + taken + R"(, {"id": "m1", )" + taken + ",\n{\"id\": \"m2\", " + taken +
             "]") == "f:3:8: movements[2].id: `m2` stands twice; first in [0]");
    CHECK(of(R"("movements": [{"id": "m1", )" + taken + ",\n{\"id\": \"m1\", " + taken + "]") ==
          "f:3:8: movements[1].id: `m1` stands twice; first in [0]");
    CHECK(of(R"("movements": [{"id": " m1", )" + taken + "]") ==
          "f:2:22: movements[0].id: begins or ends with a blank");
    CHECK(of(R"("movements": [{"on": "2026-03-01"},)"
             "\n{\"lot\": nought}]") == "f:3:10: no JSON: invalid literal");
    CHECK(of(R"("movements": [{"on": "2026-03-01"}, {"lot": "a")")
              .ends_with("the file ends here, while `movements[1]` is still open"));
    // what is wrong elsewhere in the document is not looked for where a record is at fault, and is where none is
    CHECK(of(R"("currency": "eur", "movements": [7])") ==
          "f:2:34: movements[0]: a number where a record, { ... }, is due");
    CHECK(refusal(R"({"movements": [7], "schema": "lotwort/exchange/2"})") ==
          "f:1:30: schema: this program reads `lotwort/exchange/1`, not `lotwort/exchange/2`");
}
