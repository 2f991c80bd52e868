#include "answers.hpp"
#include "golden.hpp"
#include <cstdlib>
#include <fstream>
#include <functional>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validator.hpp>

namespace lotwort::test {

namespace {

using nlohmann::json;

void keep(const std::string& name, const std::string& answer) {
    const char* folder = std::getenv("LOTWORT_ANSWERS");
    if (folder == nullptr) return;
    std::ofstream(std::string(folder) + "/" + name + "-" + std::to_string(std::hash<std::string>{}(answer)) + ".json")
        << answer;
}

// "stock" of "lotwort/stock/1".
std::string name_in(const std::string& id) {
    const auto from = id.find('/') + 1;
    return id.substr(from, id.rfind('/') - from);
}

// What is published may gain keys; here each key that an answer has is to be in it.
void close(json& schema) {
    if (schema.is_object() && schema.contains("properties") && !schema.contains("additionalProperties"))
        schema["additionalProperties"] = false;
    for (json& part : schema)
        if (part.is_structured()) close(part);
}

const valijson::Schema& schema_of(const std::string& name) {
    static std::map<std::string, std::unique_ptr<valijson::Schema>> schemas;
    auto& schema = schemas[name];
    if (schema) return *schema;
    json text = json::parse(project_file("docs/schemas/" + name + ".json"));
    close(text);
    schema = std::make_unique<valijson::Schema>();
    valijson::SchemaParser(valijson::SchemaParser::kDraft7)
        .populateSchema(valijson::adapters::NlohmannJsonAdapter(text), *schema);
    return *schema;
}

} // namespace

std::string against_its_schema(const std::string& answer) {
    const json document = json::parse(answer);
    if (!document.is_object() || !document.contains("schema")) return "it names no schema";
    const std::string name = name_in(document["schema"]);
    keep(name, answer);
    if (name == "exchange") return {}; // docs/exchange.schema.json: tests/exchange
    valijson::ValidationResults results;
    valijson::Validator validator(valijson::Validator::kStrongTypes);
    if (validator.validate(schema_of(name), valijson::adapters::NlohmannJsonAdapter(document), &results)) return {};
    std::string why = name + ": ";
    valijson::ValidationResults::Error error;
    while (results.popError(error)) {
        for (const std::string& step : error.context) why += step;
        why += ": " + error.description + "\n";
    }
    return why;
}

} // namespace lotwort::test
