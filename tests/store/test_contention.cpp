// Several programs book at once: each entry goes in whole, in some order, and none is lost.
#include "ledger_support.hpp"
#include <csignal>
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

constexpr int bookers = 8;
constexpr int entries_each = 12;

// One kilogram of W-1 at a time; how many were refused for want of it.
int take_kilograms(const std::string& file) {
    int short_of = 0;
    Ledger ledger(file, Access::write);
    for (int i = 0; i < entries_each; ++i) {
        try {
            (void)ledger.append(with(movement_of(MovementKind::discard, "W-1", "2026-02-01", -1.0)),
                                head(EntryKind::discard, "2026-02-01"));
        } catch (const Error& error) {
            if (error.kind() != ErrorKind::shortage) return 100;
            ++short_of;
        }
        (void)ledger.stock();
    }
    return short_of;
}

// 96 are asked, 25 are there.
void check_after(const std::string& file, int short_of) {
    CHECK(short_of == bookers * entries_each - 25);
    const Ledger ledger(file, Access::read);
    CHECK(ledger.lot("W-1")->on_hand.units == 0);
    CHECK(ledger.history({}).size() == 2 + 25);
    CHECK(ledger.verify().empty());
}

} // namespace

TEST_CASE("eight threads, each with the ledger open, share out a lot") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    std::vector<int> short_of(bookers);
    std::vector<std::thread> threads;
    for (auto& count : short_of) threads.emplace_back([&file, &count] { count = take_kilograms(file); });
    int sum = 0;
    for (std::size_t i = 0; i < threads.size(); ++i) {
        threads[i].join();
        sum += short_of[i];
    }
    check_after(file, sum);
}

TEST_CASE("eight programs share out a lot") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    std::vector<pid_t> programs;
    for (int i = 0; i < bookers; ++i) {
        const pid_t program = ::fork();
        REQUIRE(program >= 0);
        if (program == 0) {
            int short_of = 101;
            try {
                short_of = take_kilograms(file);
            } catch (...) {
            }
            ::_exit(short_of);
        }
        programs.push_back(program);
    }
    int sum = 0;
    for (const auto program : programs) {
        int status = 0;
        CHECK(::waitpid(program, &status, 0) == program);
        CHECK(WIFEXITED(status));
        sum += WEXITSTATUS(status);
    }
    check_after(file, sum);
}

TEST_CASE("a program killed while it books leaves the ledger as it was before, or after") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    std::size_t entries = 2;
    for (int round = 0; round < 12; ++round) {
        const pid_t program = ::fork();
        REQUIRE(program >= 0);
        if (program == 0) {
            Ledger ledger(file, Access::write);
            for (int i = 0;; ++i)
                (void)ledger.append(with(movement_of(MovementKind::count, "W-1", "2026-02-01", 0.001)),
                                    head(EntryKind::count, "2026-02-01"));
        }
        ::usleep(static_cast<useconds_t>(20'000 + 3'137 * round));
        ::kill(program, SIGKILL);
        int status = 0;
        ::waitpid(program, &status, 0);
        const Ledger ledger(file, Access::read);
        const auto now = ledger.history({}).size();
        CHECK(now >= entries);
        entries = now;
        CHECK(ledger.lot("W-1")->on_hand ==
              Amount{Measure::mass, 25'000'000 + 1000 * static_cast<std::int64_t>(entries - 2)});
        CHECK(ledger.verify().empty());
    }
    CHECK(entries > 2);
}
