// Whatever import takes, every verb answers: finite figures, strict JSON, and no brew that stops another's answer.
// LOTWORT_LEDGERS=10000 makes it as long as one likes, LOTWORT_LEDGERS_FROM begins elsewhere.
#include "mutated_ledgers.hpp"
#include <cstdlib>
#include <doctest/doctest.h>

using namespace lotwort::test;

namespace {

std::uint64_t wish(const char* name, std::uint64_t otherwise) {
    const char* said = std::getenv(name);
    return said != nullptr ? std::strtoull(said, nullptr, 10) : otherwise;
}

} // namespace

TEST_CASE("every answer about a mutated ledger is finite, strict JSON, and there") {
    const std::uint64_t ledgers = wish("LOTWORT_LEDGERS", 15), from = wish("LOTWORT_LEDGERS_FROM", 1);
    std::uint64_t taken = 0;
    int answers = 0, refusals = 0;
    double slowest = 0.0;
    for (std::uint64_t number = from; number < from + ledgers; ++number) {
        INFO("ledger " << number);
        const LedgerTrial trial = ask_all(mutated_book(number), number % 5 == 0);
        taken += trial.taken;
        answers += trial.answers;
        refusals += trial.refusals;
        for (const auto& flaw : trial.flaws) CHECK_MESSAGE(false, flaw);
        if (trial.seconds > slowest) {
            slowest = trial.seconds;
            if (ledgers > 100) MESSAGE("ledger " << number << " took " << slowest << " s");
        }
    }
    CHECK(taken > ledgers / 2);
    CHECK(answers > 8 * static_cast<int>(taken));
    if (ledgers > 100) MESSAGE(taken << " taken, " << answers << " answers, " << refusals << " refusals");
}
