#include <lotwort/core/error.hpp>
#include <lotwort/verbs/arguments.hpp>

namespace lotwort::verbs {

Arguments::Arguments(const Command& command) {
    for (const Option& option : all_options(command))
        words_[std::string(option.name)] = {true, option.value.empty(), {}};
    for (const Positional& positional : command.positionals) words_[std::string(positional.name)];
}

void Arguments::add(std::string_view name, std::string value) {
    const auto found = words_.find(name);
    LOTWORT_CHECK(found != words_.end());
    found->second.values.push_back(std::move(value));
}

const Arguments::Typed& Arguments::typed(std::string_view name) const {
    const auto found = words_.find(name);
    LOTWORT_CHECK(found != words_.end());
    return found->second;
}

bool Arguments::has(std::string_view name) const {
    const Typed& word = typed(name);
    if (word.is_switch) word.asked = true;
    return !word.values.empty();
}

bool Arguments::holds(std::string_view name) const {
    return !typed(name).values.empty();
}

const std::vector<std::string>& Arguments::all(std::string_view name) const {
    const Typed& word = typed(name);
    word.asked = true;
    return word.values;
}

std::optional<std::string> Arguments::text(std::string_view name) const {
    const auto& values = all(name);
    return values.empty() ? std::nullopt : std::optional(values.front());
}

const std::string& Arguments::required(std::string_view name) const {
    const auto& values = all(name);
    LOTWORT_CHECK(!values.empty());
    return values.front();
}

std::vector<std::string> Arguments::unused() const {
    std::vector<std::string> names;
    for (const auto& [name, word] : words_) {
        if (word.asked || word.values.empty()) continue;
        if (word.is_option)
            names.push_back("--" + name);
        else
            for (const auto& value : word.values) names.push_back("`" + value + "`");
    }
    return names;
}

} // namespace lotwort::verbs
