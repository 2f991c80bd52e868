// The schema is the authority: whatever a validator takes or refuses by it, the reader does too, and what it
// lists is what the records hold. (The validator takes long to compile: it is included here alone.)
#include "../../src/exchange/exchange_fields.hpp"
#include "exchange/generated_book.hpp"
#include "golden.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <nlohmann/json.hpp>
#include <set>
#include <type_traits>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validator.hpp>

using namespace lotwort;
using nlohmann::json;
using test::project_file;

namespace {

const std::vector<std::string> golden_files{
    "first-brewery.json", "second-brewery.json", "substitution/base_other_base/case.json",
    "substitution/colour_drift_roasted/case.json", "substitution/two_brews_compete/case.json"};

const json& schema_text() {
    static const json text = json::parse(project_file("docs/exchange.schema.json"));
    return text;
}

// Empty where the schema takes the document, else where and why not.
std::string against_schema(const json& document) {
    static const valijson::Schema& schema = *[] {
        static valijson::Schema parsed;
        valijson::SchemaParser(valijson::SchemaParser::kDraft7)
            .populateSchema(valijson::adapters::NlohmannJsonAdapter(schema_text()), parsed);
        return &parsed;
    }();
    valijson::ValidationResults results;
    valijson::Validator validator(valijson::Validator::kStrongTypes);
    if (validator.validate(schema, valijson::adapters::NlohmannJsonAdapter(document), &results)) return {};
    std::string why;
    valijson::ValidationResults::Error error;
    while (results.popError(error)) {
        for (const std::string& step : error.context) why += step;
        why += ": " + error.description + "\n";
    }
    return why.empty() ? "refused" : why;
}

bool reader_takes(const std::string& text) {
    try {
        (void)read_exchange(text, "document");
        return true;
    } catch (const Error&) {
        return false;
    }
}

// A document of one list with one record, an acceptable one of which some fields are replaced; null leaves one out.
json document_with(const std::string& list, json record, const json& changes) {
    for (const auto& [name, value] : changes.items()) {
        if (value.is_null())
            record.erase(name);
        else
            record[name] = value;
    }
    return {{"schema", "lotwort/exchange/1"}, {list, json::array({record})}};
}

struct Case {
    std::string list;
    json changes;
};

// One acceptable record a list.
const json& good_records() {
    static const json records = json::parse(R"({
        "items": {"name": "m", "kind": "malt", "extract_pct": 81, "extract_basis": "fine-dry"},
        "instruments": {"name": "h", "kind": "hydrometer", "unit": "sg"},
        "brewhouses": {"name": "b", "volume_l": 23, "vessels": [{"point": "mash", "dip_table": [[0, 0], [1, 2]]}]},
        "lots": {"code": "L", "item": "m", "received": "2026-03-01", "mass_kg": 5, "certificate": {"moisture_pct": 4},
                 "retests": [{"on": "2026-04-01", "alpha_pct": 5}], "price": 12.5},
        "recipes": {"name": "r", "volume_l": 23, "original_gravity_sg": 1.05,
                    "grist": [{"item": "m", "share_pct": 100}], "hops": [{"item": "h", "mass_g": 5}]},
        "brews": {"code": "B", "date": "2026-03-01", "brewhouse": "b",
                  "additions": [{"lot": "L", "stage": "mash", "mass_kg": 4}],
                  "readings": [{"point": "mash", "ph": 5.3, "at": "09:30"}]},
        "packages": {"code": "B-1", "brew": "B", "packaged": "2026-03-20", "count": 40, "each_l": 0.5,
                     "sent": [{"sent_on": "2026-03-21", "to_whom": "the inn", "count": 12}]},
        "suppliers": {"name": "s", "delivery": 9, "closed_weekdays": ["sunday"]},
        "offers": {"supplier": "s", "item": "m", "pack_kg": 25, "price_steps": [{"packs": 1, "price": 30}]},
        "orders": {"code": "O", "supplier": "s", "ordered": "2026-03-01",
                   "lines": [{"item": "m", "pack_kg": 25, "packs": 2, "cost": 60}], "received": ["L"]},
        "plans": {"code": "P", "date": "2026-03-01", "recipe": "r", "reserved": [{"line": 0, "lot": "L", "mass_kg": 4}]},
        "tanks": {"name": "FV1", "kind": "fermenter", "volume_l": 2000, "holds": "B", "since": "2026-03-01"},
        "movements": {"on": "2026-03-01", "lot": "L", "kind": "count", "mass_kg": -0.2, "reason": "counted"}
    })");
    return records;
}

std::vector<Case> wrong_records() {
    const json dry = json::parse(R"([{"item": "h", "stage": "dry", "bitterness_ibu": 5}])");
    const json mixed = json::parse(R"([{"item": "a", "share_pct": 100}, {"item": "b", "mass_kg": 1}])");
    const json meant = json::parse(R"([{"item": "m", "share_pct": 100, "extract_pct": 80}])");
    return {
        {"items", {{"name", nullptr}}},
        {"items", {{"name", ""}}},
        {"items", {{"name", " m"}}},
        {"items", {{"name", "m\n"}}},
        {"items", {{"name", std::string(201, 'x')}}},
        {"items", {{"class", "a\x1b[31m"}}},
        {"items", {{"kind", "grain"}}},
        {"items", {{"extract_pct", 309}}},
        {"items", {{"moisture_pct", "4"}}},
        {"items", {{"shelf_life_days", 1.5}}},
        {"items", {{"color_ebc", 6}}},
        {"instruments", {{"unit", "points"}}},
        {"brewhouses", {{"volume_l", nullptr}}},
        {"brewhouses", {{"vessels", json::parse(R"([{"point": "mash", "dip_table": [[0, 0, 0]]}])")}}},
        {"lots", {{"mass_kg", 0}}},
        {"lots", {{"mass_kg", nullptr}}},
        {"lots", {{"volume_l", 3}}},
        {"lots", {{"received", "1.3.2026"}}},
        {"lots", {{"price", -1}}},
        {"lots", {{"certificate", {{"moisture_pct", 95.8}}}}},
        {"lots", {{"retests", json::array({{{"alpha_pct", 5}}})}}},
        {"recipes", {{"original_gravity_sg", nullptr}}},
        {"recipes", {{"original_gravity_sg", 1.5}}},
        {"recipes", {{"grist", mixed}}},
        {"recipes", {{"grist", meant}}},
        {"recipes", {{"hops", dry}}},
        {"brews", {{"readings", json::array({{{"point", "mash"}}})}}},
        {"brews", {{"readings", json::array({{{"point", "mash"}, {"volume_l", 3}, {"depth_cm", 5}}})}}},
        {"brews", {{"readings", json::array({{{"point", "mash"}, {"gravity_sg", 1.04}, {"brix", 10}}})}}},
        {"brews", {{"readings", json::array({{{"point", "mash"}, {"ph", 5.3}, {"at", "25:00"}}})}}},
        {"packages", {{"count", 0}}},
        {"packages", {{"each_l", nullptr}}},
        {"packages", {{"sent", json::array({{{"sent_on", "2026-03-21"}, {"count", 12}}})}}},
        {"suppliers", {{"closed_weekdays", {"sun"}}}},
        {"offers", {{"pack_l", 3}}},
        {"offers", {{"pack_kg", 0}}},
        {"offers", {{"price_steps", json::array()}}},
        {"tanks", {{"used_for", "the neighbour's beer"}}},
        {"tanks", {{"since", nullptr}}},
        {"tanks", {{"holds", nullptr}, {"till", "2026-03-20"}}},
        {"tanks", {{"kind", "cask"}}},
        {"plans", {{"tank_till", "2026-03-15"}}},
        {"plans", {{"yeast_of_plan", "P0"}, {"yeast_of_brew", "B0"}}},
        {"orders", {{"lines", json::array({{{"item", "m"}, {"packs", 0}, {"cost", 1}}})}}},
        {"plans", {{"reserved", json::array({{{"line", -1}, {"lot", "L"}, {"mass_kg", 4}}})}}},
        {"movements", {{"kind", "reversal"}}},
        {"movements", {{"kind", "discard"}, {"mass_kg", 1}}},
        {"movements", {{"kind", "receipt"}}},
        {"movements", {{"brew", "B"}}},
        {"movements", {{"reverses", "m1"}}},
    };
}

} // namespace

TEST_CASE("what is read and what is written is what the schema describes") {
    for (const std::string& name : golden_files) {
        CAPTURE(name);
        const std::string text = project_file("tests/golden/" + name);
        CHECK(against_schema(json::parse(text)) == "");
        CHECK(against_schema(json::parse(write_exchange(read_exchange(text, name)))) == "");
    }
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        CAPTURE(seed);
        CHECK(against_schema(json::parse(write_exchange(test::generated_book(seed)))) == "");
    }
}

TEST_CASE("an export holds all that was read: the same values under the same names") {
    for (const std::string& name : golden_files) {
        CAPTURE(name);
        json original = json::parse(project_file("tests/golden/" + name));
        json written = json::parse(write_exchange(read_exchange(original.dump(), name)));
        for (json& brew : written["brews"])
            for (json& reading : brew["readings"]) reading.erase("id"); // given by place
        for (json* document : {&original, &written})
            for (const char* list : {"movements", "brews"})
                if (document->contains(list) && (*document)[list].empty()) document->erase(list);
        for (json& recipe : original["recipes"])
            if (recipe.contains("hops") && recipe["hops"].empty()) recipe.erase("hops");
        CHECK(original == written);
    }
}

TEST_CASE("the manual's example is a document") {
    const std::string page = project_file("docs/exchange.md");
    const auto from = page.find("```json\n") + 8;
    const std::string example = page.substr(from, page.find("```", from) - from);
    CHECK(against_schema(json::parse(example)) == "");
    CHECK_NOTHROW((void)new_in(read_exchange(example, "manual"), Book{}, "manual"));
}

TEST_CASE("schema and reader refuse the same") {
    for (const auto& [list, record] : good_records().items()) {
        CAPTURE(list);
        const json document = document_with(list, record, json::object());
        CHECK(against_schema(document) == "");
        CHECK(reader_takes(document.dump()));
    }
    for (const Case& wrong : wrong_records()) {
        const json document = document_with(wrong.list, good_records()[wrong.list], wrong.changes);
        CAPTURE(document.dump());
        CHECK(against_schema(document) != "");
        CHECK(!reader_takes(document.dump()));
    }
    for (const char* text :
         {"{}", "[]", R"({"schema": "lotwort/exchange/2"})", R"({"schema": "lotwort/exchange/1", "lot": []})",
          R"({"schema": "lotwort/exchange/1", "currency": "euro"})", R"({"schema": "lotwort/exchange/1", "lots": {}})",
          R"({"schema": "lotwort/exchange/1", "lots": [1]})", R"({"schema": "lotwort/exchange/1", "lots": null})"}) {
        CAPTURE(text);
        CHECK(against_schema(json::parse(text)) != "");
        CHECK(!reader_takes(text));
    }
}

namespace {

double or_infinite(const json& property, const char* bound, double sign) {
    return property.contains(bound) ? property[bound].get<double>() : sign * HUGE_VAL;
}

// A property against a field: its words or its range.
template <class Record, class Value>
void compare_property(const json& property, Range range) {
    if constexpr (is_optional<Value>) {
        compare_property<Record, typename Value::value_type>(property, range);
    } else if constexpr (std::is_enum_v<Value>) {
        const std::set<std::string> words(WordsOf<Value>::list.begin(), WordsOf<Value>::list.end());
        const std::set<std::string> listed(property["enum"].begin(), property["enum"].end());
        if constexpr (std::is_same_v<Record, HopLine>) // hops go into some of the stages only
            CHECK(std::ranges::includes(words, listed));
        else
            CHECK(listed == words);
    } else if constexpr (std::is_same_v<Value, Money>) {
        CHECK(property["allOf"][0]["$ref"] == "#/definitions/money");
        CHECK(range.least == 0.0);
        CHECK(range.most == 1e9);
    } else if constexpr (!is_list<Value> && !HasFields<Value> && !std::is_same_v<Value, std::string> &&
                         !std::is_same_v<Value, Date>) {
        CHECK(property["type"] == (std::is_same_v<Value, int> ? "integer" : "number"));
        CHECK(or_infinite(property, "minimum", -1.0) == range.least);
        CHECK(or_infinite(property, "maximum", 1.0) == range.most);
    }
}

// A definition's properties and a record's fields, both ways. `also` are required by the schema alone.
template <class Record>
void compare(const json& definition, const std::set<std::string>& also = {}) {
    CHECK(definition["additionalProperties"] == false);
    std::set<std::string> fields;
    std::set<std::string> required = also;
    for_each_exchange_field<Record>([&](const auto& f) {
        using Value = std::decay_t<decltype(value_in(std::declval<Record&>(), f))>;
        const std::string name(f.name);
        CAPTURE(name);
        if constexpr (std::is_same_v<Value, Amount>) {
            fields.insert(amount_names.begin(), amount_names.end());
            CHECK(definition["oneOf"].size() == amount_names.size());
            for (const char* unit : {"mass_kg", "volume_l", "count"}) {
                CHECK(definition["properties"][unit]["minimum"] == f.range.least);
                CHECK(definition["properties"][unit]["maximum"] == f.range.most);
            }
            CHECK(definition["properties"]["mass_g"]["minimum"] == f.range.least * 1000.0);
            CHECK(definition["properties"]["mass_g"]["maximum"] == f.range.most * 1000.0);
        } else {
            fields.insert(name);
            REQUIRE(definition["properties"].contains(name));
            compare_property<Record, Value>(definition["properties"][name], f.range);
            if (is_required<Record, Value>(f.name)) required.insert(name);
        }
    });
    std::set<std::string> properties;
    for (const auto& [name, property] : definition["properties"].items()) properties.insert(name);
    CHECK(properties == fields);
    const json listed = definition.value("required", json::array());
    CHECK(std::set<std::string>(listed.begin(), listed.end()) == required);
}

} // namespace

TEST_CASE("the schema lists what the records hold, and nothing else") {
    const json& definitions = schema_text()["definitions"];
    compare<ExchangeDocument>(schema_text());
    compare<Item>(definitions["item"]);
    compare<StandIn>(definitions["stand_in"]);
    compare<Instrument>(definitions["instrument"]);
    compare<InstrumentCheck>(definitions["instrument_check"]);
    compare<Vessel>(definitions["vessel"]);
    compare<Brewhouse>(definitions["brewhouse"]);
    compare<Certificate>(definitions["certificate"]);
    compare<Retest>(definitions["retest"]);
    compare<Lot>(definitions["lot"]);
    compare<GristLine>(definitions["grist_line"]);
    compare<HopLine>(definitions["hop_line"]);
    compare<OtherLine>(definitions["other_line"]);
    compare<Recipe>(definitions["recipe"]);
    compare<Addition>(definitions["addition"]);
    compare<Reading>(definitions["reading"]);
    compare<Brew>(definitions["brew"]);
    compare<Sent>(definitions["sent"]);
    compare<Package>(definitions["package"]);
    compare<Supplier>(definitions["supplier"]);
    compare<PriceStep>(definitions["price_step"]);
    compare<Offer>(definitions["offer"], {"price_steps"});
    compare<OrderLine>(definitions["order_line"]);
    compare<Order>(definitions["order"]);
    compare<Reservation>(definitions["reservation"]);
    compare<Awaited>(definitions["awaited"]);
    compare<Portion>(definitions["portion"]);
    compare<Unused>(definitions["unused"]);
    compare<Plan>(definitions["plan"]);
    compare<Tank>(definitions["tank"]);
    compare<Movement>(definitions["movement"]);
    CHECK(definitions.size() == 30 + 4); // and text, name, date, money
}

namespace {

std::string plain(double number) {
    JsonWriter w;
    w.value(number);
    std::string text = std::move(w).text();
    text.pop_back();
    return text;
}

} // namespace

TEST_CASE("the manual names every field of the schema, with its range") {
    const std::string page = project_file("docs/exchange.md");
    for (const auto& [record, definition] : schema_text()["definitions"].items()) {
        if (!definition.contains("properties")) continue;
        CAPTURE(record);
        std::string heading = record;
        std::ranges::replace(heading, '_', ' ');
        const auto from = page.find("### " + heading + "\n");
        REQUIRE(from != std::string::npos);
        if (record == "retest") continue; // "any of a certificate's"
        const std::string section = page.substr(from, page.find("\n##", from + 4) - from);
        for (const auto& [name, property] : definition["properties"].items()) {
            CAPTURE(name);
            const auto row = section.find("`" + name + "`");
            REQUIRE(row != std::string::npos);
            const bool amount = definition["properties"].contains("mass_g") && record != "hop_line";
            if (!property.contains("minimum") || amount) continue;
            const std::string range = "| " + plain(property["minimum"]) + " to " + plain(property["maximum"]);
            CHECK(section.substr(row, section.find('\n', row) - row).find(range) != std::string::npos);
        }
    }
}
