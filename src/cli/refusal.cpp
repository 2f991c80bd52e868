// A refusal as the programs that asked for JSON are told it.
#include <algorithm>
#include <lotwort/cli/program.hpp>
#include <lotwort/verbs/refusal.hpp>

namespace lotwort::cli {

namespace {

using Words = std::vector<std::string>;

// The words under their names as far as they can be told apart: what was refused may be that they cannot.
NamedWords named_words(const Command& command, const Words& words) {
    const auto options = all_options(command);
    NamedWords named;
    std::size_t position = 0;
    for (std::size_t i = 1; i < words.size(); ++i) {
        if (!words[i].starts_with("--")) {
            if (!command.positionals.empty())
                named[std::string(command.positionals[std::min(position, command.positionals.size() - 1)].name)]
                    .push_back(words[i]);
            ++position;
            continue;
        }
        const auto equals = words[i].find('=');
        const std::string name = words[i].substr(2, equals == std::string::npos ? equals : equals - 2);
        const auto option = std::ranges::find(options, std::string_view(name), &Option::name);
        if (equals != std::string::npos)
            named[name].push_back(words[i].substr(equals + 1));
        else if (option != options.end() && !option->value.empty() && i + 1 < words.size())
            named[name].push_back(words[++i]);
    }
    return named;
}

} // namespace

std::string refusal_for_programs(const std::vector<std::string>& words, const Error& fault) {
    const auto end = std::ranges::find(words, "--");
    if (std::find(words.begin(), end, "--json") == end) return {};
    const auto command = std::ranges::find(commands(), words.front(), [](const Command* c) { return c->name; });
    if (command == commands().end()) return report::refusal_json({{}, fault.kind(), fault.what(), fault.hint(), {}});
    return report::refusal_json(refusal_of(**command, named_words(**command, words), fault));
}

} // namespace lotwort::cli
