#include "run.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/verbs/refusal.hpp>
#include <lotwort/verbs/visible.hpp>

namespace lotwort::serve {

namespace {

using verbs::Answer;

constexpr std::size_t most_meanwhile = 5;
constexpr std::int64_t most_told = 20;

const std::vector<std::string>& given(const NamedWords& words, std::string_view name) {
    static const std::vector<std::string> none;
    const auto found = words.find(name);
    return found == words.end() ? none : found->second;
}
const std::vector<std::string>& given(const NamedWords&&, std::string_view) = delete;

// What stands in place of a file is sent with the form; else a word that names one has no business here.
void demand_no_file(const Command& command, const NamedWords& words, const Sender& sender) {
    const auto demand = [&](std::string_view name, std::string_view value) {
        for (const std::string& word : given(words, name)) {
            if (!is_left_out(name, value) || (verbs::names_file(value) && word == "-" && sender.sent)) continue;
            if (name == "by")
                throw Error(ErrorKind::refused, "--by has no part in it: a session books under its own name",
                            "come in anew under the other name");
            throw Error(ErrorKind::refused, fmt::format("{} names a file, and pages open none", name),
                        "type the command at the machine itself");
        }
    };
    for (const verbs::Option& option : verbs::all_options(command)) demand(option.name, option.value);
    for (const verbs::Positional& positional : command.positionals) demand(positional.name, positional.name);
}

std::optional<Entry> booked_by(const std::string& ledger, const std::optional<std::string>& form) {
    if (!form) return std::nullopt;
    return Ledger(ledger, Access::read).entry_of_form(*form);
}

std::vector<Entry> since(const std::string& ledger, std::int64_t seen, const std::optional<Entry>& own) {
    if (seen <= 0) return {};
    HistoryFilter last;
    last.last = most_meanwhile + 1;
    std::vector<Entry> entries = Ledger(ledger, Access::read).history(last);
    std::erase_if(entries, [&](const Entry& e) { return e.number <= seen || (own && e.number >= own->number); });
    if (entries.size() > most_meanwhile) entries.resize(most_meanwhile);
    return entries;
}

// What a purchase rests on: all but what was read and packaged of brews.
std::vector<Entry> of_stock_since(const Ledger& ledger, std::int64_t seen) {
    constexpr EntryKind others[] = {EntryKind::measure, EntryKind::package, EntryKind::instrument, EntryKind::tank};
    HistoryFilter last;
    last.last = ledger.newest_entry() - seen;
    std::vector<Entry> entries = ledger.history(last);
    std::erase_if(entries, [&](const Entry& e) {
        const bool is_undone = e.reversed_by || (e.reverses && *e.reverses > seen);
        return e.number <= seen || is_undone || std::ranges::find(others, e.head.kind) != std::end(others);
    });
    return entries;
}

// What the form showed, and this entry is about, is still so; else nothing is booked by it.
void demand_unchanged(const Ledger& ledger, const Book& part, const Sender& sender, Ran& ran) {
    if (sender.seen <= 0 || sender.seen > ledger.newest_entry()) return;
    Book about = part;
    bool is_of_stock = false;
    for (const std::string& shown : sender.shows) {
        if (shown.starts_with("lot ")) about.movements.emplace_back().lot = shown.substr(4);
        is_of_stock = is_of_stock || shown == "stock";
    }
    ran.changed = is_of_stock ? of_stock_since(ledger, sender.seen) : ledger.touching(about, sender.seen);
    ran.newest = ledger.newest_entry();
    if (!ran.changed.empty())
        throw Error(ErrorKind::refused, "what the form showed has changed since",
                    "look at it, and book it all the same");
}

// What a program has seen is all there is.
void demand_upon(const Ledger& ledger, const Sender& sender, Ran& ran) {
    if (!sender.upon) return;
    ran.newest = ledger.newest_entry();
    if (ran.newest == *sender.upon) return;
    ran.is_overtaken = true;
    if (ran.newest < *sender.upon)
        throw Error(ErrorKind::refused, fmt::format("there is no entry {} yet", *sender.upon),
                    fmt::format("the newest is {}: send the ETag of an answer of this ledger", ran.newest));
    HistoryFilter last;
    last.last = std::min<std::int64_t>(ran.newest - *sender.upon, most_told);
    ran.changed = ledger.history(last);
    throw Error(ErrorKind::refused,
                fmt::format("others have booked since entry {}, up to {}", *sender.upon, ran.newest),
                fmt::format("look at what has changed, and send it again with If-Match: \"{}\"", ran.newest));
}

void demand_form(const std::optional<std::string>& form) {
    const bool is_good = !form || (form->size() >= 16 && form->size() <= 64 &&
                                   form->find_first_not_of("0123456789abcdefghijklmnopqrstuvwxyz-") == form->npos);
    if (!is_good)
        throw Error(ErrorKind::usage, "the form's number is none",
                    "16 to 64 of the digits, small letters and -, another for each thing that is booked");
}

} // namespace

const Command* served_verb(std::string_view name) {
    constexpr std::string_view at_the_machine[] = {"init", "backup", "serve"};
    if (std::ranges::find(at_the_machine, name) != std::end(at_the_machine)) return nullptr;
    for (const Command* command : verbs::commands())
        if (command->name == name) return command;
    return nullptr;
}

bool is_left_out(std::string_view name, std::string_view value) {
    return verbs::names_file(value) || name == "by" || name == "help";
}

bool Runner::searches(const Command& command, const NamedWords& words) {
    const std::vector<std::string>& what = given(words, "WHAT");
    const bool is_page_of_one =
        command.name == "report" && !what.empty() && (what.front() == "purchase" || what.front() == "substitute");
    return command.name == "buy" || command.name == "substitute" || is_page_of_one;
}

std::unique_lock<std::timed_mutex> Runner::searching(const std::optional<Pursuit>& pursuit) {
    std::unique_lock search(search_, std::try_to_lock);
    if (!search && pursuit) pursuit->tell("another search is under way; this one comes next");
    while (!search && pursuit && !pursuit->stop->load()) (void)search.try_lock_for(std::chrono::milliseconds(100));
    if (!search) throw Error(ErrorKind::refused, "another search is under way", "ask again in a moment");
    return search;
}

verbs::Surroundings Runner::around(const std::string& name, const std::optional<Pursuit>& pursuit) const {
    verbs::Surroundings around = around_;
    outside_.read_clock(around);
    around.ledger = asked_.ledger;
    around.units = asked_.units;
    around.by = name.empty() ? asked_.by : name;
    around.ask = nullptr;
    around.progress = pursuit ? pursuit->tell : nullptr;
    around.stop = pursuit ? pursuit->stop : nullptr;
    around.on_interrupt = nullptr;
    if (pursuit) around.on_interrupt = [stop = pursuit->stop](verbs::Interrupt) { return stop; };
    around.on_booked = nullptr;
    around.serve = nullptr;
    around.opens_files = false;
    around.books = !asked_.read_only;
    return around;
}

void Runner::answered(const Command& command, const NamedWords& words, const Sender& sender, Ran& ran) {
    verbs::Surroundings world = around(sender.name, sender.pursuit);
    world.form = sender.form;
    world.sent = sender.sent;
    world.books = world.books && !sender.only_looks;
    world.teaching = sender.teaching;
    for (const auto& [name, values] : words)
        for (const std::string& value : values) verbs::demand_text(value, name);
    demand_form(sender.form);
    demand_no_file(command, words, sender);
    world.before_booking = [&](const Ledger& ledger, const Book& part) {
        demand_upon(ledger, sender, ran);
        demand_unchanged(ledger, part, sender, ran);
    };
    if (sender.asks_state) {
        const Ledger ledger(asked_.ledger, Access::read);
        demand_upon(ledger, sender, ran);
        ran.state = ledger.newest_entry();
        world.on_booked = [&ran](std::int64_t entry) { // an entry of others before it is one that was not seen
            if (entry == *ran.state + 1) ran.state = entry;
        };
    }
    ran.answer = verbs::answered_visibly(world, [&](const verbs::Surroundings& seen) {
        return verbs::run_verb(command, verbs::arguments_of(command, words), seen, true);
    });
}

Ran Runner::run(const Command& command, const NamedWords& words, const Sender& sender) {
    Ran ran;
    try {
        if ((ran.booked = booked_by(asked_.ledger, sender.form))) {
            ran.was_booked = true;
            return ran;
        }
        const auto search = searches(command, words) ? searching(sender.pursuit) : std::unique_lock<std::timed_mutex>();
        try {
            answered(command, words, sender, ran);
        } catch (const Error&) { // the same form may have come by another way, and have been faster
            if (!(ran.booked = booked_by(asked_.ledger, sender.form))) {
                ran.meanwhile = since(asked_.ledger, sender.seen, {});
                throw;
            }
            ran.was_booked = true;
            return ran;
        }
        if (command.ledger == verbs::LedgerUse::writes) {
            ran.booked = booked_by(asked_.ledger, sender.form);
            ran.meanwhile = since(asked_.ledger, sender.seen, ran.booked);
        }
    } catch (const Error& fault) {
        ran.refusal = verbs::refusal_of(command, words, fault);
    } catch (const std::exception& fault) {
        ran.own_fault = true;
        ran.refusal = report::Refusal{std::string(command.name),
                                      ErrorKind::fault,
                                      fmt::format("this is a fault of the program, not yours: {}", fault.what()),
                                      "please report it with what you sent; `lotwort history` shows what is booked",
                                      {}};
    }
    return ran;
}

} // namespace lotwort::serve
