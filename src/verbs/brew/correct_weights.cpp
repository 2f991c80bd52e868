#include "correct_weights.hpp"
#include "lots_in_brew.hpp"
#include "stock/lot_day.hpp"
#include "weighing.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/use_ids.hpp>
#include <set>

namespace lotwort::verbs {

namespace {

// What --correct says: the weight in truth, and the one that was booked where it is said.
struct Correction {
    Weighing right;
    std::optional<Amount> booked;
    std::string typed;
};

// PAM-1=4.4kg@mash, or PAM-1=4kg=4.4kg
Correction parse_correction(const std::string& typed, const Book& book, const std::vector<LotState>& lots,
                            const Brew& brew) {
    const auto equals = typed.find('=');
    Correction out;
    out.typed = typed;
    std::string text = typed;
    if (equals != std::string::npos && equals > 0) {
        const Lot& lot =
            lot_in_brew(brew, lots, typed.substr(0, equals), "what went in besides is added: --add LOT=AMOUNT");
        std::string right = typed.substr(equals + 1);
        if (const auto second = right.substr(0, right.find('@')).find('='); second != std::string::npos) {
            out.booked = parse_amount_of(lot, right.substr(0, second));
            right = right.substr(second + 1);
        }
        text = lot.code + "=" + right;
    }
    out.right = parse_weighing(text, book, lots);
    return out;
}

std::string place_of(const Addition& addition) {
    const std::string stage =
        fmt::format("@{}{}", word(addition.stage), addition.mash ? fmt::to_string(*addition.mash) : "");
    return addition.minutes ? fmt::format("{},{}", stage, shortest(addition.minutes->value())) : stage;
}

[[noreturn]] void refuse_several(const Brew& brew, const std::vector<std::size_t>& fitting, const Correction& said) {
    std::vector<std::string> ways;
    for (const std::size_t i : fitting) {
        const Addition& addition = brew.additions[i];
        const auto is_beside = [&](std::size_t other) {
            return other != i && place_of(brew.additions[other]) == place_of(addition);
        };
        const bool needs_old = std::ranges::any_of(fitting, is_beside);
        std::string way = fmt::format("{}={}{}{}", addition.lot, needs_old ? typed_text(addition.amount) + "=" : "",
                                      typed_text(said.right.amount), place_of(addition));
        if (std::ranges::find(ways, way) == ways.end()) ways.push_back(std::move(way));
    }
    throw Error(ErrorKind::refused, fmt::format("{} went into {} {} times", said.right.lot, brew.code, fitting.size()),
                fmt::format("say which: {}", fmt::join(ways, " or ")));
}

// Which of the brew's additions is meant; of equal ones the first that is not corrected yet.
std::size_t meant(const Brew& brew, const std::set<std::size_t>& corrected, const Correction& said) {
    const Weighing& note = said.right;
    std::vector<std::size_t> fitting;
    for (std::size_t i = 0; i < brew.additions.size(); ++i) {
        const Addition& a = brew.additions[i];
        if (a.lot != note.lot || (note.stage && a.stage != *note.stage) ||
            (note.minutes && a.minutes != note.minutes) || (note.mash && a.mash != note.mash) ||
            (said.booked && a.amount != *said.booked))
            continue;
        fitting.push_back(i);
    }
    if (fitting.empty())
        throw Error(ErrorKind::refused,
                    said.booked
                        ? fmt::format("`{}`: {} of {} did not go in there", said.typed, to_text(*said.booked), note.lot)
                        : fmt::format("`{}`: nothing of {} went in there", said.typed, note.lot),
                    fmt::format("lotwort brew {} shows what did", shell_word(brew.code)));
    const auto is_like_first = [&](std::size_t i) {
        return brew.additions[i].amount == brew.additions[fitting.front()].amount &&
               place_of(brew.additions[i]) == place_of(brew.additions[fitting.front()]);
    };
    if (fitting.size() > 1 && !(said.booked && std::ranges::all_of(fitting, is_like_first)))
        refuse_several(brew, fitting, said);
    const auto open = std::ranges::find_if(fitting, [&](std::size_t i) { return !corrected.contains(i); });
    if (open == fitting.end())
        throw Error(ErrorKind::refused, fmt::format("`{}`: that weight is corrected twice", said.typed),
                    "say once what was weighed in truth");
    return *open;
}

} // namespace

BrewChange correct_weights(Call& call, const Book& book, const std::vector<LotState>& lots, const Brew& brew) {
    BrewChange out;
    out.whole = brew;
    Brew more = brew;
    more.additions.clear();
    more.readings.clear();
    more.unused.clear();
    const std::vector<std::string> ids = use_ids(call.ledger(), brew);
    std::set<std::size_t> corrected;
    const auto correct = [&](const std::string& text) {
        const Correction said = parse_correction(text, book, lots, brew);
        const std::size_t at = meant(brew, corrected, said);
        corrected.insert(at);
        const Addition& wrong = brew.additions[at];
        const Amount right = said.right.amount;
        if (wrong.amount == right)
            throw Error(ErrorKind::refused, fmt::format("{} of {} is booked already", to_text(right), wrong.lot),
                        "say what was weighed in truth");
        if (wrong.amount < right) demand_not_held(lot_among(lots, wrong.lot).lot);
        Movement back;
        back.on = wrong.on.value_or(brew.date);
        back.lot = wrong.lot;
        back.kind = MovementKind::reversal;
        back.change = wrong.amount;
        back.reverses = ids[at];
        out.part.movements.push_back(std::move(back));
        out.what += fmt::format("{}{}: {} of {} instead of {}", out.what.empty() ? "corrected " : ", ",
                                out.what.empty() ? brew.code : "and", to_text(right), wrong.lot, to_text(wrong.amount));
        out.whole.additions[at].amount = right;
        if (right.units > 0) more.additions.push_back(out.whole.additions[at]);
        return true;
    };
    (void)read_each(call, "correct", correct);
    std::erase_if(out.whole.additions, [](const Addition& a) { return a.amount.units == 0; });
    out.part.brews.push_back(std::move(more)); // by its head the entry is found, though nothing went in
    return out;
}

} // namespace lotwort::verbs
