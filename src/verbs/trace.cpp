// trace: one step forward and back; hold and release a lot.
#include "shared.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/desk/trace.hpp>
#include <lotwort/report/trace.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"CODE", "of a lot, a brew or a run of packages, or a supplier's own lot number"},
};

constexpr Option options[] = {
    {"hold", "REASON", "put the lot, and every lot made of it, on hold: no brew may take of them from then on"},
    {"release", "", "take the lot, and the lots made of it, off hold"},
};

std::string codes_of(const std::vector<Lot>& lots) {
    std::vector<std::string> codes;
    for (const Lot& lot : lots) codes.push_back(lot.code);
    return fmt::format("{}", fmt::join(codes, ", "));
}

// Puts the lots asked for and all lots made of them on hold, or takes them off it; those that it changes. A lot made of
// them that is on hold for a reason of its own stays so.
std::vector<Lot> changed_lots(report::TraceAnswer& answer, const std::optional<std::string>& reason) {
    if (answer.brew || answer.package)
        throw Error(ErrorKind::refused,
                    answer.brew ? fmt::format("{} is a brew, and holds are for lots", answer.brew->brew.code)
                                : fmt::format("{} is a run of packages, and holds are for lots", answer.package->code),
                    "name the lot");
    const std::optional<std::string> before = answer.lots.front().state.lot.held;
    std::vector<Lot> changed;
    const auto change = [&](Lot& lot) {
        if (lot.held == reason) return;
        lot.held = reason;
        changed.push_back(lot);
    };
    for (report::TracedLot& traced : answer.lots) change(traced.state.lot);
    for (report::Reached& reached : answer.reached)
        if (reached.lot && (reason ? !reached.lot->state.lot.held : reached.lot->state.lot.held == before))
            change(reached.lot->state.lot);
    if (!changed.empty()) return changed;
    const std::string& code = answer.lots.front().state.lot.code;
    throw Error(ErrorKind::refused,
                reason ? fmt::format("{} is on hold already: {}", code, *reason)
                       : fmt::format("{} is not on hold", code),
                fmt::format("lotwort trace {} shows where it stands", shell_word(code)));
}

void hold(Call& call, report::TraceAnswer& answer) {
    std::optional<std::string> reason;
    if (const auto text = call.args.text("hold")) reason = parse_name(*text, "reason");
    for (const report::TracedLot& traced : answer.lots) demand_arrived(traced.state.lot, call.on());
    Book part;
    part.lots = changed_lots(answer, reason);
    const std::string codes = codes_of(part.lots);
    const auto lost = promises_lost(call.desk(), part);
    const auto entry = call.book(part, EntryKind::hold,
                                 reason ? fmt::format("put {} on hold: {}", codes, *reason) : "released " + codes);
    const std::string next =
        reason ? fmt::format("lotwort trace {} --release, once it is cleared", shell_word(answer.asked))
               : std::string("lotwort stock --lots");
    answer.booked = {entry, call.dry_run(), next, lost};
}

Answer run(Call& call) {
    const bool holds = call.args.has("hold") || call.args.has("release");
    if (call.args.has("hold") && call.args.has("release"))
        throw Error(ErrorKind::usage, "--hold and --release undo each other", "write one of them");
    if (!holds) call.only_reads();
    report::TraceAnswer answer = traced(call.ledger(), parse_name(call.args.required("CODE"), "code"));
    answer.today = call.surroundings.today;
    const bool csv = call.csv();
    if (holds) hold(call, answer);
    if (csv) return {report::trace_csv(answer)};
    return {call.json() ? report::trace_json(answer) : report::trace_text(answer)};
}

} // namespace

constinit const Command trace_command{
    .name = "trace",
    .group = Group::look_back,
    .summary = "lot to brews, packages and whom, and back; hold and release",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .back_dates = true,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
