// verify: prove the ledger sound.
#include "verbs.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/report/keep.hpp>

namespace lotwort::cli {

namespace {

Answer run(Call& call) {
    const Ledger& ledger = call.ledger();
    report::Verified verified;
    verified.ledger = call.ledger_path();
    verified.faults = ledger.verify();
    const int status = verified.faults.empty() ? 0 : static_cast<int>(ErrorKind::fault);
    if (status == 0) { // a faulty ledger's contents are not to be relied on
        HistoryFilter newest;
        newest.last = 1;
        const auto last = ledger.history(newest);
        verified.entries = last.empty() ? 0 : last.front().number;
        verified.lots = ledger.stock().size();
    }
    return {call.json() ? report::verify_json(verified) : report::verify_text(verified), status};
}

} // namespace

constinit const Command verify_command{
    .name = "verify",
    .group = Group::keep,
    .summary = "prove the ledger sound",
    .ledger = LedgerUse::reads,
    .run = run,
};

} // namespace lotwort::cli
