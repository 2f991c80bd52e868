#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/brew/brew_day.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>

namespace lotwort {

namespace {

bool fits(const Addition& planned, const Weighing& note) {
    return planned.lot == note.lot && (!note.stage || planned.stage == *note.stage) &&
           (!note.minutes || planned.minutes == note.minutes) && (!note.mash || planned.mash == note.mash) &&
           (!note.instead_of || planned.instead_of == note.instead_of);
}

std::string place(const Addition& addition) {
    const std::string stage =
        fmt::format("{}{}", word(addition.stage), addition.mash ? fmt::to_string(*addition.mash) : "");
    return addition.minutes ? fmt::format("{},{}", stage, shortest(addition.minutes->value())) : stage;
}

std::optional<Stage> usual_stage(ItemKind kind) {
    switch (kind) {
    case ItemKind::malt:
    case ItemKind::salt:
        return Stage::mash;
    case ItemKind::sugar:
    case ItemKind::other:
        return Stage::kettle;
    case ItemKind::yeast:
        return Stage::fermenter;
    case ItemKind::hop:
        return std::nullopt;
    }
    return std::nullopt;
}

// As it is typed: 200g.
std::string typed(Amount amount) {
    std::string text = to_text(amount);
    std::erase(text, ' ');
    return text;
}

[[noreturn]] void refuse_ambiguous(const std::vector<Addition>& planned, const Weighing& note) {
    std::string spellings;
    for (const Addition& addition : planned)
        if (fits(addition, note))
            spellings += fmt::format("{}{}={}@{}", spellings.empty() ? "" : " or ", note.lot, typed(note.amount),
                                     place(addition));
    throw Error(ErrorKind::refused, fmt::format("{} is planned for more than one place", note.lot),
                "say which: " + spellings);
}

Addition added(const Weighing& note) {
    const auto stage = note.stage ? note.stage : usual_stage(note.kind);
    if (!stage)
        throw Error(ErrorKind::refused, fmt::format("where did the hop {} go in?", note.lot),
                    fmt::format("say it: {0}={1}@dry, or such as {0}={1}@boil,60 for 60 minutes of boil, or @stand,20",
                                note.lot, typed(note.amount)));
    if (*stage == Stage::boil && note.kind == ItemKind::hop && !note.minutes)
        throw Error(ErrorKind::refused, fmt::format("how long was {} boiled?", note.lot),
                    fmt::format("add the minutes, such as {}={}@boil,60", note.lot, typed(note.amount)));
    Addition addition;
    addition.lot = note.lot;
    addition.stage = *stage;
    addition.amount = note.amount;
    addition.minutes = note.minutes;
    addition.mash = note.mash;
    addition.instead_of = note.instead_of;
    return addition;
}

// What is weighed of a lot for one place is one weight, in how many parts or lines it may be reserved.
void add_up(std::vector<Addition>& additions, const Addition& addition) {
    const auto is_there = [&](const Addition& other) {
        return other.lot == addition.lot && other.stage == addition.stage && other.minutes == addition.minutes &&
               other.instead_of == addition.instead_of;
    };
    const auto same = std::ranges::find_if(additions, is_there);
    if (same == additions.end())
        additions.push_back(addition);
    else
        same->amount = same->amount + addition.amount;
}

} // namespace

std::vector<Addition> planned_additions(const PlannedBrew& planned) {
    std::vector<Addition> additions;
    for (const PlannedLine& line : planned.lines)
        for (const TakenLot& taken : line.allotment.taken) {
            Addition addition;
            addition.lot = taken.lot;
            addition.stage = line.stage;
            addition.amount = taken.amount;
            addition.minutes = line.minutes;
            const auto other = planned.stand_ins.find(taken.lot);
            if (other != planned.stand_ins.end() && other->second != line.item) addition.instead_of = line.item;
            add_up(additions, addition);
        }
    return additions;
}

WeighedIn weigh_in(const std::vector<Addition>& planned, const std::vector<Weighing>& notes) {
    std::vector<Amount> weighed;
    for (const Addition& addition : planned) weighed.push_back(addition.amount);
    WeighedIn out;
    std::vector<Addition> more;
    for (const Weighing& note : notes) {
        const auto count = std::ranges::count_if(planned, [&](const Addition& a) { return fits(a, note); });
        if (count > 1) refuse_ambiguous(planned, note);
        if (count == 0 && note.planned_only)
            throw Error(
                ErrorKind::refused, fmt::format("{} is not planned there", note.lot),
                fmt::format("if it went in besides: --add {}", shell_word(note.lot + "=" + typed(note.amount))));
        if (count == 0) {
            more.push_back(added(note));
            continue;
        }
        const auto at = std::ranges::find_if(planned, [&](const Addition& a) { return fits(a, note); });
        auto& here = weighed[static_cast<std::size_t>(at - planned.begin())];
        here = note.planned_only ? note.amount : here + note.amount;
    }
    for (std::size_t i = 0; i < planned.size(); ++i) {
        if (weighed[i] != planned[i].amount) out.differences.push_back({planned[i], weighed[i]});
        if (weighed[i].units == 0) continue;
        out.additions.push_back(planned[i]);
        out.additions.back().amount = weighed[i];
    }
    std::ranges::move(more, std::back_inserter(out.additions));
    return out;
}

} // namespace lotwort
