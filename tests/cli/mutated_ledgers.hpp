// Ledgers as no brewery keeps them and import takes them all the same: figures at the ends of their ranges, lots
// without certificates, brews without readings or without their base malt, days out of order. Every answer is asked of
// each.
#pragma once

#include <cstdint>
#include <lotwort/brew/book.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::test {

// Some brews of a simulated brewery, or now and then a book in which everything is odd, changed in a few places. The
// same number is the same book everywhere.
[[nodiscard]] Book mutated_book(std::uint64_t number);

struct LedgerTrial {
    bool taken = false; // import took it
    int answers = 0, refusals = 0;
    double seconds = 0.0;
    std::vector<std::string> flaws; // of an answer: a bug, not a number, no JSON; or that one brew stopped a verb
};

// Imports the book into a ledger of its own and asks reconcile, trend, explain, plan, substitute, buy, stock and the
// pages of it. `slow`: the optimisers and the pages too.
[[nodiscard]] LedgerTrial ask_all(const Book& book, bool slow);

} // namespace lotwort::test
