#include <algorithm>
#include <fmt/format.h>
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

namespace {

[[noreturn]] void refuse(const std::string& message, std::string hint) {
    throw Error(ErrorKind::usage, message, std::move(hint));
}

bool is_blank(const std::string& text) {
    return text.find_first_not_of(' ') == std::string::npos;
}

void demand_option(const Command& command, const Option& option, const std::vector<std::string>& values) {
    if (!option.value.empty() && std::ranges::any_of(values, is_blank))
        refuse(fmt::format("the value of --{} is empty", option.name),
               fmt::format("write --{} {}: {}", option.name, option.value, option.what));
    if (!option.many && values.size() > 1)
        refuse(fmt::format("--{} is given more than once", option.name),
               fmt::format("lotwort {} --help shows every option, with an example", command.name));
}

void demand_positional(const Command& command, const Positional& positional, const std::vector<std::string>& values) {
    if (values.empty() && !positional.optional)
        refuse(fmt::format("{} is missing: {}", positional.name, positional.what), "write: " + usage_of(command));
    if (std::ranges::any_of(values, is_blank))
        refuse(fmt::format("{} is empty: {}", positional.name, positional.what), "write: " + usage_of(command));
    if (!positional.many && values.size() > 1)
        refuse(fmt::format("{} is given more than once", positional.name), "write: " + usage_of(command));
}

} // namespace

std::string usage_of(const Command& command) {
    std::string line = fmt::format("lotwort {}", command.name);
    for (const Positional& p : command.positionals) {
        const std::string name = fmt::format("{}{}", p.name, p.many ? " ..." : "");
        line += p.optional ? fmt::format(" [{}]", name) : " " + name;
    }
    return line;
}

bool names_file(std::string_view word) {
    return word == "FILE" || word == "PATH";
}

Arguments arguments_of(const Command& command, const NamedWords& words) {
    static const std::vector<std::string> none;
    const auto given = [&](std::string_view name) -> const std::vector<std::string>& {
        const auto found = words.find(name);
        return found == words.end() ? none : found->second;
    };
    const auto options = all_options(command);
    for (const auto& [name, values] : words)
        if (std::ranges::find(options, name, &Option::name) == options.end() &&
            std::ranges::find(command.positionals, name, &Positional::name) == command.positionals.end())
            refuse(fmt::format("`{}` is neither a word nor an option of {}", name, command.name),
                   fmt::format("lotwort {} --help shows every option, with an example", command.name));
    const bool wants_help = !given("help").empty(); // the page is shown whatever else is missing
    if (!wants_help)
        for (const Option& option : options) demand_option(command, option, given(option.name));
    if (!wants_help && command.has_rows && !given("csv").empty() && !given("json").empty())
        refuse("--csv and --json are two forms of one answer", "leave one of them out");
    if (!wants_help)
        for (const Positional& positional : command.positionals)
            demand_positional(command, positional, given(positional.name));
    Arguments arguments(command);
    for (const auto& [name, all] : words)
        for (const std::string& value : all) arguments.add(name, value);
    return arguments;
}

} // namespace lotwort::verbs
