// A verb as plain data: its words, its options, what it does to the ledger, and the function that answers.
//
// One verb, one file (src/verbs/NAME.cpp), in three parts: the declared options (constexpr tables), `parse` (words to
// values of the library) and `run` (call the library, hand the value to report). The tables are read by the parser, by
// the list of verbs and by the tests that hold docs/commands/NAME.md against them.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort::verbs {

// What a verb does to the ledger; the dispatcher opens it so, and no verb opens it itself.
enum class LedgerUse { none, reads, writes, creates };

// The order of work, and the headings of the list that `lotwort` alone prints.
enum class Group { set_up, stock, brew, look_back, keep };

struct Option {
    std::string_view name;    // without dashes: best-before
    std::string_view value;   // what stands for its value in the usage line: DATE. Empty: a switch
    std::string_view what;    // one line; its page says the rest
    bool many = false;        // may be given more than once
    std::string_view alone{}; // what it means where no value follows; empty: one must
};

struct Positional {
    std::string_view name; // LOT
    std::string_view what;
    bool optional = false; // only the last ones may be
    bool many = false;     // only the last one may be; takes all that is left
};

// A verb's answer: what goes to standard output, and the exit status of an answer that is bad news (3 where there
// is no feasible answer, 5 where verify found a fault). Input that cannot be used is thrown as Error instead.
struct Answer {
    std::string text; // what Surroundings::out has not been given already
    int status = 0;
    bool is_file = false; // a page or an exchange file, to be given out as it is
};

class Call;

struct Command {
    std::string_view name;
    Group group = Group::stock;
    std::string_view summary; // one line, without a full stop
    LedgerUse ledger = LedgerUse::reads;
    std::span<const Positional> positionals = {};
    std::span<const Option> options = {}; // its own; the common ones follow from the next three and `ledger`
    bool back_dates = false;              // --on DATE
    bool has_rows = false;                // --csv
    bool doubts = false;                  // --sure: it asks about what is hard to believe
    bool has_units = true;                // --units, where it looks into a ledger: it answers in quantities
    Answer (*run)(Call&) = nullptr;
};

// The options a verb takes, its own first and then the common ones: --on, --sure, --by, --note, -n/--dry-run (writing
// verbs), --ledger (all but those that need none), --json, --csv, --help.
[[nodiscard]] std::vector<Option> all_options(const Command& command);

// All verbs, in the order of work.
[[nodiscard]] std::span<const Command* const> commands();

} // namespace lotwort::verbs
