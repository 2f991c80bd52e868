// The program's edge: the only place that reads the clock and the environment, that catches, and that writes to
// standard output and standard error.
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
#include <fmt/format.h>
#include <iostream>
#include <lotwort/cli/command.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/report/text.hpp>
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
            throw Error(ErrorKind::usage, "LOTWORT_TODAY is no date: " + *fixed, "set it to YYYY-MM-DD or unset it");
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
    if (!std::getline(std::cin, line) || line.empty()) return std::nullopt;
    return line;
}

std::atomic<bool> interrupted = false;

extern "C" void note_interrupt(int) {
    interrupted.store(true);
    std::signal(SIGINT, SIG_DFL); // who asks twice means it
}

const std::atomic<bool>* catch_interrupts() {
    std::signal(SIGINT, note_interrupt);
    return &interrupted;
}

// Of standard output; the number of the fault as the system gives it.
struct Unwritten {
    int fault;
};

void write_piece(std::string_view text) {
    if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size()) throw Unwritten{errno};
}

cli::Surroundings look_around() {
    cli::Surroundings around;
    read_clock(around);
    around.ledger = variable("LOTWORT_LEDGER");
    around.by = variable("LOTWORT_BY");
    around.data_home = variable("XDG_DATA_HOME");
    around.home = variable("HOME");
    around.on_interrupt = catch_interrupts;
    around.out = write_piece;
    const bool watched = isatty(STDERR_FILENO) == 1;
    if (watched) around.progress = show_progress;
    if (watched && isatty(STDIN_FILENO) == 1) around.ask = ask;
    return around;
}

void complain(const std::string& verb, const Error& e) {
    if (progress_stands) show_progress("");
    const std::string message = fmt::format("lotwort{}{}: {}\n{}{}", verb.empty() ? "" : " ", verb, e.what(), e.hint(),
                                            e.hint().empty() ? "" : "\n");
    // a person reads lines that fit; a program reads them as they are
    const bool watched = isatty(STDERR_FILENO) == 1;
    std::fputs(watched ? report::wrapped(message.substr(0, message.size() - 1), 2).c_str() : message.c_str(), stderr);
}

void write_all(std::string_view text) {
    write_piece(text);
    if (std::fflush(stdout) != 0) throw Unwritten{errno};
}

// A reader that has seen enough (`| head`) is no fault; a full disk is.
int tell_unwritten(const std::string& verb, int fault) {
    if (fault == EPIPE) return 0;
    const auto is_verb = [&](const cli::Command* command) { return command->name == verb; };
    const auto command = std::ranges::find_if(cli::commands(), is_verb);
    const bool books = command != cli::commands().end() && (*command)->ledger == cli::LedgerUse::writes;
    const Error unwritten(ErrorKind::refused, fmt::format("the answer could not be written: {}", std::strerror(fault)),
                          books ? "what was booked stays booked: lotwort history --last 1"
                                : "make room, and ask again");
    complain(verb, unwritten);
    return static_cast<int>(ErrorKind::refused);
}

int report_own_fault(const std::string& verb, const char* what) {
    std::fprintf(stderr, "lotwort %s: this is a fault of the program, not yours: %s\n", verb.c_str(), what);
    std::fprintf(stderr, "please report it with the command line that led here; the ledger holds whole entries only\n");
    return 70;
}

} // namespace

int main(int argc, char** argv) {
    std::signal(SIGPIPE, SIG_IGN);
    const std::vector<std::string> words(argv + (argc > 0 ? 1 : 0), argv + argc);
    const std::string verb = words.empty() || words.front().starts_with('-') ? "" : words.front();
    try {
        const auto answer = lotwort::cli::dispatch(words, look_around());
        write_all(answer.text);
        return answer.status;
    } catch (const Unwritten& output) {
        return tell_unwritten(verb, output.fault);
    } catch (const Error& e) {
        complain(verb, e);
        return static_cast<int>(e.kind());
    } catch (const std::exception& e) {
        return report_own_fault(verb, e.what());
    }
}
