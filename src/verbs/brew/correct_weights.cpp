#include "correct_weights.hpp"
#include "weighing.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>

namespace lotwort::verbs {

namespace {

std::string place_of(const Addition& addition) {
    return addition.minutes ? fmt::format("@{},{}", word(addition.stage), shortest(addition.minutes->value()))
                            : fmt::format("@{}", word(addition.stage));
}

// The lots that went in; by these alone a word is understood.
std::vector<LotState> lots_in(const Brew& brew, const std::vector<LotState>& lots) {
    std::vector<LotState> used;
    for (const LotState& state : lots)
        if (std::ranges::find(brew.additions, state.lot.code, &Addition::lot) != brew.additions.end())
            used.push_back(state);
    return used;
}

void demand_used(const Brew& brew, const std::vector<LotState>& used, const std::string& text) {
    const std::string name = text.substr(0, text.find('='));
    const auto is_it = [&](const LotState& state) {
        return lowered(state.lot.code) == lowered(name) || lowered(state.lot.item) == lowered(name);
    };
    if (std::ranges::any_of(used, is_it)) return;
    std::vector<std::string> took;
    for (const Addition& addition : brew.additions)
        took.push_back(fmt::format("{} of {}", to_text(addition.amount), addition.lot));
    throw Error(ErrorKind::refused, fmt::format("nothing of `{}` went into {}", name, brew.code),
                took.empty() ? "what went in besides is added: --add LOT=AMOUNT"
                             : fmt::format("it took {}; what went in besides is added: --add LOT=AMOUNT",
                                           fmt::join(took, ", ")));
}

// The addition that is meant, among those of the lot.
Addition& meant(Brew& brew, const Weighing& note, const std::string& text) {
    std::vector<Addition*> fitting;
    for (Addition& addition : brew.additions)
        if (addition.lot == note.lot && (!note.stage || addition.stage == *note.stage) &&
            (!note.minutes || addition.minutes == note.minutes))
            fitting.push_back(&addition);
    if (fitting.size() == 1) return *fitting.front();
    if (fitting.empty())
        throw Error(ErrorKind::refused, fmt::format("`{}`: nothing of {} went in there", text, note.lot),
                    fmt::format("leave out what stands behind @, or look: lotwort brew {}", shell_word(brew.code)));
    std::vector<std::string> ways;
    for (const Addition* addition : fitting)
        ways.push_back(fmt::format("{}={}{}", note.lot, typed_text(note.amount), place_of(*addition)));
    throw Error(ErrorKind::refused, fmt::format("{} went into {} {} times", note.lot, brew.code, fitting.size()),
                fmt::format("say which: {}", fmt::join(ways, " or ")));
}

// The opposite of the movement by which the addition was booked, by its id in the ledger.
Movement opposite_of(const Ledger& ledger, const Addition& addition, const Brew& brew, const Book& part) {
    const auto movements = ledger.movements(addition.lot);
    const auto is_answered = [](const std::vector<Movement>& among, const Movement& use) {
        return std::ranges::any_of(among, [&](const Movement& other) { return other.reverses == use.id; });
    };
    const auto use = std::ranges::find_if(movements, [&](const Movement& m) {
        return m.kind == MovementKind::brew && m.brew == brew.code && m.on == addition.on.value_or(brew.date) &&
               m.stage == addition.stage && m.minutes == addition.minutes && m.change == -addition.amount &&
               !is_answered(movements, m) && !is_answered(part.movements, m);
    });
    LOTWORT_CHECK(use != movements.end() && use->id);
    Movement back;
    back.on = use->on;
    back.lot = use->lot;
    back.kind = MovementKind::reversal;
    back.change = addition.amount;
    back.reverses = use->id;
    return back;
}

} // namespace

CorrectedWeights correct_weights(Call& call, const Book& book, const std::vector<LotState>& lots, const Brew& brew) {
    const Ledger& ledger = call.ledger();
    CorrectedWeights out;
    out.whole = brew;
    Brew more = brew;
    more.additions.clear();
    more.readings.clear();
    more.unused.clear();
    const std::vector<LotState> used = lots_in(brew, lots);
    const auto correct = [&](const std::string& text) {
        demand_used(brew, used, text);
        const Weighing note = parse_weighing(text, book, used);
        Addition& addition = meant(out.whole, note, text);
        if (addition.amount == note.amount)
            throw Error(ErrorKind::refused, fmt::format("{} of {} is booked already", to_text(note.amount), note.lot),
                        "say what was weighed in truth");
        out.part.movements.push_back(opposite_of(ledger, addition, brew, out.part));
        out.what +=
            fmt::format("{}{}: {} of {} instead of {}", out.what.empty() ? "corrected " : ", ",
                        out.what.empty() ? brew.code : "and", to_text(note.amount), note.lot, to_text(addition.amount));
        addition.amount = note.amount;
        if (note.amount.units > 0) more.additions.push_back(addition);
        return true;
    };
    (void)read_each(call, "correct", correct);
    std::erase_if(out.whole.additions, [](const Addition& a) { return a.amount.units == 0; });
    if (!more.additions.empty()) out.part.brews.push_back(more);
    return out;
}

} // namespace lotwort::verbs
