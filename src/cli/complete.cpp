#include "complete.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/unit_system.hpp>
#include <lotwort/desk/names.hpp>
#include <map>

namespace lotwort::cli {

namespace {

using Words = std::vector<std::string>;

// One thing that may be typed, and what it is.
struct Candidate {
    std::string word;
    std::string_view what{};
};
using Candidates = std::vector<Candidate>;

bool is_word(std::string_view text) {
    return !text.empty() && text.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string_view::npos;
}

// The words that an explanation lists: "add, change, list or show" are four, as they are behind "to do: "; "only this
// item" is none.
Words listed_words(std::string_view what) {
    std::string_view list = what.substr(0, what.find(';'));
    if (const auto colon = list.rfind(": "); colon != std::string_view::npos) list.remove_prefix(colon + 2);
    Words words;
    while (!list.empty()) {
        const auto comma = std::min(list.find(", "), list.size()), either = std::min(list.find(" or "), list.size());
        const auto end = std::min(comma, either);
        std::string_view word = list.substr(0, end);
        list.remove_prefix(std::min(end + (comma <= either ? 2 : 4), list.size()));
        if (word.starts_with("or ")) word.remove_prefix(3);
        word = word.substr(0, word.find(" ("));
        if (is_word(word)) words.emplace_back(word);
    }
    return words.size() > 1 ? words : Words{};
}

template <class Enum>
Words words_of() {
    return {WordsOf<Enum>::list.begin(), WordsOf<Enum>::list.end()};
}

template <class Record, class Name>
void add_names(Words& names, const std::vector<Record>& records, Name Record::*name) {
    for (const Record& record : records) names.push_back(record.*name);
}

// The ledger's names, read once and only where they are asked for.
class Known {
public:
    Known(const Words& words, const Surroundings& surroundings) : call_(looks_, ledger_of(words), surroundings) {}

    Words lots() {
        Words names;
        for (const StockRow& row : call_.ledger().stock())
            if (row.on_hand.units > 0) names.push_back(row.lot);
        return names;
    }
    Words brews() {
        Words names;
        add_names(names, call_.ledger().brews(), &Brew::code);
        return names;
    }
    const Book& book() {
        if (!book_) book_ = call_.ledger().definitions();
        return *book_;
    }
    template <class Record, class Name>
    Words of(std::vector<Record> Book::*records, Name Record::*name) {
        Words names;
        add_names(names, book().*records, name);
        return names;
    }

private:
    static constexpr Command looks_{.name = "lotwort", .group = Group::keep, .summary = "", .ledger = LedgerUse::reads};

    static Arguments ledger_of(const Words& words) {
        const auto option = std::ranges::find(words, "--ledger");
        if (option == words.end() || option + 1 == words.end()) return parse_arguments(looks_, {});
        return parse_arguments(looks_, {"--ledger", *(option + 1)});
    }

    Call call_;
    std::optional<Book> book_;
};

Words both(Words a, const Words& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

// NAME stands for many things; its verb, its option or the word before it says of what.
Words named(Known& known, const std::string& of) {
    if (of == "brewhouse") return known.of(&Book::brewhouses, &Brewhouse::name);
    if (of == "recipe") return known.of(&Book::recipes, &Recipe::name);
    if (of == "instrument") return known.of(&Book::instruments, &Instrument::name);
    if (of == "supplier") return known.of(&Book::suppliers, &Supplier::name);
    if (of == "brew") return known.brews();
    if (of == "lot") return known.lots();
    if (of == "brew-sheet") return known.of(&Book::plans, &Plan::code);
    return {};
}

// What may stand for a value called so (LOT, ITEM, ...); `of` tells what a NAME or CODE is of.
Words values(Known& known, std::string_view name, std::string_view what, const std::string& of) {
    if (name.starts_with("LOT")) return known.lots();
    if (name == "ITEM") return known.of(&Book::items, &Item::name);
    if (name == "BREW") return known.brews();
    if (name == "PLAN") return known.of(&Book::plans, &Plan::code);
    if (name == "ORDER") return known.of(&Book::orders, &Order::code);
    if (name == "SUPPLIER") return known.of(&Book::suppliers, &Supplier::name);
    if (name == "RECIPE") return both(known.of(&Book::recipes, &Recipe::name), known.of(&Book::plans, &Plan::code));
    if (name == "CODE" && of == "brew") return both(known.of(&Book::plans, &Plan::code), known.brews());
    if (name == "CODE" && of == "trace") return both(known.lots(), known.brews());
    if (name == "READING" || name == "POINT") return words_of<ReadingPoint>();
    if (name == "SYSTEM") return words_of<UnitSystem>();
    if (name == "INSTRUMENT") return known.of(&Book::instruments, &Instrument::name);
    if (name == "TANK") return known.of(&Book::tanks, &Tank::name);
    if (name == "CLASS") return malt_class_names();
    if (name == "NAME") return named(known, of);
    constexpr std::string_view of_words[] = {"ACTION", "KIND", "WHAT", "BASIS", "HOW", "UNIT", "EFFICIENCY"};
    return std::ranges::find(of_words, name) != std::end(of_words) ? listed_words(what) : Words{};
}

// Where in the verb's words the last one stands: behind an option, or so many positionals in.
struct Where {
    const Option* option = nullptr; // whose value it is
    std::size_t positional = 0;
    std::string before; // the positional before it
};

Where where(const std::vector<Option>& options, const Words& words) {
    Where at;
    for (std::size_t i = 1; i + 1 < words.size(); ++i) {
        at.option = nullptr;
        if (!words[i].starts_with("--")) {
            ++at.positional;
            at.before = words[i];
            continue;
        }
        const auto option = std::ranges::find(options, std::string_view(words[i]).substr(2), &Option::name);
        if (option == options.end() || option->value.empty()) continue;
        if (i + 2 == words.size())
            at.option = &*option;
        else
            ++i; // its value
    }
    return at;
}

Candidates without_words(const Words& words) {
    Candidates all;
    for (const std::string& word : words) all.push_back({word});
    return all;
}

// Before any verb: the verbs, and what goes without one.
Candidates beginnings() {
    Candidates all;
    for (const Command* command : commands()) all.push_back({std::string(command->name), command->summary});
    all.push_back({"help", "the page of a verb"});
    all.push_back({"--help", "amounts, dates, the ledger, exit statuses"});
    all.push_back({"--version", "the version"});
    all.push_back({"--manual", "a verb's page as a manual page"});
    all.push_back({"--completion", "the completion of a shell: bash, fish or zsh"});
    return all;
}

Candidates candidates(const Words& words, const Surroundings& surroundings) {
    if (words.size() <= 1) return beginnings();
    const bool is_page = words.size() == 2 && (words.front() == "help" || words.front() == "--manual");
    Candidates all;
    if (is_page)
        for (const Command* command : commands()) all.push_back({std::string(command->name), command->summary});
    if (words.size() == 2 && words.front() == "--completion") return without_words({"bash", "fish", "zsh"});
    const auto command = std::ranges::find(commands(), words.front(), [](const Command* c) { return c->name; });
    if (command == commands().end()) return all;
    const auto options = all_options(**command);
    const Where at = where(options, words);
    Known known(words, surroundings);
    if (at.option != nullptr) {
        if (words.front() == "history" && at.option->name == "kind") return without_words(words_of<EntryKind>());
        return without_words(values(known, at.option->value, at.option->what, std::string(at.option->name)));
    }
    if (words.back().starts_with('-')) {
        for (const Option& option : options) all.push_back({"--" + std::string(option.name), option.what});
        return all;
    }
    const auto positionals = (*command)->positionals;
    if (positionals.empty()) return all;
    const Positional& positional = positionals[std::min(at.positional, positionals.size() - 1)];
    if (at.positional >= positionals.size() && !positional.many) return all;
    const bool report = words.front() == "report";
    return without_words(values(known, positional.name, positional.what, report ? at.before : words.front()));
}

} // namespace

std::string completions(const std::vector<std::string>& words, const Surroundings& surroundings, Described described) {
    const std::string begun = words.empty() ? "" : words.back();
    std::map<std::string, std::string_view> fitting;
    try {
        for (Candidate& one : candidates(words, surroundings))
            if (one.word.starts_with(begun)) fitting.emplace(std::move(one.word), one.what);
    } catch (const Error&) { // no ledger: a shell that waits for words must not be shown a refusal
        return "";
    }
    std::string text;
    for (const auto& [word, what] : fitting)
        text += described == Described::no || what.empty() ? word + "\n" : fmt::format("{}  {}\n", word, what);
    return text;
}

} // namespace lotwort::cli
