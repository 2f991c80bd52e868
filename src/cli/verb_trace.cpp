// trace: one step forward and back; hold and release a lot.
#include "brew_cost.hpp"
#include "shared.hpp"
#include "verbs.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/report/trace.hpp>
#include <map>
#include <set>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"CODE", "a lot's code, a brew's code, or a supplier's own lot number"},
};

constexpr Option options[] = {
    {"hold", "REASON", "put the lot on hold: no brew may take of it from then on"},
    {"release", "", "take the lot off hold"},
};

// A movement that neither was taken back nor takes one back.
std::vector<Movement> standing(const std::vector<Movement>& movements) {
    std::set<std::string> taken_back;
    for (const Movement& movement : movements)
        if (movement.reverses) taken_back.insert(*movement.reverses);
    std::vector<Movement> left;
    for (const Movement& movement : movements)
        if (!movement.reverses && !(movement.id && taken_back.contains(*movement.id))) left.push_back(movement);
    return left;
}

report::TracedLot trace_lot(Ledger& ledger, LotState state, std::map<std::string, std::string>& recipes) {
    report::TracedLot traced;
    for (const Movement& movement : standing(ledger.movements(state.lot.code))) {
        if (movement.kind == MovementKind::receipt) continue;
        report::TraceStep step{movement, ""};
        if (movement.brew) {
            const auto [at, is_new] = recipes.try_emplace(*movement.brew);
            if (is_new) at->second = ledger.recipe_of(*movement.brew).value_or("");
            step.recipe = at->second;
        }
        traced.steps.push_back(std::move(step));
    }
    traced.state = std::move(state);
    return traced;
}

report::TracedBrew trace_brew(Ledger& ledger, Brew brew) {
    report::TracedBrew traced;
    std::map<std::string, Lot> lots;
    for (const Addition& addition : brew.additions) {
        const auto [at, is_new] = lots.try_emplace(addition.lot);
        if (is_new) at->second = ledger.lot(addition.lot)->lot;
        traced.parts.push_back({addition, at->second});
    }
    traced.cost = brew_cost(brew, lots, ledger.currency());
    for (LotState& state : ledger.lots_harvested(brew.code)) traced.harvested.push_back(std::move(state.lot));
    traced.brew = std::move(brew);
    return traced;
}

[[noreturn]] void refuse_unknown_code(Ledger& ledger, const std::string& code) {
    std::vector<std::string> codes;
    for (const StockRow& row : ledger.stock()) codes.push_back(row.lot);
    for (const Brew& brew : ledger.brews()) codes.push_back(brew.code);
    refuse_unknown("lot, brew or supplier's lot", code, codes, "lotwort stock --lots --all");
}

// A lot's code comes before a brew's, a code as typed before one in other capitals, and both before a supplier's
// number.
report::TraceAnswer find(Ledger& ledger, const std::string& code) {
    report::TraceAnswer answer;
    answer.asked = code;
    std::map<std::string, std::string> recipes;
    auto lot = ledger.lot(code);
    auto brew = lot ? std::nullopt : ledger.brew(code);
    if (!lot && !brew) lot = find_lot(ledger, code);
    if (!lot && !brew) brew = find_brew(ledger, code);
    if (lot) {
        answer.lots.push_back(trace_lot(ledger, *std::move(lot), recipes));
        return answer;
    }
    if (brew) {
        answer.brew = trace_brew(ledger, *std::move(brew));
        return answer;
    }
    answer.by_supplier_lot = true;
    for (LotState& state : ledger.lots())
        if (state.lot.supplier_lot == code) answer.lots.push_back(trace_lot(ledger, std::move(state), recipes));
    if (answer.lots.empty()) refuse_unknown_code(ledger, code);
    return answer;
}

std::string codes_of(const std::vector<Lot>& lots) {
    std::vector<std::string> codes;
    for (const Lot& lot : lots) codes.push_back(lot.code);
    return fmt::format("{}", fmt::join(codes, ", "));
}

// Those of the lots that the hold or the release changes.
std::vector<Lot> changed_lots(const report::TraceAnswer& answer, const std::optional<std::string>& reason) {
    if (answer.brew)
        throw Error(ErrorKind::refused, fmt::format("{} is a brew, and holds are for lots", answer.brew->brew.code),
                    "name the lot");
    std::vector<Lot> changed;
    for (const report::TracedLot& traced : answer.lots) {
        Lot lot = traced.state.lot;
        if (lot.held == reason) continue;
        lot.held = reason;
        changed.push_back(std::move(lot));
    }
    if (!changed.empty()) return changed;
    const std::string& code = answer.lots.front().state.lot.code;
    throw Error(ErrorKind::refused,
                reason ? fmt::format("{} is on hold already: {}", code, *reason)
                       : fmt::format("{} is not on hold", code),
                fmt::format("lotwort trace {} shows where it stands", code));
}

void hold(Call& call, report::TraceAnswer& answer) {
    std::optional<std::string> reason;
    if (const auto text = call.args.text("hold")) reason = parse_name(*text, "reason");
    Book part;
    part.lots = changed_lots(answer, reason);
    const std::string codes = codes_of(part.lots);
    const auto entry = call.book(part, EntryKind::hold,
                                 reason ? fmt::format("put {} on hold: {}", codes, *reason) : "released " + codes);
    for (report::TracedLot& traced : answer.lots) traced.state.lot.held = reason;
    const std::string next = reason ? fmt::format("lotwort trace {} --release, once it is cleared", answer.asked)
                                    : std::string("lotwort stock --lots");
    answer.booked = {entry, call.dry_run(), next};
}

Answer run(Call& call) {
    const bool holds = call.args.has("hold") || call.args.has("release");
    if (call.args.has("hold") && call.args.has("release"))
        throw Error(ErrorKind::usage, "--hold and --release undo each other", "write one of them");
    if (!holds) call.only_reads();
    report::TraceAnswer answer = find(call.ledger(), parse_name(call.args.required("CODE"), "code"));
    answer.today = call.surroundings.today;
    if (holds) hold(call, answer);
    if (call.csv()) return {report::trace_csv(answer)};
    return {call.json() ? report::trace_json(answer) : report::trace_text(answer)};
}

} // namespace

constinit const Command trace_command{
    .name = "trace",
    .group = Group::look_back,
    .summary = "lot to brews, brew to lots, one step each; hold and release",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .back_dates = true,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::cli
