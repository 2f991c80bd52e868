// verify: prove the ledger sound.
#include "shared.hpp"
#include "table.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>
#include <lotwort/report/keep.hpp>

namespace lotwort::verbs {

namespace {

constexpr Option options[] = {
    {"seal", "SEAL", "a seal that verify showed earlier: nothing up to its entry may have been changed or cut off"},
};

// As verify shows it, or more of its digits.
std::string parse_seal(const std::string& text) {
    constexpr std::size_t least = 16, most = 64;
    const bool digits = text.find_first_not_of("0123456789abcdef") == text.npos;
    if (digits && text.size() >= least && text.size() <= most) return text;
    throw Error(ErrorKind::refused, "`" + text + "` is no seal",
                "at least 16 of its digits are needed, as verify showed it");
}

// What is sound in itself may still be another ledger than the one whose seal was noted.
void find_seal(const Ledger& ledger, const std::string& seal, report::Verified& verified) {
    verified.proven_to = ledger.entry_sealed(seal);
    if (!verified.proven_to)
        verified.faults.push_back({"seal " + seal, "no entry bears it: what was booked under it has been replaced or "
                                                   "cut off, or it is of another ledger"});
}

Answer run(Call& call) {
    const auto seal = read_option(call, "seal", parse_seal);
    report::Verified verified;
    verified.ledger = call.ledger_path();
    verified.network = Ledger::network_under(verified.ledger);
    verified.faults = Ledger::prove(verified.ledger);
    // another schema than a ledger's may answer anything
    const bool is_ledger = std::ranges::find(verified.faults, "schema", &LedgerFault::where) == verified.faults.end();
    if (seal && is_ledger) find_seal(call.ledger(), *seal, verified);
    const int status = verified.faults.empty() ? 0 : static_cast<int>(ErrorKind::fault);
    if (status == 0) { // a faulty ledger's contents are not to be relied on
        const Ledger& ledger = call.ledger();
        HistoryFilter newest;
        newest.last = 1;
        const auto last = ledger.history(newest);
        verified.entries = last.empty() ? 0 : last.front().number;
        verified.lots = ledger.stock().size();
        verified.seal = ledger.newest_seal();
    }
    return {call.json() ? report::verify_json(verified) : report::verify_text(verified), status};
}

} // namespace

constinit const Command verify_command{
    .name = "verify",
    .group = Group::keep,
    .summary = "prove the ledger sound",
    .ledger = LedgerUse::reads,
    .options = options,
    .has_units = false,
    .run = run,
};

} // namespace lotwort::verbs
