// The program killed in the middle of its commands: some rounds in the tests, ten thousand in tests/bench.
#pragma once

namespace lotwort::test {

struct KilledProgram {
    int rounds = 0;
    int killed = 0;     // the others had ended before the signal came
    int reported = 0;   // entries, those of killed programs included
    int unreported = 0; // entries that were there all the same: killed between the flush and the report
    int undone = 0;     // rounds that left a journal: killed in the middle of an entry, which the next reader undid
};

// `lotwort receive`, `discard`, `count`, `plan` and `brew` in turn, each killed (SIGKILL) at a random moment of its
// life, until so many were. Checks after each: what was reported is there, at most the one entry more is, and verify
// finds nothing. None is half there: each entry says the round it is of, and its seal covers all its rows.
[[nodiscard]] KilledProgram kill_program(int kills, unsigned seed);

} // namespace lotwort::test
