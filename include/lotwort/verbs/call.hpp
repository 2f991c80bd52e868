// One run of a verb, and what it is given.
#pragma once

#include <lotwort/core/error.hpp>
#include <lotwort/desk/desk.hpp>
#include <lotwort/stock/entry.hpp>
#include <lotwort/verbs/arguments.hpp>
#include <lotwort/verbs/command.hpp>
#include <lotwort/verbs/surroundings.hpp>

namespace lotwort::verbs {

// What was wrong with the value of an option, the option named: "--moisture `80%` is not ...".
[[nodiscard]] Error of_option(std::string_view option, const Error& fault);

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
    // A date that an option gives; a day ahead is fine (best before, a planned brew). A day that was not written as
    // year, month and day is said back behind the answer.
    [[nodiscard]] std::optional<Date> date(std::string_view option, Looks looks = Looks::back) const;

    // How something typed was understood, said behind an answer that is read by people: "--on saturday is 2026-03-07".
    void understood(std::string line) const;
    [[nodiscard]] Answer with_understood(Answer answer) const;

    // --ledger, else LOTWORT_LEDGER, else the user's data folder.
    [[nodiscard]] std::string ledger_path() const;
    [[nodiscard]] bool ledger_is_named() const; // by one of the first two
    // The ledger, opened as the command declares at the first call.
    [[nodiscard]] Ledger& ledger();
    [[nodiscard]] const Ledger* opened() const { return ledger_ ? &*ledger_ : nullptr; }
    // What the questions of the room `desk` are asked of.
    [[nodiscard]] Desk desk();
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

    // What ends a search of this run with the best so far: an interrupt, which ends a run that books whole; or a page's
    // stop button, after which `book` refuses. Null: nothing does.
    enum class Search { looks, books };
    [[nodiscard]] const std::atomic<bool>* ends_search(Search what_for) const;
    // Behind a line of a search's progress: how it is ended, where that is not a button beside it.
    [[nodiscard]] std::string said_of_ending(Search what_for) const;
    // Error(refused) behind a page's stop button, for a run that books.
    void demand_unstopped() const;

    // What is typed and hard to believe is not booked unasked: at a terminal it is asked about, elsewhere it needs
    // --sure. `what` says what was typed, and against what it is held; `hint` what to look at. Error(refused) unless it
    // is so.
    void believe(bool is_credible, const std::string& what, const std::string& hint) const;

    // An entry's head with the day, the time, --by and --note filled in.
    [[nodiscard]] EntryHead head(EntryKind kind, std::string what) const;
    // Books the part, or with --dry-run rehearses it. `what` is the entry's one line. Moved, with nothing booked, where
    // another entry came since the ledger was first read: the verb is run again. What it does to stock open plans
    // follow in the same entry, and its line says how (desk/plans_kept.hpp).
    Entry book(const Book& part, EntryKind kind, std::string what);
    // Plans follow what is taken back in an entry of their own, told behind the answer.
    Entry take_back(std::int64_t entry, std::string what);

    // Before something is given away that cannot be taken back (a file, a piece of standard output): Moved where what
    // was read is not of one state of the ledger. From here on it counts as answered.
    void settle();
    // Another entry came between the first reading and now, and nothing is settled or booked.
    [[nodiscard]] bool moved() const;

private:
    [[nodiscard]] Entry settled(Entry booked);
    [[nodiscard]] Book with_plans_kept(const Book& part, std::string& what);
    void keep_plans();

    const Command* command_;
    Turn turn_;
    bool only_reads_ = false;
    mutable std::vector<std::string> understood_;
    bool settled_ = false;
    std::string way_, instead_;
    std::optional<Ledger> ledger_;
    std::int64_t read_up_to_ = 0;
};

// Runs a verb once, and again where somebody booked between its reading and its end. What comes by standard input comes
// once: then the ledger is held from the start.
[[nodiscard]] Answer run_verb(const Command& command, const Arguments& arguments, const Surroundings& surroundings,
                              bool can_run_again);

} // namespace lotwort::verbs
