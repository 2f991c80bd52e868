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

std::string given_up(const Brew& brew) {
    return "brew " + brew.code + " was given up: " + *brew.abandoned;
}

report::ReconciledBrew named(const Brew& brew) {
    report::ReconciledBrew out;
    out.date = brew.date;
    out.recipe = brew.recipe.value_or("");
    out.brewhouse = brew.brewhouse;
    out.result.brew = brew.code;
    return out;
}

report::ReconciledBrew reconciled(const ReconcileInput& input, const std::string& about) {
    report::ReconciledBrew out = named(input.brew);
    out.result = reconcile(input, about);
    return out;
}

// A brew whose readings cannot be used (a depth below its dip table) has its row too, with the reason.
report::ReconciledBrew faulty(const Brew& brew, const std::string& why) {
    const Estimated none{std::nullopt, why};
    report::ReconciledBrew out = named(brew);
    out.result.efficiencies = {none, none, none, none, none};
    out.fault = why;
    return out;
}
report::ReconciledBrew reconciled_or_fault(const ReconcileInput& input, const std::string& about) {
    try {
        return reconciled(input, about);
    } catch (const Error& e) {
        return faulty(input.brew, e.what());
    }
}

std::vector<ReconcileInput> taught_inputs(const LearnRequest& request, const Basis& basis,
                                          const std::vector<const Brew*>& brews) {
    std::vector<ReconcileInput> inputs;
    for (const Brew* brew : brews) inputs.push_back(tied_input(*brew, basis.fermenters, basis.book, basis.lots));
    teach_from_others(request, inputs);
    return inputs;
}

Answer all(Call& call, const Basis& basis, const std::string& about) {
    report::AllReconciled answer;
    std::vector<const Brew*> brews;
    for (const auto& brew : basis.brews)
        if (!brew.abandoned) brews.push_back(&brew);
    const LearnRequest request = learn_request(call.desk(), basis.book, {});
    const auto inputs = taught_inputs(request, basis, brews);
    auto next = inputs.begin();
    for (const auto& brew : basis.brews) {
        if (answer.brews.size() % 500 == 499)
            call.progress(fmt::format("reconciled {} of {} brews", answer.brews.size(), basis.brews.size()));
        answer.brews.push_back(brew.abandoned ? faulty(brew, given_up(brew)) : reconciled_or_fault(*next++, about));
    }
    call.progress("");
    answer.instruments = learn(request).instruments;
    if (call.json()) return {report::reconcile_all_json(answer)};
    return {call.csv() ? report::reconcile_all_csv(answer) : report::reconcile_all_text(answer, call.args.has("full"))};
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
    if (brew.abandoned) throw Error(ErrorKind::refused, given_up(brew), "there is nothing to balance");
    Basis basis{call.ledger().brews_of_fermenter(brew.code), call.ledger().definitions(), {}};
    for (const Brew& tied : basis.brews) basis.lots.merge(lots_of(call.ledger(), tied, basis.book));
    const ReconcileInput input = taught_inputs(learn_request(call.desk(), basis.book, {}), basis, {&brew}).front();
    if (call.csv()) {
        call.goes("the rows are the brew's figures", "what to read next is told without --csv");
        return {report::reconcile_csv(reconciled(input, usual))};
    }
    const auto answer = reconciled(input, call.args.text("about").value_or(usual));
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
