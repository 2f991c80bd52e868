// Thousands of random entries, on the ledger and on plain lists in memory (model.cpp).
#include "trials.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

TEST_CASE("the ledger takes and refuses what plain lists would, and comes to the same balances and promises") {
    Modelled counts;
    for (unsigned seed = 1; seed <= 60; ++seed) run_sequence(seed, 130, counts);
    CHECK(counts.planned > 200);
    CHECK(counts.plans_brewed > 30);
    // each of the four answers was met often
    CHECK(counts.booked > 500);
    CHECK(counts.refused > 500);
    CHECK(counts.taken_back > 100);
    CHECK(counts.kept > 100);
    CHECK(counts.corrected > 100);
    CHECK(counts.not_corrected > 10);
}

TEST_CASE("sequences that once went wrong") {
    Modelled counts;
    run_sequence(3436, 40, counts, Weights::as_booked); // an import put a brew's additions in another order
    run_sequence(5774, 40, counts, Weights::as_booked); // what is added on the day of a later movement came too late
}
