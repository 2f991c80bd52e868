// trace: one step forward and back; hold and release a lot.
#include "shared.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/brew_cost.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/desk/trace.hpp>
#include <lotwort/report/trace.hpp>
#include <map>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"CODE", "of a lot, a brew or a run of packages, or a supplier's own lot number"},
};

constexpr Option options[] = {
    {"hold", "REASON", "put the lot, and every lot made of it, on hold: no brew may take of them from then on"},
    {"release", "", "take the lot, and the lots made of it, off hold"},
};

report::TracedBrew trace_brew(Ledger& ledger, Brew brew) {
    report::TracedBrew traced;
    std::map<std::string, Lot> lots;
    for (const Addition& addition : brew.additions) {
        const auto [at, is_new] = lots.try_emplace(addition.lot);
        if (is_new) at->second = ledger.lot(addition.lot)->lot;
        traced.parts.push_back({addition, at->second});
    }
    traced.cost = brew_cost(brew, ledger);
    for (LotState& state : ledger.lots_harvested(brew.code)) traced.harvested.push_back(std::move(state.lot));
    traced.packages = packages_of_fermenter(ledger, brew.code);
    traced.brew = std::move(brew);
    return traced;
}

[[noreturn]] void refuse_unknown_code(Ledger& ledger, const std::string& code) {
    std::vector<std::string> codes;
    for (const StockRow& row : ledger.stock()) codes.push_back(row.lot);
    for (const Brew& brew : ledger.brews()) codes.push_back(brew.code);
    for (const Package& package : ledger.packages()) codes.push_back(package.code);
    refuse_unknown("lot, brew, run of packages or supplier's lot", code, codes, "lotwort stock --lots --all");
}

// A lot's code comes before a brew's and this before a run's, a code as typed before one in other capitals, and all
// before a supplier's number.
report::TraceAnswer find(Ledger& ledger, const std::string& code, std::map<std::string, std::string>& recipes) {
    report::TraceAnswer answer;
    answer.asked = code;
    auto lot = ledger.lot(code);
    auto brew = lot ? std::nullopt : ledger.brew(code);
    if (!lot && !brew) lot = find_lot(ledger, code);
    if (!lot && !brew) brew = find_brew(ledger, code);
    if (lot) {
        answer.lots.push_back(trace_lot(ledger, *std::move(lot), recipes));
        return answer;
    }
    if (brew) {
        answer.reached = made_of(ledger, brew->code, "", recipes);
        answer.brew = trace_brew(ledger, *std::move(brew));
        return answer;
    }
    if ((answer.package = ledger.package(code))) {
        answer.reached = made_of(ledger, answer.package->brew, code, recipes);
        return answer;
    }
    answer.by_supplier_lot = true;
    for (LotState& state : ledger.lots())
        if (state.lot.supplier_lot == code) answer.lots.push_back(trace_lot(ledger, std::move(state), recipes));
    if (answer.lots.empty()) refuse_unknown_code(ledger, code);
    return answer;
}

report::TraceAnswer followed(Ledger& ledger, const std::string& code) {
    std::map<std::string, std::string> recipes;
    report::TraceAnswer answer = find(ledger, code, recipes);
    std::vector<std::string> lots;
    for (const report::TracedLot& traced : answer.lots) lots.push_back(traced.state.lot.code);
    if (lots.empty()) return answer;
    answer.reached = reached_from(ledger, lots, recipes);
    answer.packages = packages_reached(ledger, answer.lots, answer.reached);
    return answer;
}

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
    report::TraceAnswer answer = followed(call.ledger(), parse_name(call.args.required("CODE"), "code"));
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
