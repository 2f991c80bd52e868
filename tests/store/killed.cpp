#include "ledger_support.hpp"
#include "trials.hpp"
#include <algorithm>
#include <array>
#include <csignal>
#include <doctest/doctest.h>
#include <random>
#include <sys/wait.h>
#include <unistd.h>

namespace lotwort::test {

namespace {

// A program opens the ledger in some 3 ms and books an entry a millisecond; on a busy machine in as many times that.
constexpr double usual_us = 12'000.0;
constexpr int rounds_a_ledger = 50;

std::string told(int round, int number) {
    return std::to_string(round) + "." + std::to_string(number);
}

struct Report {
    std::int64_t entry = 0;
    int number = 0;
};

// Brew days without end, each of several rows; after each, its number goes down the pipe.
[[noreturn]] void book_on(const std::string& file, int round, int pipe) {
    try {
        Ledger ledger(file, Access::write);
        for (int number = 0;; ++number) {
            auto brew = brew_of("B" + told(round, number), "2026-02-01", {mash("P-1", 0.001), mash("W-1", 0.001)});
            brew.readings.emplace_back().volume = Litres(23.0);
            const auto entry =
                ledger.append(with(brew), head(EntryKind::brew, "2026-02-01", told(round, number).c_str()));
            const Report report{entry.number, number};
            if (::write(pipe, &report, sizeof report) != static_cast<ssize_t>(sizeof report)) ::_exit(1);
        }
    } catch (...) {
        ::_exit(2);
    }
}

std::vector<Report> killed_after(const std::string& file, int round, int wait_us) {
    std::array<int, 2> pipe{};
    REQUIRE(::pipe(pipe.data()) == 0);
    const pid_t program = ::fork();
    REQUIRE(program >= 0);
    if (program == 0) {
        ::close(pipe[0]);
        book_on(file, round, pipe[1]);
    }
    ::close(pipe[1]);
    ::usleep(static_cast<useconds_t>(wait_us));
    ::kill(program, SIGKILL);
    std::vector<Report> reports;
    for (Report report; ::read(pipe[0], &report, sizeof report) == static_cast<ssize_t>(sizeof report);)
        reports.push_back(report);
    ::close(pipe[0]);
    int status = 0;
    CHECK(::waitpid(program, &status, 0) == program);
    CHECK(WIFSIGNALED(status)); // it was the signal that ended it, no failure of its own
    return reports;
}

void check_whole(const Ledger& ledger, const std::string& code) {
    const auto brew = ledger.brew(code);
    REQUIRE(brew);
    CHECK(brew->additions.size() == 2);
    CHECK(brew->readings.size() == 1);
}

// What stands after a kill; the number of entries from this round.
int check_round(const std::string& file, int round, std::int64_t before, const std::vector<Report>& reports) {
    const Ledger ledger(file, Access::read);
    CHECK(ledger.verify().empty());
    for (const auto& report : reports) {
        const auto entry = ledger.entry(report.entry);
        REQUIRE(entry);
        CHECK(entry->head.what == told(round, report.number));
    }
    HistoryFilter newest;
    newest.last = 1;
    const auto now = ledger.history(newest).at(0).number;
    const int booked = static_cast<int>(now - before);
    for (int number = 0; number < booked; ++number) check_whole(ledger, "B" + told(round, number));
    const auto used = Amount::of(Grams(static_cast<double>(now - 2)));
    CHECK(ledger.lot("P-1")->on_hand == Amount::of(Kilograms(25.0)) - used);
    return booked;
}

} // namespace

Killed kill_bookers(int rounds, unsigned seed) {
    Killed killed;
    std::mt19937 dice(seed);
    Folder folder;
    const auto fresh = folder.file("fresh");
    (void)stocked_ledger(fresh);
    const auto file = folder.file("l");
    std::int64_t entries = 0;
    double longest_us = usual_us;
    for (int round = 0; round < rounds; ++round) {
        INFO("round ", round);
        if (round % rounds_a_ledger == 0) {
            std::filesystem::copy_file(fresh, file, std::filesystem::copy_options::overwrite_existing);
            entries = 2;
        }
        const auto reports = killed_after(file, round, static_cast<int>(dice() % static_cast<unsigned>(longest_us)));
        const bool journal = std::filesystem::exists(file + "-journal");
        const int booked = check_round(file, round, entries, reports);
        const int more = booked - static_cast<int>(reports.size());
        CHECK((more == 0 || more == 1));
        entries += booked;
        longest_us = std::clamp(longest_us * (reports.empty() ? 1.1 : 0.97), usual_us, 50.0 * usual_us);
        ++killed.rounds;
        killed.reported += static_cast<int>(reports.size());
        killed.unreported += more;
        killed.undone += journal ? 1 : 0;
    }
    return killed;
}

} // namespace lotwort::test
