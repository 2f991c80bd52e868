#include <fmt/format.h>
#include <functional>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/named_words.hpp>
#include <nlohmann/json.hpp>
#include <optional>

namespace lotwort {

namespace {

using Json = nlohmann::json;

constexpr std::string_view example = R"(write {"ITEM": "pale ale malt", "AMOUNT": "25kg", "dry-run": true})";

[[noreturn]] void refuse(const std::string& what) {
    throw Error(ErrorKind::usage, what, std::string(example));
}

std::optional<std::string> word_of(const std::string& name, const Json& value) {
    if (value.is_string()) return value.get<std::string>();
    if (value.is_number()) return value.dump();
    if (value.is_boolean()) return value.get<bool>() ? std::optional<std::string>("") : std::nullopt;
    if (value.is_null()) return std::nullopt;
    refuse(fmt::format("{} is neither text nor number, true or a list of them", name));
}

} // namespace

std::map<std::string, std::vector<std::string>, std::less<>> named_words(std::string_view json) {
    const Json sent = Json::parse(json, nullptr, false);
    if (sent.is_discarded()) refuse("this is no JSON");
    if (!sent.is_object()) refuse("this is no object of words by their names");
    std::map<std::string, std::vector<std::string>, std::less<>> words;
    for (const auto& [name, value] : sent.items()) {
        const Json list = value.is_array() ? value : Json::array({value});
        for (const Json& one : list)
            if (auto word = word_of(name, one)) words[name].push_back(std::move(*word));
    }
    return words;
}

} // namespace lotwort
