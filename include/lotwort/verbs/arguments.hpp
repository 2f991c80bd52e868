// What was typed behind a verb.
#pragma once

#include <functional>
#include <lotwort/verbs/command.hpp>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort::verbs {

// What was given under each declared name; a switch that is on has one empty word.
using NamedWords = std::map<std::string, std::vector<std::string>, std::less<>>;

// The words of a command line, sorted under the declared names. Asking for a name that is not declared is a bug. What
// was typed is to be asked for: a switch by `has`, a value by one of the three that hand it out.
class Arguments {
public:
    explicit Arguments(const Command& command); // with nothing typed
    void add(std::string_view name, std::string value);

    [[nodiscard]] bool has(std::string_view name) const;   // was it typed? A value still waits for who reads it
    [[nodiscard]] bool holds(std::string_view name) const; // the same, and no step of the run has asked for it
    [[nodiscard]] std::optional<std::string> text(std::string_view name) const; // none where it was not given
    [[nodiscard]] const std::string& required(std::string_view name) const;     // of a positional that must be there
    [[nodiscard]] const std::vector<std::string>& all(std::string_view name) const;
    // What was typed and nobody has asked for, as a person would name it: --price, `25kg`.
    [[nodiscard]] std::vector<std::string> unused() const;

private:
    struct Typed {
        bool is_option = false, is_switch = false;
        std::vector<std::string> values;
        mutable bool asked = false;
    };
    [[nodiscard]] const Typed& typed(std::string_view name) const;
    std::map<std::string, Typed, std::less<>> words_; // an entry for each declared name
};

// Sorted, and looked at as far as that needs no ledger. Error(usage) for what is missing, empty, given more than once
// where one is enough, for a name that is not declared, and for two forms of one answer. Nothing of it with --help.
[[nodiscard]] Arguments arguments_of(const Command& command, const NamedWords& words);

// "lotwort discard LOT AMOUNT"
[[nodiscard]] std::string usage_of(const Command& command);

// The word names a file to be read or written: --out FILE, PATH.
[[nodiscard]] bool names_file(std::string_view word);

} // namespace lotwort::verbs
