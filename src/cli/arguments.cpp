// Words to declared names, by Boost.Program_options. Its guessing is off: it would let `--no` stand for `--note`.
#include <algorithm>
#include <boost/program_options.hpp>
#include <fmt/format.h>
#include <lotwort/cli/program.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/core/typed.hpp>

namespace lotwort::cli {

namespace {

namespace po = boost::program_options;

[[noreturn]] void refuse(const Command& command, const std::string& message, std::string hint = {}) {
    if (hint.empty()) hint = fmt::format("lotwort {} --help shows every option, with an example", command.name);
    throw Error(ErrorKind::usage, message, std::move(hint));
}

// `-n` is the one short form: --dry-run.
std::string boost_name(const Option& option) {
    if (option.name == "dry-run") return "dry-run,n";
    return option.name == "help" ? "help,h" : std::string(option.name);
}

// Made once: a delivery note has a line of words in each of its rows.
const po::options_description& description_of(const Command& command) {
    static std::map<const Command*, po::options_description> made;
    const auto [at, is_new] = made.try_emplace(&command);
    po::options_description& description = at->second;
    if (!is_new) return description;
    for (const Option& option : all_options(command)) {
        if (option.value.empty())
            description.add_options()(boost_name(option).c_str(), "");
        else
            description.add_options()(boost_name(option).c_str(), po::value<std::vector<std::string>>(), "");
    }
    description.add_options()("(words)", po::value<std::vector<std::string>>(), "");
    return description;
}

// What people call some options; none of them is near the option's own name.
constexpr std::pair<std::string_view, std::string_view> other_names[] = {
    {"cost", "price"},      {"code", "lot"}, {"date", "on"},     {"expiry", "best-before"},
    {"bbe", "best-before"}, {"aa", "alpha"}, {"comment", "note"}};

[[noreturn]] void refuse_unknown(const Command& command, const std::string& given) {
    std::vector<std::string> names;
    for (const Option& option : all_options(command)) names.push_back("--" + std::string(option.name));
    const auto meant =
        std::ranges::find(other_names, std::string_view(given).substr(std::min<std::size_t>(2, given.size())),
                          &std::pair<std::string_view, std::string_view>::first);
    if (meant != std::end(other_names) && std::ranges::find(names, "--" + std::string(meant->second)) != names.end())
        refuse(command, fmt::format("`{}` is not an option of {}", given, command.name),
               fmt::format("did you mean `--{}`?", meant->second));
    const bool is_amount = given.size() > 1 && (given[1] == '.' || (given[1] >= '0' && given[1] <= '9'));
    refuse(command, fmt::format("`{}` is not an option of {}", given, command.name),
           is_amount
               ? fmt::format("an amount is written without a sign: {}; what must begin with a dash goes behind `--`",
                             given.substr(1))
               : did_you_mean(given, names));
}

po::parsed_options parse_words(const Command& command, const std::vector<std::string>& words,
                               const po::options_description& description) {
    po::positional_options_description positional;
    positional.add("(words)", -1);
    const int style = po::command_line_style::unix_style & ~po::command_line_style::allow_guessing;
    try {
        return po::command_line_parser(words).options(description).positional(positional).style(style).run();
    } catch (const po::unknown_option& e) {
        refuse_unknown(command, e.get_option_name());
    } catch (const po::invalid_command_line_syntax& e) {
        const bool surplus = e.kind() == po::invalid_command_line_syntax::extra_parameter;
        refuse(command, fmt::format("{} {}", e.get_option_name(), surplus ? "takes no value" : "needs a value"),
               surplus ? "leave out what stands behind `=`"
                       : "an argument that begins with a dash goes behind `--`, a value that does behind `=`");
    } catch (const po::error& e) {
        refuse(command, e.what());
    }
}

// 5 kg, typed apart, is 5kg: a plain number before a unit means nothing else.
std::vector<std::string> with_units_joined(const std::vector<std::string>& words) {
    std::vector<std::string> joined;
    const auto is_number = [](const std::string& word) {
        return !word.empty() && word.front() >= '0' && word.front() <= '9' &&
               word.find_first_not_of("0123456789.,") == std::string::npos;
    };
    for (const std::string& word : words) {
        if (!joined.empty() && is_number(joined.back()) && is_unit(word))
            joined.back() += word;
        else
            joined.push_back(word);
    }
    return joined;
}

// What an option says alone: plan --month is this month.
std::vector<std::string> with_values_alone(const Command& command, std::vector<std::string> words) {
    for (const Option& option : all_options(command)) {
        if (option.alone.empty()) continue;
        for (std::size_t at = 0; at < words.size() && words[at] != "--"; ++at)
            if (words[at] == "--" + std::string(option.name) &&
                (at + 1 == words.size() || (words[at + 1].starts_with('-') && words[at + 1] != "--")))
                words[at] += "=" + std::string(option.alone);
    }
    return words;
}

bool is_blank(const std::string& text) {
    return text.find_first_not_of(' ') == std::string::npos;
}

// Of an option's value. `--reason --dry-run` is a value forgotten, and would book where nothing was to be booked.
void demand_value(const Command& command, const Option& option, const po::option& found) {
    if (option.value.empty()) return;
    if (found.value.empty() || is_blank(found.value.front()))
        refuse(command, fmt::format("the value of --{} is empty", option.name),
               fmt::format("write --{} {}: {}", option.name, option.value, option.what));
    const std::string& value = found.value.front();
    const bool apart = found.original_tokens.size() > 1; // else it was written behind `=`
    if (apart && (value.starts_with("--") || value == "-n" || value == "-h"))
        refuse(command, fmt::format("--{} needs a value, and `{}` is an option", option.name, value),
               fmt::format("write --{} {}; a value that begins with a dash goes behind `=`: --{}={}", option.name,
                           option.value, option.name, value));
}

// What was typed with its name in quotes: lotwort receive "pale ale malt" 3kg of receive pale ale malt 3kg. The last
// words are what stands behind the name.
std::string in_quotes(const Command& command, const std::vector<std::string>& loose) {
    const bool has_action = command.positionals.size() > 1 && command.positionals.front().name == "ACTION";
    const std::size_t name_at = has_action ? 1 : 0, behind = command.positionals.size() - name_at - 1;
    const auto is_figure = [](const std::string& word) { return word.front() >= '0' && word.front() <= '9'; };
    const auto figures = std::ranges::count_if(loose, is_figure);
    const bool is_named = command.positionals.size() > name_at && command.positionals[name_at].name == "ITEM" &&
                          loose.size() > name_at + behind + 1;
    if (!is_named || figures > static_cast<std::ptrdiff_t>(behind) || (figures > 0 && !is_figure(loose.back())))
        return fmt::format("write: {} (names with spaces go in quotes)", usage_of(command));
    const auto end = loose.end() - figures;
    std::string line = fmt::format("lotwort {}{}", command.name, has_action ? " " + loose.front() : ""), name;
    for (auto word = loose.begin() + static_cast<std::ptrdiff_t>(name_at); word != end; ++word)
        name += (name.empty() ? "" : " ") + *word;
    line += " " + shell_word(name);
    for (auto word = end; word != loose.end(); ++word) line += " " + shell_word(*word);
    return "a name with spaces goes in quotes: " + line;
}

// Words that are no option's, to the positionals in turn.
void sort_loose(const Command& command, const std::vector<std::string>& loose, NamedWords& sorted) {
    std::size_t next = 0;
    for (const Positional& positional : command.positionals) {
        if (next == loose.size()) return;
        auto& values = sorted[std::string(positional.name)];
        do values.push_back(loose[next++]);
        while (positional.many && next < loose.size());
    }
    if (next < loose.size())
        refuse(command, fmt::format("`{}` is one word too many", loose[next]), in_quotes(command, loose));
}

} // namespace

Arguments parse_arguments(const Command& command, const std::vector<std::string>& words) {
    const po::options_description& description = description_of(command);
    const auto parsed = parse_words(command, with_values_alone(command, with_units_joined(words)), description);

    const auto options = all_options(command);
    NamedWords words_of;
    std::vector<std::string> loose;
    for (const auto& found : parsed.options) {
        if (found.position_key >= 0) {
            loose.insert(loose.end(), found.value.begin(), found.value.end());
            continue;
        }
        demand_value(command, *std::ranges::find(options, found.string_key, &Option::name), found);
        auto& of_option = words_of[found.string_key];
        if (found.value.empty())
            of_option.emplace_back();
        else
            of_option.insert(of_option.end(), found.value.begin(), found.value.end());
    }
    if (!words_of.contains("help")) sort_loose(command, loose, words_of); // the page is shown whatever is typed
    return arguments_of(command, words_of);
}

} // namespace lotwort::cli
