#include "complete.hpp"
#include "faults.hpp"
#include "manual.hpp"
#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/cli/embedded.hpp>
#include <lotwort/cli/program.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/next_steps.hpp>
#include <lotwort/report/next.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/verbs/units.hpp>
#include <lotwort/verbs/visible.hpp>

namespace lotwort::cli {

namespace {

constexpr std::string_view version_line = "lotwort 0.1.0\n";

const Command* find(std::string_view name) {
    for (const Command* command : commands())
        if (command->name == name) return command;
    return nullptr;
}

std::string_view heading(Group group) {
    switch (group) {
    case Group::set_up:
        return "Set up";
    case Group::stock:
        return "Stock";
    case Group::brew:
        return "Brew";
    case Group::look_back:
        return "Look back";
    case Group::keep:
        return "Keep the ledger";
    }
    report_bug("group has a heading", std::source_location::current());
}

// What `lotwort` alone adds to its list of verbs: the steps where there is a ledger, why it cannot be read where that
// is so, how to make one where there is none.
std::string next_of_ledger(const Surroundings& surroundings) {
    static constexpr Command looks{.name = "lotwort", .group = Group::keep, .summary = "", .ledger = LedgerUse::reads};
    static constexpr std::string_view none = "\nType next: lotwort init, then lotwort receive \"pale ale malt\" 25kg\n";
    Call call(looks, Arguments(looks), surroundings);
    try {
        const std::string path = call.ledger_path();
        std::error_code fault;
        if (!std::filesystem::exists(path, fault)) return std::string(none);
        const report::AnswersIn units = answers_in(call);
        return report::as_answered(report::next_text(path, next_steps(call.desk())));
    } catch (const Error& e) { // the list of verbs is worth having whatever the ledger is
        return fmt::format("\nThe ledger cannot be looked at: {}\n{}\n", e.what(), e.hint());
    }
}

std::string overview(const Surroundings& surroundings) {
    std::string text = "lotwort keeps a brewery's stock by lot and reconciles its brews.\n";
    const Command* before = nullptr;
    for (const Command* command : commands()) {
        if (before == nullptr || before->group != command->group)
            text += fmt::format("\n{}\n", heading(command->group));
        text += fmt::format("  {:<11} {}\n", command->name, command->summary);
        before = command;
    }
    text += next_of_ledger(surroundings);
    text += "\nA verb's page, with a worked example: lotwort VERB --help\n"
            "Amounts, dates, the ledger, exit statuses: lotwort --help\n";
    return text;
}

// What was typed, with the verb put first; where none was, the place it has.
std::string verb_first(const std::vector<std::string>& words) {
    const auto verb = std::ranges::find_if(words, [](const std::string& word) { return find(word) != nullptr; });
    if (verb == words.end()) return "lotwort VERB --option";
    std::string line = "lotwort " + *verb;
    for (auto word = words.begin(); word != words.end(); ++word)
        if (word != verb) line += " " + shell_word(*word);
    return line;
}

[[noreturn]] void refuse_verb(const std::vector<std::string>& words) {
    const std::string& given = words.front();
    if (given.starts_with('-'))
        throw Error(ErrorKind::usage, fmt::format("`{}` stands before the verb", given),
                    "the verb comes first: " + verb_first(words));
    std::vector<std::string> names;
    for (const Command* command : commands()) names.emplace_back(command->name);
    const std::string near = did_you_mean(given, names);
    throw Error(ErrorKind::usage, fmt::format("there is no verb `{}`", given),
                near.empty() ? "lotwort alone lists the verbs" : near);
}

std::string completion_of(const std::string& shell) {
    std::vector<std::string> shells;
    for (const EmbeddedText& script : embedded_completions()) {
        if (script.name == shell) return std::string(script.text);
        shells.emplace_back(script.name);
    }
    throw Error(ErrorKind::usage, fmt::format("there is no completion for `{}`", shell),
                fmt::format("write one of: {}", fmt::join(shells, ", ")));
}

std::string page_of(const std::string& verb) {
    if (verb != "lotwort" && find(verb) == nullptr) refuse_verb({verb});
    return help_text(verb);
}

Answer run(const Command& command, const std::vector<std::string>& words, const Surroundings& surroundings) {
    const Arguments arguments = parse_arguments(command, {words.begin() + 1, words.end()});
    if (arguments.has("help")) return {help_text(command.name)};
    const bool reads_input = std::ranges::find(words, "-") != words.end();
    return run_verb(command, arguments, surroundings, !reads_input);
}

// The line, booking nothing and asking nothing: for what else is wrong with it.
void rehearse(const Command& command, std::vector<std::string> words, Surroundings around) {
    around.ask = nullptr;
    around.progress = nullptr;
    around.on_booked = nullptr;
    around.on_interrupt = nullptr;
    const bool is_rehearsed = std::ranges::any_of(words, [](const auto& w) { return w == "-n" || w == "--dry-run"; });
    if (command.ledger == LedgerUse::writes && !is_rehearsed) words.insert(words.begin() + 1, "--dry-run");
    try {
        (void)run(command, words, around);
    } catch (const Error& fault) { // this way of the verb books nothing
        if (is_rehearsed || std::string_view(fault.what()).find("--dry-run") == std::string_view::npos) throw;
    }
}

// What comes by standard input comes once, and a search may last.
bool may_be_rehearsed(const Command& command, const std::vector<std::string>& words) {
    const bool reads_input = std::ranges::find(words, "-") != words.end();
    const bool searches = command.name == "buy" || command.name == "substitute";
    return !reads_input && !searches && (command.ledger == LedgerUse::writes || command.ledger == LedgerUse::none);
}

Answer answered(const std::vector<std::string>& words, const Surroundings& surroundings) {
    for (const std::string& word : words) demand_text(word, "an argument");
    if (surroundings.by) demand_text(*surroundings.by, "LOTWORT_BY");
    if (words.empty()) return {overview(surroundings)};
    const bool is_alone = words.size() == 1;
    if (is_alone && (words.front() == "--help" || words.front() == "-h")) return {help_text("lotwort")};
    if (is_alone && (words.front() == "--version" || words.front() == "version")) return {std::string(version_line)};
    if (words.front() == "--manual" && words.size() == 2) return {manual_page(words.back())};
    if (words.front() == "--completion" && words.size() == 2) return {completion_of(words.back())};
    if (words.front() == "--complete") return {completions({words.begin() + 1, words.end()}, surroundings)};
    if (words.front() == "--complete-described")
        return {completions({words.begin() + 1, words.end()}, surroundings, Described::yes)};
    if (words.front() == "help" && words.size() <= 2) return {page_of(words.size() == 2 ? words.back() : "lotwort")};
    const Command* command = find(words.front());
    if (command == nullptr) refuse_verb(words);
    try {
        return run(*command, words, surroundings);
    } catch (const Error& fault) {
        if (fault.kind() > ErrorKind::usage || !may_be_rehearsed(*command, words)) throw;
        throw all_faults(words, fault, [&](const auto& mended) { rehearse(*command, mended, surroundings); });
    }
}

} // namespace

Answer dispatch(const std::vector<std::string>& words, const Surroundings& surroundings) {
    const report::LinesOf lines(surroundings.columns.value_or(report::usual_line));
    return answered_visibly(surroundings, [&](const Surroundings& around) { return answered(words, around); });
}

} // namespace lotwort::cli
