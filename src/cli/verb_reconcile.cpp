// reconcile: balance the readings.
#include "brew_reconcile.hpp"
#include "verbs.hpp"
#include <fmt/format.h>
#include <lotwort/report/reconcile.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"BREW", "its code: B1; not with --all", true},
};

constexpr Option options[] = {
    {"about", "EFFICIENCY", "what the next reading is to tell: brewhouse (unless given), lauter, conversion, ..."},
    {"all", "", "every brew, a row each"},
};

report::ReconciledBrew reconciled(const Brew& brew, const Book& book, const LotBook& lots, const std::string& about) {
    report::ReconciledBrew out;
    out.date = brew.date;
    out.recipe = brew.recipe.value_or("");
    out.brewhouse = brew.brewhouse;
    out.result = reconcile(reconcile_input(brew, book, lots), about);
    return out;
}

// A brew whose readings cannot be used (a depth below its dip table) has its row too, with the reason.
report::ReconciledBrew reconciled_or_fault(const Brew& brew, const Book& book, const LotBook& lots,
                                           const std::string& about) {
    try {
        return reconciled(brew, book, lots, about);
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

// What the brews of each brewhouse say of its instruments; a brew that could not be reconciled says nothing.
std::vector<LearnedBias> biases(const std::vector<Brew>& brews, const std::vector<report::ReconciledBrew>& rows,
                                const Book& book, const LotBook& lots) {
    std::map<std::string, std::vector<ReconcileInput>> by_brewhouse;
    for (std::size_t i = 0; i < brews.size(); ++i)
        if (rows[i].fault.empty()) by_brewhouse[brews[i].brewhouse].push_back(reconcile_input(brews[i], book, lots));
    std::vector<LearnedBias> learned;
    for (const auto& [brewhouse, inputs] : by_brewhouse) {
        if (inputs.size() < 2) continue; // one brew says no more than its own balance
        for (auto& bias : learn_biases(inputs)) learned.push_back(std::move(bias));
    }
    return learned;
}

Answer all(Call& call, const Book& book, const std::string& about) {
    const std::vector<Brew> brews = call.ledger().brews();
    const LotBook lots = lot_book(call.ledger().lots(), book);
    report::AllReconciled answer;
    for (const auto& brew : brews) {
        if (answer.brews.size() % 500 == 499)
            call.progress(fmt::format("reconciled {} of {} brews", answer.brews.size(), brews.size()));
        answer.brews.push_back(reconciled_or_fault(brew, book, lots, about));
    }
    call.progress("");
    answer.instruments = biases(brews, answer.brews, book, lots);
    if (call.json()) return {report::reconcile_all_json(answer)};
    return {call.csv() ? report::reconcile_all_csv(answer) : report::reconcile_all_text(answer)};
}

Answer run(Call& call) {
    const std::string about = call.args.text("about").value_or("brewhouse");
    const Book book = call.ledger().definitions();
    if (call.args.has("all")) {
        if (call.args.has("BREW")) throw Error(ErrorKind::usage, "--all is every brew", "leave the code out, or --all");
        return all(call, book, about);
    }
    const Brew brew =
        known_brew(call.ledger(), needed(call, "BREW", "lotwort reconcile B1, or lotwort reconcile --all"));
    const auto answer = reconciled(brew, book, lots_of(call.ledger(), brew, book), about);
    if (call.json()) return {report::reconcile_json(answer)};
    return {call.csv() ? report::reconcile_csv(answer) : report::reconcile_text(answer)};
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

} // namespace lotwort::cli
