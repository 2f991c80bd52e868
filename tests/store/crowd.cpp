#include "ledger_support.hpp"
#include "trials.hpp"
#include <array>
#include <doctest/doctest.h>
#include <set>
#include <sys/wait.h>
#include <unistd.h>

namespace lotwort::test {

namespace {

constexpr int bookers = 8;
constexpr std::int64_t stock_mg = 25'000'000;

enum class Said { booked, short_of, held };

struct Report {
    int booker = 0;
    int number = 0;
    Said said = Said::booked;
    std::int64_t entry = 0;
};

std::string told(int booker, int number) {
    return "booker " + std::to_string(booker) + ", number " + std::to_string(number);
}

Report take(Ledger& ledger, int booker, int number, std::int64_t each_mg) {
    auto movement = movement_of(MovementKind::discard, "W-1", "2026-02-01", 0.0);
    movement.change = {Measure::mass, -each_mg};
    try {
        const auto booked =
            ledger.append(with(movement), head(EntryKind::discard, "2026-02-01", told(booker, number).c_str()));
        return {booker, number, Said::booked, booked.number};
    } catch (const Error& error) {
        if (error.kind() == ErrorKind::shortage) return {booker, number, Said::short_of, 0};
        if (error.kind() != ErrorKind::ledger) throw;
        return {booker, number, Said::held, 0}; // five seconds were not enough to get at it
    }
}

[[noreturn]] void take_all(const std::string& file, int booker, int entries, std::int64_t each_mg, int pipe) {
    try {
        Ledger ledger(file, Access::write);
        for (int number = 0; number < entries; ++number) {
            const auto report = take(ledger, booker, number, each_mg);
            if (::write(pipe, &report, sizeof report) != static_cast<ssize_t>(sizeof report)) ::_exit(1);
        }
        ::_exit(0);
    } catch (...) {
        ::_exit(2);
    }
}

std::vector<Report> reports_of_crowd(const std::string& file, int entries_each, std::int64_t each_mg) {
    std::array<int, 2> pipe{};
    REQUIRE(::pipe(pipe.data()) == 0);
    std::vector<pid_t> programs;
    for (int booker = 0; booker < bookers; ++booker) {
        programs.push_back(::fork());
        REQUIRE(programs.back() >= 0);
        if (programs.back() == 0) take_all(file, booker, entries_each, each_mg, pipe[1]);
    }
    ::close(pipe[1]);
    std::vector<Report> reports; // each is written whole: it is shorter than PIPE_BUF
    for (Report report; ::read(pipe[0], &report, sizeof report) == static_cast<ssize_t>(sizeof report);)
        reports.push_back(report);
    ::close(pipe[0]);
    for (const auto program : programs) {
        int status = 0;
        CHECK(::waitpid(program, &status, 0) == program);
        CHECK(WIFEXITED(status));
        CHECK(WEXITSTATUS(status) == 0);
    }
    return reports;
}

} // namespace

void book_in_a_crowd(int entries_each) {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    const int enough_for = entries_each * bookers * 5 / 8;
    const std::int64_t each_mg = stock_mg / enough_for;
    REQUIRE(each_mg * enough_for == stock_mg);
    const auto reports = reports_of_crowd(file, entries_each, each_mg);
    CHECK(static_cast<int>(reports.size()) == bookers * entries_each);

    const Ledger ledger(file, Access::read);
    CHECK(ledger.verify().empty());
    std::set<std::int64_t> booked;
    int held = 0;
    for (const auto& report : reports) {
        if (report.said == Said::held) ++held;
        if (report.said != Said::booked) continue;
        CHECK(booked.insert(report.entry).second); // no number twice
        const auto entry = ledger.entry(report.entry);
        REQUIRE(entry);
        CHECK(entry->head.what == told(report.booker, report.number));
    }
    CHECK(ledger.history({}).size() == 2 + booked.size()); // nothing there that nobody reported
    CHECK(held == 0);
    CHECK(static_cast<int>(booked.size()) == enough_for);
    CHECK(ledger.lot("W-1")->on_hand == Amount{Measure::mass, 0});
}

} // namespace lotwort::test
