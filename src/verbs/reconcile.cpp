// reconcile: balance the readings.
#include "shared.hpp"
#include "table.hpp"
#include <fmt/format.h>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/report/reconcile.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"BREW", "its code: B1; not with --all", true},
};

constexpr Option options[] = {
    {"about", "EFFICIENCY", "what the next reading is to tell: brewhouse (unless given), lauter, conversion, ..."},
    {"all", "", "every brew, a row each"},
    {"full", "", "every quantity, reading and expectation"},
};

// What the brews are reconciled from.
struct Basis {
    std::vector<Brew> brews;
    Book book;
    LotBook lots;
    Fermenters fermenters{brews};
};

report::ReconciledBrew reconciled(const Brew& brew, const Basis& basis, const std::string& about) {
    if (brew.abandoned)
        throw Error(ErrorKind::refused, "brew " + brew.code + " was given up: " + *brew.abandoned,
                    "there is nothing to balance");
    report::ReconciledBrew out;
    out.date = brew.date;
    out.recipe = brew.recipe.value_or("");
    out.brewhouse = brew.brewhouse;
    out.result = reconcile(tied_input(brew, basis.fermenters, basis.book, basis.lots), about);
    return out;
}

// A brew whose readings cannot be used (a depth below its dip table) has its row too, with the reason.
report::ReconciledBrew reconciled_or_fault(const Brew& brew, const Basis& basis, const std::string& about) {
    try {
        return reconciled(brew, basis, about);
    } catch (const Error& e) {
        const Estimated none{std::nullopt, e.what()};
        report::ReconciledBrew out;
        out.date = brew.date;
        out.recipe = brew.recipe.value_or("");
        out.brewhouse = brew.brewhouse;
        out.result.brew = brew.code;
        out.result.efficiencies = {none, none, none, none, none};
        out.fault = e.what();
        return out;
    }
}

Answer all(Call& call, const Basis& basis, const std::string& about) {
    report::AllReconciled answer;
    for (const auto& brew : basis.brews) {
        if (answer.brews.size() % 500 == 499)
            call.progress(fmt::format("reconciled {} of {} brews", answer.brews.size(), basis.brews.size()));
        answer.brews.push_back(reconciled_or_fault(brew, basis, about));
    }
    call.progress("");
    answer.instruments = learn(learn_request(call.desk(), basis.book, {})).instruments;
    if (call.json()) return {report::reconcile_all_json(answer)};
    return {call.csv() ? report::reconcile_all_csv(answer) : report::reconcile_all_text(answer)};
}

Answer run(Call& call) {
    const std::string usual = "brewhouse";
    if (call.args.has("all")) {
        call.goes("a row is a brew's efficiencies",
                  "of one brew it says what to read next: lotwort reconcile B1 --about "
                  "lauter");
        if (call.args.has("BREW")) throw Error(ErrorKind::usage, "--all is every brew", "leave the code out, or --all");
        const Book book = call.ledger().definitions();
        return all(call, {call.ledger().brews(), book, lot_book(call.ledger().lots(), book)}, usual);
    }
    const Brew brew =
        known_brew(call.ledger(), needed(call, "BREW", "lotwort reconcile B1, or lotwort reconcile --all"));
    Basis basis{call.ledger().brews_of_fermenter(brew.code), call.ledger().definitions(), {}};
    for (const Brew& tied : basis.brews) basis.lots.merge(lots_of(call.ledger(), tied, basis.book));
    if (call.csv()) {
        call.goes("the rows are the brew's figures", "what to read next is told without --csv");
        return {report::reconcile_csv(reconciled(brew, basis, usual))};
    }
    const auto answer = reconciled(brew, basis, call.args.text("about").value_or(usual));
    call.goes("every figure is told", "--full is for people");
    if (call.json()) return {report::reconcile_json(answer)};
    return {report::reconcile_text(answer, call.args.has("full"))};
}

} // namespace

constinit const Command reconcile_command{
    .name = "reconcile",
    .group = Group::brew,
    .summary = "balance the readings; efficiencies, suspects, what to measure next",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
