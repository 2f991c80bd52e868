#include <algorithm>
#include <lotwort/verbs/refusal.hpp>

namespace lotwort::verbs {

namespace {

bool begins_with_word(std::string_view message, std::string_view word) {
    if (!message.starts_with(word)) return false;
    const std::string_view rest = message.substr(word.size());
    return rest.empty() || rest.find_first_of(" :=") == 0;
}

std::string named_first(const Command& command, std::string_view message) {
    for (std::string_view lead : {"", "the value of "}) {
        if (!message.starts_with(lead)) continue;
        const std::string_view said = message.substr(lead.size());
        for (const Option& option : all_options(command))
            if (begins_with_word(said, "--" + std::string(option.name))) return std::string(option.name);
        for (const Positional& positional : command.positionals)
            if (begins_with_word(said, positional.name)) return std::string(positional.name);
    }
    return {};
}

std::string quoted_value(const NamedWords& words, std::string_view message) {
    std::string found;
    for (const auto& [name, values] : words)
        for (const std::string& value : values) {
            if (value.empty() || message.find("`" + value + "`") == std::string_view::npos) continue;
            if (!found.empty() && found != name) return {};
            found = name;
        }
    return found;
}

} // namespace

report::Refusal refusal_of(const Command& command, const NamedWords& words, const Error& fault) {
    report::Refusal refusal{std::string(command.name), fault.kind(), fault.what(), fault.hint(), {}};
    refusal.field = named_first(command, refusal.message);
    if (refusal.field.empty()) refusal.field = quoted_value(words, refusal.message);
    return refusal;
}

} // namespace lotwort::verbs
