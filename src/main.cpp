// The program's edge: the only place that reads the clock and the environment, that catches, that is told of signals,
// and that writes to standard output and standard error.
#include <algorithm>
#include <atomic>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <exception>
#include <fcntl.h>
#include <fmt/format.h>
#include <iostream>
#include <lotwort/cli/colour.hpp>
#include <lotwort/cli/program.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/utf8.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/serve/serve.hpp>
#include <lotwort/store/new_file.hpp>
#include <sys/ioctl.h>
#include <unistd.h>

namespace {

using namespace lotwort;

std::optional<std::string> variable(const char* name) {
    const char* value = std::getenv(name);
    if (value == nullptr || *value == '\0') return std::nullopt;
    return value;
}

// The day in the brewer's own time zone; the time of booking in UTC. LOTWORT_TODAY stands in for the day, so that a
// session can be run again and print the same; never for the time of booking, which is sealed with the entry.
void read_clock(cli::Surroundings& around) {
    const std::time_t now = std::time(nullptr);
    std::tm local{};
    std::tm utc{};
    localtime_r(&now, &local);
    gmtime_r(&now, &utc);
    const std::chrono::year_month_day day{std::chrono::year(local.tm_year + 1900),
                                          std::chrono::month(static_cast<unsigned>(local.tm_mon + 1)),
                                          std::chrono::day(static_cast<unsigned>(local.tm_mday))};
    around.today = Date(day);
    if (const auto fixed = variable("LOTWORT_TODAY")) {
        const auto stated = parse_iso_date(*fixed);
        if (!stated)
            throw Error(ErrorKind::usage, "LOTWORT_TODAY is no date: " + visible_line(*fixed),
                        "set it to YYYY-MM-DD or unset it");
        around.today = *stated;
    }
    around.booked_at = fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", utc.tm_year + 1900, utc.tm_mon + 1,
                                   utc.tm_mday, utc.tm_hour, utc.tm_min, utc.tm_sec);
}

bool progress_stands = false; // a line of progress that the next message must not run into

void show_progress(const std::string& line) {
    progress_stands = !line.empty();
    std::fprintf(stderr, "\r\033[K%s", line.c_str()); // back to the start of the line, and clear it
    std::fflush(stderr);
}

std::optional<std::string> ask(const std::string& question) {
    std::fputs(question.c_str(), stderr);
    std::fflush(stderr);
    std::string line;
    if (!std::getline(std::cin, line)) return std::nullopt;
    return line;
}

std::int64_t booked = 0; // the newest entry of this run; 0: none

std::atomic<bool> interrupted = false;
std::atomic<cli::Interrupt> on_interrupt = cli::Interrupt::ends_program;
std::string last_words; // of a program that an interrupt ends

extern "C" void note_interrupt(int signal) {
    const bool again = interrupted.exchange(true); // who asks twice means it
    const auto now = on_interrupt.load();
    if (now == cli::Interrupt::ends_booking) return;
    if (now == cli::Interrupt::ends_search && signal == SIGINT && !again) return;
    NewFile::remove_unfinished();
    if (::write(STDERR_FILENO, last_words.data(), last_words.size()) < 0) { // nobody reads it
    }
    std::signal(signal, SIG_DFL);
    std::raise(signal);
}

// An interrupt that was noted while it had to wait is heeded as soon as it may.
const std::atomic<bool>* set_interrupt(cli::Interrupt to) {
    on_interrupt.store(to);
    if (to == cli::Interrupt::ends_program && interrupted.load()) note_interrupt(SIGINT);
    return &interrupted;
}

void catch_interrupts(const std::string& verb, bool books) {
    if (books)
        last_words = fmt::format("{}lotwort {}: interrupted, nothing was booked\n",
                                 isatty(STDERR_FILENO) == 1 ? "\n" : "", verb);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) // who was started to take no notice of one takes none
        if (std::signal(signal, note_interrupt) == SIG_IGN) std::signal(signal, SIG_IGN);
}

// Where standard output or input is closed, the next file that is opened would be taken for it.
void hold_standard_files() {
    for (const int file : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO})
        if (::fcntl(file, F_GETFD) < 0) (void)!::open("/dev/null", file == STDIN_FILENO ? O_PATH : O_RDONLY);
}

// Of standard output; the number of the fault as the system gives it.
struct Unwritten {
    int fault;
};

void write_all(std::string_view text) {
    if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size()) throw Unwritten{errno};
    if (std::fflush(stdout) != 0) throw Unwritten{errno};
}

std::optional<std::size_t> columns_of_terminal() {
    winsize size{};
    if (isatty(STDOUT_FILENO) != 1 || ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0)
        return std::nullopt;
    return size.ws_col;
}

cli::Surroundings look_around() {
    cli::Surroundings around;
    read_clock(around);
    around.ledger = variable("LOTWORT_LEDGER");
    around.by = variable("LOTWORT_BY");
    around.units = variable("LOTWORT_UNITS");
    around.data_home = variable("XDG_DATA_HOME");
    around.home = variable("HOME");
    around.on_interrupt = set_interrupt;
    around.on_booked = [](std::int64_t entry) {
        booked = entry; // no interrupt is heeded while it is
        last_words = fmt::format("{}lotwort: interrupted; entry {} and those before it are booked\n",
                                 isatty(STDERR_FILENO) == 1 ? "\n" : "", entry);
    };
    around.serve = [](const cli::Serving& asked) {
        cli::Surroundings world;
        serve::run(asked, world, {read_clock, write_all, isatty(STDOUT_FILENO) == 1});
    };
    around.columns = columns_of_terminal();
    const bool watched = isatty(STDERR_FILENO) == 1;
    if (watched) around.progress = show_progress;
    if (watched && isatty(STDIN_FILENO) == 1) around.ask = ask;
    return around;
}

// At a terminal that knows colours, unless NO_COLOR says that none are wanted (no-color.org).
bool shows_colour(int file) {
    const auto terminal = variable("TERM");
    return isatty(file) == 1 && !variable("NO_COLOR") && terminal && *terminal != "dumb";
}

void complain(const std::string& verb, const Error& e) {
    if (progress_stands) show_progress("");
    const std::string message = fmt::format("lotwort{}{}: {}\n{}{}", verb.empty() ? "" : " ", verb, e.what(), e.hint(),
                                            e.hint().empty() ? "" : "\n");
    // a person reads lines that fit; a program reads them as they are
    const bool watched = isatty(STDERR_FILENO) == 1;
    std::fputs(watched ? report::wrapped(message.substr(0, message.size() - 1), 2).c_str() : message.c_str(), stderr);
}

bool is_booking(const std::string& verb) {
    const auto is_verb = [&](const cli::Command* command) { return command->name == verb; };
    const auto command = std::ranges::find_if(cli::commands(), is_verb);
    return command != cli::commands().end() &&
           ((*command)->ledger == cli::LedgerUse::writes || (*command)->ledger == cli::LedgerUse::creates);
}

// Whatever befell the answer, what was booked is booked; a script goes by the exit status.
int tell_booked(const std::string& verb, const std::string& what, int status) {
    complain(verb, Error(ErrorKind::refused, fmt::format("entry {} is booked, but {}", booked, what),
                         fmt::format("lotwort history {} shows it", booked)));
    return status;
}

// A reader that has seen enough (`| head`) is no fault; a full disk is.
int tell_unwritten(const std::string& verb, int fault, int status) {
    if (fault == EPIPE) return status;
    const std::string what = fmt::format("the answer could not be written: {}", std::strerror(fault));
    if (booked != 0) return tell_booked(verb, what, status);
    if (const std::string& file = NewFile::last_put(); !file.empty()) { // to ask again would find it there
        complain(verb, Error(ErrorKind::refused, fmt::format("{} is written, but {}", file, what),
                             "nothing needs to be done again"));
        return status;
    }
    complain(verb, Error(ErrorKind::refused, what,
                         fault == EBADF ? "open standard output, and ask again" : "make room, and ask again"));
    return static_cast<int>(ErrorKind::refused);
}

int tell_error(const std::vector<std::string>& words, const std::string& verb, const Error& e) {
    if (booked != 0) return tell_booked(verb, e.what(), 0);
    complain(verb, e);
    const std::string json = cli::refusal_for_programs(words, e);
    std::fwrite(json.data(), 1, json.size(), stdout); // who closed it has been told the same already
    std::fflush(stdout);
    return interrupted.load() ? 128 + SIGINT : static_cast<int>(e.kind());
}

int report_own_fault(const std::string& verb, const char* what) {
    std::fprintf(stderr, "lotwort %s: this is a fault of the program, not yours: %s\n", verb.c_str(), what);
    std::fprintf(stderr, "please report it with the command line that led here; %s\n",
                 booked != 0 ? fmt::format("entry {} is booked", booked).c_str() : "nothing was booked");
    return 70;
}

// Its answer, written; the exit status.
int answer(const std::string& verb, const std::vector<std::string>& words) {
    int status = 0;
    try {
        const auto answer = lotwort::cli::dispatch(words, look_around());
        status = answer.status;
        const bool is_text = !answer.is_file && !answer.text.starts_with('{');
        write_all(is_text && shows_colour(STDOUT_FILENO) ? cli::coloured(answer.text) : answer.text);
        return status;
    } catch (const Unwritten& output) {
        return tell_unwritten(verb, output.fault, status);
    }
}

} // namespace

int main(int argc, char** argv) {
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN); // a file that may not grow is told as a full disk is
    hold_standard_files();
    const std::vector<std::string> words(argv + (argc > 0 ? 1 : 0), argv + argc);
    const std::string verb = words.empty() || words.front().starts_with('-') ? "" : words.front();
    catch_interrupts(verb, is_booking(verb));
    try {
        return answer(verb, words);
    } catch (const Error& e) {
        return tell_error(words, verb, e);
    } catch (const std::exception& e) {
        return report_own_fault(verb, e.what());
    }
}
