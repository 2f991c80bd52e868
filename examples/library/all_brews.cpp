// All brews of a ledger reconciled, each with those that were run into its fermenter: all_brews LEDGER
#include <cstdio>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/reconcile_input.hpp>
#include <lotwort/infer/reconcile.hpp>

using namespace lotwort;

int main(int argc, char** argv) try {
    if (argc != 2) {
        std::fprintf(stderr, "usage: all_brews LEDGER\n");
        return 2;
    }
    Ledger ledger(argv[1], Access::picture); // one state of it, whoever books meanwhile
    const Book book = ledger.definitions();
    const std::vector<Brew> brews = ledger.brews();
    const Fermenters fermenters(brews);
    const LotBook lots = lot_book(ledger.lots(), book);
    for (const Brew& brew : brews) {
        if (brew.abandoned) continue;
        try {
            const Reconciliation found = reconcile(tied_input(brew, fermenters, book, lots));
            const Estimated& whole = found.efficiencies.brewhouse;
            if (whole.estimate)
                std::printf("%s %s: brewhouse %.1f +- %.1f %%%s\n", brew.code.c_str(), to_iso(brew.date).c_str(),
                            100.0 * whole.estimate->value, 100.0 * whole.estimate->sd,
                            found.test.passed ? "" : ", the readings contradict each other");
            else
                std::printf("%s %s: %s\n", brew.code.c_str(), to_iso(brew.date).c_str(), whole.reason.c_str());
        } catch (const Error& e) { // this brew alone cannot be used
            std::printf("%s %s: %s\n", brew.code.c_str(), to_iso(brew.date).c_str(), e.what());
        }
    }
    return 0;
} catch (const Error& e) {
    std::fprintf(stderr, "%s\n", e.what());
    return 1;
}
