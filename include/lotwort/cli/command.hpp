// A verb of the command line as plain data, and what its `run` is given.
//
// One verb, one file (src/cli/verb_NAME.cpp), in three parts: the declared options (constexpr tables), `parse`
// (words to values of the library) and `run` (call the library, hand the value to report). The tables are read
// by the parser, by the list of verbs and by the tests that hold docs/commands/NAME.md against them.
#pragma once

#include <atomic>
#include <functional>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/entry.hpp>
#include <lotwort/store/ledger.hpp>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort::cli {

// What a verb does to the ledger; the dispatcher opens it so, and no verb opens it itself.
enum class LedgerUse { none, reads, writes, creates };

// The order of work, and the headings of the list that `lotwort` alone prints.
enum class Group { set_up, stock, brew, look_back, keep };

struct Option {
    std::string_view name;  // without dashes: best-before
    std::string_view value; // what stands for its value in the usage line: DATE. Empty: a switch
    std::string_view what;  // one line; its page says the rest
    bool many = false;      // may be given more than once
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
};

// What was wrong with the value of an option, the option named: "--moisture `80%` is not ...".
[[nodiscard]] Error of_option(std::string_view option, const Error& fault);

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
    Answer (*run)(Call&) = nullptr;
};

// The options a verb takes, its own first and then the common ones: --on, --sure, --by, --note, -n/--dry-run (writing
// verbs), --ledger (all but those that need none), --json, --csv, --help.
[[nodiscard]] std::vector<Option> all_options(const Command& command);

// All verbs, in the order of work.
[[nodiscard]] std::span<const Command* const> commands();

// The words of a command line, sorted under the declared names. Asking for a name that is not declared is a bug. What
// was typed is to be asked for: a switch by `has`, a value by one of the three that hand it out.
class Arguments {
public:
    [[nodiscard]] bool has(std::string_view name) const; // was it typed? A value still waits for who reads it
    [[nodiscard]] std::optional<std::string> text(std::string_view name) const; // none where it was not given
    [[nodiscard]] const std::string& required(std::string_view name) const;     // of a positional that must be there
    [[nodiscard]] const std::vector<std::string>& all(std::string_view name) const;
    // What was typed and nobody has asked for, as a person would name it: --price, `25kg`.
    [[nodiscard]] std::vector<std::string> unused() const;

private:
    friend Arguments parse_arguments(const Command&, const std::vector<std::string>&);
    struct Typed {
        bool is_option = false, is_switch = false;
        std::vector<std::string> values;
        mutable bool asked = false;
    };
    [[nodiscard]] const Typed& typed(std::string_view name) const;
    std::map<std::string, Typed, std::less<>> words_; // an entry for each declared name
};

// Error(usage) for unknown options (the nearest is offered), missing, surplus or empty words, and a value that is
// itself an option (--reason --dry-run; it may be written --reason=--dry-run).
[[nodiscard]] Arguments parse_arguments(const Command& command, const std::vector<std::string>& words);

// What an interrupt (Ctrl-C) does: it ends the program, with nothing booked; or the first one ends a search, with the
// best so far, and a second one the program; or it ends a booking that is not in the ledger yet, and is too late for
// one that is.
enum class Interrupt { ends_program, ends_search, ends_booking };

// What the program knows of the world outside, read once in main and handed in as values.
struct Surroundings {
    Date today;
    std::string booked_at;                // UTC, YYYY-MM-DDTHH:MM:SSZ
    std::optional<std::string> ledger;    // LOTWORT_LEDGER
    std::optional<std::string> by;        // LOTWORT_BY
    std::optional<std::string> data_home; // XDG_DATA_HOME
    std::optional<std::string> home;      // HOME
    // Set only where a person sits at a terminal: an answer to a question; one line of progress, each in place of
    // the last (empty: cleared).
    std::function<std::optional<std::string>(const std::string&)> ask;
    std::function<void(const std::string&)> progress;
    // Standard output, for an answer too long to be held; a piece that is out stays out, whatever comes after. Not set:
    // all of it is to be in the Answer.
    std::function<void(std::string_view)> out;
    // What an interrupt does from the call on, and the flag that it sets. Null: there is no such thing.
    std::function<const std::atomic<bool>*(Interrupt)> on_interrupt;
    // Told of each entry as soon as it is in the ledger.
    std::function<void(std::int64_t)> on_booked;
};

// How a run sees to it that its answer is of one state of the ledger, whoever books meanwhile. It is run again where an
// entry came between its first reading and its end; run from the start of which nobody can come between, at last.
enum class Turn { checked, last };

// One run of one verb.
class Call {
public:
    Call(const Command& command, Arguments arguments, Surroundings surroundings, Turn turn = Turn::checked);

    Arguments args;
    Surroundings surroundings;

    [[nodiscard]] const Command& command() const { return *command_; }
    [[nodiscard]] bool json() const { return args.has("json"); }
    [[nodiscard]] bool csv() const { return command_->has_rows && args.has("csv"); }
    [[nodiscard]] bool dry_run() const;

    // --on, else today. Error(refused) for a day that has not come: what is booked has happened.
    [[nodiscard]] Date on() const;
    // A date that an option gives; a day ahead is fine (best before, a planned brew).
    [[nodiscard]] std::optional<Date> date(std::string_view option) const;

    // --ledger, else LOTWORT_LEDGER, else the user's data folder.
    [[nodiscard]] std::string ledger_path() const;
    [[nodiscard]] bool ledger_is_named() const; // by one of the first two
    // The ledger, opened as the command declares at the first call.
    [[nodiscard]] Ledger& ledger();
    // This run of a verb that may write only looks: said before ledger(), the ledger is opened to read.
    void only_reads() { only_reads_ = true; }

    // What this run does, and what to type instead, for the refusal of an option that has no part in it: said by a verb
    // where it knows which of its ways it goes.
    void goes(std::string way, std::string instead = {});
    // This run books where there is something to book: --on, --by, --note, --dry-run and --json have their part in it
    // whatever comes of it.
    void may_book() const;
    // Error(usage) where something was typed that nobody has asked for. The dispatcher demands it before the answer is
    // printed; a verb that writes a file or prints piece by piece demands it before.
    void demand_all_used() const;
    // The same before anything is booked, as `book` demands it: the form of the answer, --csv, has been asked for too.
    void demand_bookable() const;

    // Shown on standard error at a terminal, for what may take longer than a second.
    void progress(const std::string& line) const {
        if (surroundings.progress) surroundings.progress(line);
    }

    // What is typed and hard to believe is not booked unasked: at a terminal it is asked about, elsewhere it needs --sure.
    // `what` says what was typed, and against what it is held; `hint` what to look at. Error(refused) unless it is so.
    void believe(bool is_credible, const std::string& what, const std::string& hint) const;

    // An entry's head with the day, the time, --by and --note filled in.
    [[nodiscard]] EntryHead head(EntryKind kind, std::string what) const;
    // Books the part, or with --dry-run rehearses it. `what` is the entry's one line. Moved, with nothing booked, where
    // another entry came since the ledger was first read: the verb is run again.
    Entry book(const Book& part, EntryKind kind, std::string what);
    Entry book(const LongBook& part, EntryKind kind, std::string what);
    Entry take_back(std::int64_t entry, std::string what);

    // Before something is given away that cannot be taken back (a file, a piece of standard output): Moved where what
    // was read is not of one state of the ledger. From here on it counts as answered.
    void settle();
    // Another entry came between the first reading and now, and nothing is settled or booked.
    [[nodiscard]] bool moved() const;

private:
    [[nodiscard]] Entry settled(Entry booked);

    const Command* command_;
    Turn turn_;
    bool only_reads_ = false;
    bool settled_ = false;
    std::string way_, instead_;
    std::optional<Ledger> ledger_;
    std::int64_t read_up_to_ = 0;
};

// Runs the program: the words after its name. Throws Error, Bug; main alone catches.
[[nodiscard]] Answer dispatch(const std::vector<std::string>& words, const Surroundings& surroundings);

// The page of docs/commands as a terminal shows it (fences and heading marks taken off). Empty: no such page.
[[nodiscard]] std::string help_text(std::string_view page);

} // namespace lotwort::cli
