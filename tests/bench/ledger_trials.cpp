// The ledger's long trials at full length (tests/store/trials.hpp): ledger_trials [-tc="*killed*"]; figures stand in
// docs/ledger.md.
#include "../cli/killed_program.hpp"
#include "../store/ledger_support.hpp"
#include "../store/trials.hpp"
#include <cstdio>
#include <cstdlib>
#include <doctest/doctest.h>

using namespace lotwort::test;

namespace {

// Another length than the full one: LOTWORT_TRIALS=2000 ledger_trials -tc="*killed*"
int length(int full) {
    const char* asked = std::getenv("LOTWORT_TRIALS");
    return asked != nullptr ? std::atoi(asked) : full;
}

} // namespace

TEST_CASE("killed while they book") {
    const auto killed = kill_bookers(length(10'000), 1);
    std::printf("%d killed: %d entries reported, %d more there, %d undone by the next reader\n", killed.rounds,
                killed.reported, killed.unreported, killed.undone);
}

TEST_CASE("the program killed in its commands") {
    const auto killed = kill_program(length(10'000), 3);
    std::printf("%d commands: %d killed, %d entries reported, %d more there, %d undone by the next reader\n",
                killed.rounds, killed.killed, killed.reported, killed.unreported, killed.undone);
}

TEST_CASE("eight at once") {
    book_in_a_crowd(length(1000));
}

TEST_CASE("bytes changed") {
    const auto flipped = flip_bytes(length(20'000), 2);
    std::printf("%d bytes changed: %d refused, %d found by verify, %d of no account\n", flipped.flips, flipped.refused,
                flipped.found, flipped.of_no_account);
}

TEST_CASE("sequences beside a model") {
    Modelled counts;
    const int sequences = length(10'000);
    for (int i = 0; i < sequences; ++i) run_sequence(1000 + static_cast<unsigned>(i), 40, counts);
    std::printf("%d sequences: %d booked (%d of them plans, %d brews of plans), %d refused, %d taken back, %d kept\n",
                sequences, counts.booked, counts.planned, counts.plans_brewed, counts.refused, counts.taken_back,
                counts.kept);
}
