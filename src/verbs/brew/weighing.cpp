#include "weighing.hpp"
#include "stock/lot_day.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/core/format.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/stock/whole_grams.hpp>
#include <map>
#include <set>

namespace lotwort::verbs {

namespace {

[[noreturn]] void refuse_weighing(const std::string& text) {
    throw Error(
        ErrorKind::refused, fmt::format("`{}` is no weighing", text),
        "write LOT=AMOUNT, and where it went in if that is not plain: PAM-1=4.36kg, H-1=30g@boil,60, H-2=40g@dry");
}

// STAGE or STAGE,MINUTES; mash2 is the second of two mashes
void parse_place(const std::string& text, const std::string& whole, Weighing& note) {
    const auto comma = text.find(',');
    std::string stage = text.substr(0, comma);
    if (stage.size() == 5 && stage.starts_with("mash") && stage[4] >= '1' && stage[4] <= '9') {
        note.mash = stage[4] - '0';
        stage.pop_back();
    }
    note.stage = parse_word<Stage>(stage, "a stage of the brew");
    if (comma == std::string::npos) return;
    const std::string minutes = text.substr(comma + 1);
    if (minutes.empty()) refuse_weighing(whole);
    const bool bare = std::ranges::all_of(minutes, [](char c) { return (c >= '0' && c <= '9') || c == '.'; });
    note.minutes = parse_minutes(bare ? minutes + "min" : minutes, range_of<Addition>("minutes"));
}

// The code of the one lot that is planned of the item named; else what was typed.
std::string as_planned(const std::string& name, const PlannedBrew& planned) {
    std::set<std::string> codes;
    for (const PlannedLine& line : planned.lines)
        if (lowered(line.item) == lowered(name))
            for (const TakenLot& taken : line.allotment.taken) codes.insert(taken.lot);
    return codes.size() == 1 ? *codes.begin() : name;
}

// "free of pale ale malt: 20.6 kg in PAM-2, 3 kg in PAM-3"; what came after the day of the brew is not offered.
std::string free_text(const std::vector<LotState>& lots, const std::string& item, Date day) {
    std::string text, later;
    for (const auto& state : lots) {
        if (state.lot.item != item || state.lot.held || state.free().units <= 0) continue;
        if (state.lot.received <= day)
            text += fmt::format("{}{} in {}", text.empty() ? "" : ", ", to_text(state.free()), state.lot.code);
        else
            later += fmt::format("; {} came on {}", state.lot.code, to_iso(state.lot.received));
    }
    return text.empty() ? fmt::format("nothing {} free of {}{}", later.empty() ? "is" : "was", item, later)
                        : fmt::format("free of {}: {}", item, text);
}

bool is_free(const std::vector<LotState>& lots, const std::string& item, Date day) {
    return std::ranges::any_of(lots, [&](const LotState& state) {
        return state.lot.item == item && !state.lot.held && state.free().units > 0 && state.lot.received <= day;
    });
}

[[noreturn]] void refuse_shortage(const std::vector<std::string>& lacks, const std::vector<std::string>& hints) {
    throw Error(ErrorKind::shortage, fmt::format("not enough in stock: {}", fmt::join(lacks, "; ")),
                fmt::format("{}", fmt::join(hints, "\n")));
}

std::map<std::string, Amount> taken_by_lot(const std::vector<Addition>& additions) {
    std::map<std::string, Amount> taken;
    for (const auto& addition : additions) {
        const auto [at, is_new] = taken.emplace(addition.lot, addition.amount);
        if (!is_new) at->second = at->second + addition.amount;
    }
    return taken;
}

} // namespace

Weighing parse_weighing(const std::string& text, const Book& book, const std::vector<LotState>& lots,
                        const PlannedBrew& planned) {
    const auto equals = text.rfind('='); // a lot's code may hold the sign itself
    if (equals == std::string::npos || equals == 0) refuse_weighing(text);
    const auto at = text.find('@', equals);
    Weighing note;
    const Lot& lot = lot_among(lots, as_planned(text.substr(0, equals), planned)).lot;
    note.lot = lot.code;
    note.kind = known_item(book, lot.item).kind;
    note.amount = parse_amount_of(lot, text.substr(equals + 1, at == std::string::npos ? at : at - equals - 1));
    if (at != std::string::npos) parse_place(text.substr(at + 1), text, note);
    return note;
}

void demand_not_held(const Lot& lot) {
    if (lot.held)
        throw Error(ErrorKind::refused, fmt::format("lot {} is on hold: {}", lot.code, *lot.held),
                    "take another lot, or release it first");
}

namespace {

// Of two weights for one place nobody knows which is so, or whether both are.
void demand_once(const std::vector<Weighing>& notes) {
    for (auto note = notes.begin(); note != notes.end(); ++note)
        if (std::any_of(notes.begin(), note, [&](const Weighing& before) {
                return before.lot == note->lot && before.stage == note->stage && before.minutes == note->minutes &&
                       before.mash == note->mash;
            }))
            throw Error(ErrorKind::refused, fmt::format("--weighed says twice what was weighed of {}", note->lot),
                        fmt::format("say it once, with the sum if it was weighed in parts: --weighed {}",
                                    shell_word(note->lot + "=" + typed_text(note->amount))));
}

} // namespace

std::vector<Weighing> parse_weighings(const Call& call, const Book& book, const std::vector<LotState>& lots,
                                      const PlannedBrew& planned) {
    const auto taken = [&](const std::string& text, const PlannedBrew& of) {
        Weighing note = parse_weighing(text, book, lots, of);
        if (note.amount.units > 0) demand_not_held(lot_among(lots, note.lot).lot);
        return note;
    };
    const auto weighing = [&](const std::string& text) { return taken(text, planned); };
    const auto addition = [&](const std::string& text) {
        Weighing note = taken(text, {});
        if (note.amount.units == 0)
            throw Error(ErrorKind::refused, fmt::format("`{}` adds nothing", text), "write what was weighed");
        return note;
    };
    std::vector<Weighing> notes = read_each(call, "weighed", weighing);
    demand_once(notes);
    for (auto& note : notes) note.planned_only = true;
    std::ranges::move(read_each(call, "add", addition), std::back_inserter(notes));
    return notes;
}

void demand_stock(const std::vector<Addition>& additions, const std::vector<LotState>& lots, Date day) {
    std::vector<std::string> lacks, hints;
    for (const auto& [code, amount] : taken_by_lot(additions)) {
        const LotState& state = lot_among(lots, code);
        // reserved before it was put on hold
        if (state.lot.held)
            throw Error(ErrorKind::refused, fmt::format("lot {} is on hold: {}", code, *state.lot.held),
                        fmt::format("weigh another in its place: --weighed {} --add LOT=AMOUNT; or release it first",
                                    shell_word(code + (amount.measure == Measure::mass     ? "=0kg"
                                                       : amount.measure == Measure::volume ? "=0L"
                                                                                           : "=0pieces"))));
        if (!(state.on_hand < amount)) continue;
        lacks.push_back(
            fmt::format("{} holds {} of the {} to be taken", code, to_text(state.on_hand), to_text(amount)));
        hints.push_back(free_text(lots, state.lot.item, day));
    }
    if (!lacks.empty()) refuse_shortage(lacks, hints);
}

void demand_reserved(const PlannedBrew& planned, const PlannedBrew& fresh, const std::vector<Weighing>& notes,
                     const std::map<int, Amount>& stand_ins, const std::vector<LotState>& lots, Date day) {
    std::vector<std::string> lacks, hints;
    bool is_there = false; // of something that lacks
    for (std::size_t i = 0; i < planned.lines.size(); ++i) {
        const auto& reserved = planned.lines[i];
        const auto& wanted = fresh.lines[i];
        const bool counts =
            wanted.kind == ItemKind::malt || wanted.kind == ItemKind::sugar || wanted.kind == ItemKind::hop;
        const auto& taken = reserved.allotment.taken;
        const auto is_own = [&](const std::string& code) { return lot_among(lots, code).lot.item == wanted.item; };
        if (!counts) continue;
        if (std::ranges::any_of(notes, [&](const Weighing& n) { return is_own(n.lot); })) continue;
        Amount given{wanted.needed.measure, 0};
        for (const TakenLot& lot : taken) given = given + lot.amount;
        const auto stands_in = stand_ins.find(wanted.line);
        const Amount stands_for = stands_in != stand_ins.end() ? stands_in->second : Amount{given.measure, 0};
        const Amount has_in_all = given + stands_for;
        if (wanted.needed.units == 0) continue; // left away
        if (has_in_all.units > 0 && is_near_enough(wanted, wanted.needed - has_in_all)) continue;
        const std::string has = taken.empty() ? "nothing" : to_text(given);
        const std::string& code = planned.plan.code;
        lacks.push_back(
            fmt::format("{} {} of the {} of {} that it needs",
                        code.empty() ? planned.plan.recipe + " finds" : fmt::format("plan {} reserves", code), has,
                        to_text(wanted.needed), wanted.item));
        if (stands_for.units > 0)
            lacks.back() += fmt::format(", and what stands in counts as {}", to_text(to_the_gram(stands_for)));
        for (const Weighing& note : notes)
            if (!note.planned_only && !note.instead_of && note.kind == wanted.kind)
                hints.push_back(fmt::format("{} does not count for {}", note.lot, wanted.item));
        hints.push_back(free_text(lots, wanted.item, day));
        is_there = is_there || is_free(lots, wanted.item, day);
    }
    if (lacks.empty()) return;
    const std::string& code = planned.plan.code;
    if (!code.empty())
        hints.push_back(is_there ? fmt::format("reserve what is free: lotwort plan {} --move {}", shell_word(code),
                                               to_iso(planned.plan.date))
                                 : fmt::format("what may stand in: lotwort substitute {}", shell_word(code)));
    hints.push_back(
        fmt::format("add what went in: lotwort brew {} --add LOT=AMOUNT; or brew with what is {}: --as-reserved",
                    code.empty() ? "--recipe " + shell_word(planned.plan.recipe) : shell_word(code),
                    code.empty() ? "there" : "reserved"));
    refuse_shortage(lacks, hints);
}

std::vector<std::string> dropped_remarks(const PlannedBrew& planned, const WeighedIn& weighed,
                                         const std::vector<LotState>& lots, const std::string& brew, Date day) {
    std::vector<std::string> remarks;
    for (const PlannedLine& line : planned.lines) {
        const auto is_of_line = [&](const Addition& a) {
            return a.stage == line.stage && (lot_among(lots, a.lot).lot.item == line.item || a.instead_of == line.item);
        };
        const auto is_left_out = [&](const Difference& d) { return d.weighed.units == 0 && is_of_line(d.planned); };
        if (std::ranges::any_of(weighed.differences, is_left_out)) continue; // as was said
        Amount given{line.needed.measure, 0};
        bool any = false;
        for (const Addition& a : weighed.additions) {
            if (!is_of_line(a)) continue;
            any = true;
            if (a.amount.measure == given.measure) given = given + a.amount;
        }
        if (any && (!line.is_short() || (given.units > 0 && is_near_enough(line, line.needed - given)))) continue;
        const std::string at = line.minutes ? fmt::format("{},{}", word(line.stage), shortest(line.minutes->value()))
                                            : std::string(word(line.stage));
        remarks.push_back(fmt::format(
            "{}: {} is booked{}; {}. If more went in: lotwort brew {} --add LOT=AMOUNT@{}", line.item,
            any ? "only " + to_text(given) : "nothing",
            line.needed.units > 0 ? fmt::format(" of the {} that the recipe asks for", to_text(line.needed)) : "",
            free_text(lots, line.item, day), shell_word(brew), at));
    }
    return remarks;
}

std::vector<std::string> stock_remarks(const std::vector<Addition>& additions, const std::vector<LotState>& lots,
                                       Date day) {
    std::vector<std::string> remarks;
    for (const auto& [code, amount] : taken_by_lot(additions))
        if (const auto& best = lot_among(lots, code).lot.best_before; best && *best < day)
            remarks.push_back(fmt::format("{} was best before {}", code, to_iso(*best)));
    return remarks;
}

} // namespace lotwort::verbs
