// Long trials of the ledger: short in the tests, at full length in tests/bench/ledger_trials.cpp.
#pragma once

#include <cstdint>

namespace lotwort::test {

// Programs that book and say so, each killed (SIGKILL) at a random moment. Checks after each: every entry that was
// reported is there with what it said, at most one more is, none is half there, and verify finds nothing.
struct Killed {
    int rounds = 0;
    int reported = 0;   // entries
    int unreported = 0; // entries that were there all the same: killed between the flush and the report
    int undone = 0;     // rounds that left a journal: killed in the middle of an entry, which the next reader undid
};
[[nodiscard]] Killed kill_bookers(int rounds, unsigned seed);

// Eight programs take so many times each from a lot that holds five eighths of what they ask for. Checks: what was
// reported is what is there, once; nothing below zero; the lot is used up.
void book_in_a_crowd(int entries_each);

// Single bytes of a small ledger changed at random. Checks: opening or verify finds it, or everything that can be
// exported is as it was; never anything but an Error(ledger); the file is left as it was changed.
struct Flipped {
    int flips = 0;
    int refused = 0; // when opened or read
    int found = 0;   // by verify
    int of_no_account = 0;
};
[[nodiscard]] Flipped flip_bytes(int flips, unsigned seed);

// Random entries on the ledger and on plain lists in memory, which must take and refuse the same and come to the
// same balances and promises.
struct Modelled {
    int booked = 0;
    int planned = 0; // of the booked: plans made, changed and called off
    int plans_brewed = 0;
    int refused = 0;
    int taken_back = 0;
    int kept = 0;      // not taken back
    int corrected = 0; // weights of brews
    int not_corrected = 0;
};
enum class Weights { as_booked, corrected }; // of brews, now and then
void run_sequence(unsigned seed, int steps, Modelled& counts, Weights weights = Weights::corrected);

} // namespace lotwort::test
