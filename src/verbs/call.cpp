#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/core/error.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/plans_kept.hpp>
#include <lotwort/report/units.hpp>
#include <lotwort/verbs/call.hpp>
#include <lotwort/verbs/visible.hpp>

namespace lotwort::verbs {

Error of_option(std::string_view option, const Error& fault) {
    const std::string_view what = fault.what();
    return {fault.kind(), fmt::format("--{}{} {}", option, what.starts_with('`') ? "" : ":", what), fault.hint()};
}

namespace {

// While an entry is on its way into the ledger, an interrupt ends it there, or comes too late.
class Booking {
public:
    Booking(const Surroundings& around, Ledger& ledger) : around_(around) {
        if (around_.on_interrupt) ledger.stop_when(around_.on_interrupt(Interrupt::ends_booking));
    }
    ~Booking() {
        if (!done_ && around_.on_interrupt) around_.on_interrupt(Interrupt::ends_program);
    }
    Booking(const Booking&) = delete;
    Booking& operator=(const Booking&) = delete;
    Entry done(Entry entry, bool is_rehearsed) {
        done_ = true;
        if (!is_rehearsed && around_.on_booked) around_.on_booked(entry.number);
        return entry;
    }

private:
    const Surroundings& around_;
    bool done_ = false;
};

} // namespace

Call::Call(const Command& command, Arguments arguments, Surroundings around, Turn turn)
    : args(std::move(arguments)), surroundings(std::move(around)), command_(&command), turn_(turn) {}

bool Call::dry_run() const {
    const bool books = command_->ledger == LedgerUse::writes || command_->ledger == LedgerUse::creates;
    return books && args.has("dry-run");
}

Date Call::on() const {
    const Date day = (command_->back_dates ? date("on") : std::nullopt).value_or(surroundings.today);
    if (day > surroundings.today)
        throw Error(ErrorKind::refused, fmt::format("{} has not come yet", to_iso(day)),
                    fmt::format("today is {}; what is booked has happened", to_iso(surroundings.today)));
    return day;
}

std::optional<Date> Call::date(std::string_view option, Looks looks) const {
    const auto typed = args.text(option);
    if (!typed) return std::nullopt;
    try {
        const Date day = parse_date(*typed, surroundings.today, looks);
        if (*typed != "today" && *typed != to_iso(day))
            understood(fmt::format("--{} {} is {}, {}", option, *typed, weekday_of(day), to_iso(day)));
        return day;
    } catch (const Error& fault) {
        throw of_option(option, fault);
    }
}

void Call::understood(std::string line) const {
    if (std::ranges::find(understood_, line) == understood_.end()) understood_.push_back(std::move(line));
}

Answer Call::with_understood(Answer answer) const {
    const bool reads_so = !json() && !csv() && (answer.text.empty() || answer.text.ends_with('\n'));
    for (const std::string& line : understood_)
        if (reads_so) answer.text += line + "\n";
    return answer;
}

bool Call::ledger_is_named() const {
    return args.has("ledger") || surroundings.ledger.has_value();
}

std::string Call::ledger_path() const {
    if (const auto given = args.text("ledger")) return *given;
    // what the environment says goes through the same door as what is typed
    const auto in = [](const std::string& folder, const char* variable, const char* file) {
        demand_text(folder, variable);
        return folder + file;
    };
    if (surroundings.ledger) return in(*surroundings.ledger, "LOTWORT_LEDGER", "");
    // the XDG base directory specification: a relative XDG_DATA_HOME is to be ignored
    if (surroundings.data_home && surroundings.data_home->starts_with('/'))
        return in(*surroundings.data_home, "XDG_DATA_HOME", "/lotwort/ledger.lotwort");
    if (surroundings.home) return in(*surroundings.home, "HOME", "/.local/share/lotwort/ledger.lotwort");
    throw Error(ErrorKind::ledger, "there is no data folder to look for a ledger in",
                "name the file with --ledger PATH, or set LOTWORT_LEDGER");
}

Ledger& Call::ledger() {
    LOTWORT_CHECK(command_->ledger == LedgerUse::reads || command_->ledger == LedgerUse::writes);
    if (ledger_) return *ledger_;
    const bool writes = command_->ledger == LedgerUse::writes && !only_reads_ && surroundings.books;
    const Access reading = turn_ == Turn::last ? Access::picture : Access::read;
    const std::string path = ledger_path();
    std::error_code fault;
    const bool is_gone = std::filesystem::status(path, fault).type() == std::filesystem::file_type::not_found;
    if (is_gone && args.has("ledger")) // what makes it must name it too
        throw Error(ErrorKind::ledger, fmt::format("there is no ledger {}", path),
                    fmt::format("`lotwort init --ledger {}` makes one", shell_word(path)));
    ledger_.emplace(path, writes ? Access::write : reading);
    if (writes && turn_ == Turn::last) ledger_->hold();
    read_up_to_ = ledger_->newest_entry();
    return *ledger_;
}

Desk Call::desk() {
    return {ledger(), surroundings.today, surroundings.progress, surroundings.stop, surroundings.teaching};
}

const std::atomic<bool>* Call::ends_search(Search what_for) const {
    if (surroundings.stop != nullptr) return surroundings.stop;
    const bool is_heard = surroundings.on_interrupt && what_for == Search::looks;
    return is_heard ? surroundings.on_interrupt(Interrupt::ends_search) : nullptr;
}

std::string Call::said_of_ending(Search what_for) const {
    if (surroundings.stop != nullptr) return {};
    return what_for == Search::books ? "; Ctrl-C ends it and books nothing" : "; Ctrl-C ends it with the best so far";
}

bool Call::moved() const {
    return ledger_ && !settled_ && ledger_->newest_entry() != read_up_to_;
}

void Call::settle() {
    if (moved()) throw Moved();
    settled_ = true;
}

Entry Call::settled(Entry booked) {
    settled_ = true;
    return booked;
}

EntryHead Call::head(EntryKind kind, std::string what) const {
    EntryHead head;
    head.kind = kind;
    head.on = on();
    head.booked_at = surroundings.booked_at;
    head.by = args.text("by").value_or(surroundings.by.value_or(""));
    head.what = std::move(what);
    head.why = args.text("note").value_or("");
    report::keep_as_written(head.why);
    return head;
}

namespace {

bool moves_stock(const Book& part) {
    const auto frees = [](const Plan& plan) { return plan.cancelled || !plan.reserved.empty(); };
    return !part.lots.empty() || !part.movements.empty() || std::ranges::any_of(part.plans, frees) ||
           std::ranges::any_of(part.brews, [](const Brew& brew) {
               return brew.plan || !brew.additions.empty() || !brew.unused.empty();
           });
}

} // namespace

Book Call::with_plans_kept(const Book& part, std::string& what) {
    Book whole = part;
    if (!moves_stock(part)) return whole;
    PlansKept kept = plans_kept(desk(), part);
    std::ranges::move(kept.changed, std::back_inserter(whole.plans));
    if (!kept.said.empty()) what += "; " + kept.said;
    return whole;
}

void Call::keep_plans() {
    PlansKept kept = plans_kept(desk(), {});
    if (kept.changed.empty()) return;
    Book part;
    part.plans = std::move(kept.changed);
    const Entry entry = ledger().append(part, head(EntryKind::plan, "reserved anew: " + kept.said));
    understood(fmt::format("booked as entry {}: {}", entry.number, entry.head.what));
}

void Call::demand_unstopped() const {
    if (surroundings.stop != nullptr && surroundings.stop->load())
        throw Error(ErrorKind::refused, "it was stopped, and nothing was booked", "send it again to have it booked");
}

Entry Call::book(const Book& given, EntryKind kind, std::string what) {
    demand_bookable();
    demand_unstopped();
    if (surroundings.before_booking) surroundings.before_booking(ledger(), given);
    const Book part = with_plans_kept(given, what);
    EntryHead as = head(kind, std::move(what));
    as.form = surroundings.form;
    Booking booking(surroundings, ledger());
    try {
        return settled(booking.done(
            dry_run() ? ledger().rehearse(part, as, read_up_to_) : ledger().append(part, as, read_up_to_), dry_run()));
    } catch (const Error&) {
        demand_unstopped(); // on its way into the ledger
        throw;
    }
}

Entry Call::take_back(std::int64_t entry, std::string what) {
    demand_bookable();
    if (surroundings.before_booking) surroundings.before_booking(ledger(), {});
    EntryHead as = head(EntryKind::reverse, std::move(what));
    as.form = surroundings.form;
    Booking booking(surroundings, ledger());
    const Entry back = settled(booking.done(dry_run() ? ledger().rehearse_reverse(entry, as, read_up_to_)
                                                      : ledger().reverse(entry, as, read_up_to_),
                                            dry_run()));
    if (!dry_run()) keep_plans();
    return back;
}

} // namespace lotwort::verbs
