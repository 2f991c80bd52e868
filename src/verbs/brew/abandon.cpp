#include "abandon.hpp"
#include "lots_in_brew.hpp"
#include "stock/lot_day.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/shell_word.hpp>
#include <map>

namespace lotwort::verbs {

namespace {

// What --used says is gone, by lot.
std::map<std::string, Amount> parse_used(const Call& call, const std::vector<LotState>& lots, const Brew& brew) {
    std::map<std::string, Amount> used;
    const auto portion = [&](const std::string& text) {
        const auto equals = text.find('=');
        if (equals == std::string::npos || equals == 0)
            throw Error(ErrorKind::refused, fmt::format("`{}` does not say how much of which lot", text),
                        "write LOT=AMOUNT: PAM-1=4.36kg");
        const Lot& lot = lot_in_brew(brew, lots, text.substr(0, equals));
        return std::pair(lot.code, parse_amount_of(lot, text.substr(equals + 1)));
    };
    for (const auto& [lot, amount] : read_each(call, "used", portion))
        if (!used.emplace(lot, amount).second)
            throw Error(ErrorKind::refused, fmt::format("--used names {} twice", lot), "add the two up");
    return used;
}

// What was weighed of each lot, less what is said to be gone.
std::vector<Unused> what_comes_back(const Call& call, const std::vector<LotState>& lots, const Brew& brew) {
    std::vector<Unused> back;
    for (const auto& addition : brew.additions) {
        const auto known = std::ranges::find(back, addition.lot, &Unused::lot);
        if (known == back.end())
            back.push_back({addition.lot, addition.amount, call.on()});
        else
            known->amount = known->amount + addition.amount;
    }
    for (const auto& [lot, used] : parse_used(call, lots, brew)) {
        const auto known = std::ranges::find(back, lot, &Unused::lot);
        if (known->amount < used)
            throw Error(ErrorKind::refused,
                        fmt::format("only {} of {} went into {}", to_text(known->amount), lot, brew.code),
                        fmt::format("lotwort brew {} shows what did", shell_word(brew.code)));
        known->amount = known->amount - used;
    }
    std::erase_if(back, [](const Unused& unused) { return unused.amount.units == 0; });
    return back;
}

} // namespace

BrewChange abandon_brew(Call& call, const std::vector<LotState>& lots, const Brew& brew) {
    if (brew.abandoned)
        throw Error(ErrorKind::refused, fmt::format("{} was given up already: {}", brew.code, *brew.abandoned),
                    fmt::format("lotwort history --brew {} shows the entry", shell_word(brew.code)));
    if (call.on() < brew.date)
        throw Error(ErrorKind::refused,
                    fmt::format("{} was begun on {}, after {}", brew.code, to_iso(brew.date), to_iso(call.on())),
                    "look at the day");
    if (!brew.readings.empty() && !brew.additions.empty() && !call.args.has("used")) {
        std::string gone; // typed as it stands: nothing comes back
        for (const auto& addition : brew.additions) {
            std::string amount = to_text(addition.amount);
            std::erase(amount, ' ');
            gone += " --used " + shell_word(addition.lot + "=" + amount);
        }
        throw Error(
            ErrorKind::refused,
            fmt::format("{} has readings: what was weighed went into it, and nothing is said to be gone", brew.code),
            "say what is gone:" + gone);
    }
    Brew end = brew;
    end.additions.clear();
    end.readings.clear();
    end.abandoned = parse_name(*call.args.text("abandon"), "reason");
    end.unused = what_comes_back(call, lots, brew);
    BrewChange out;
    out.whole = brew;
    out.whole.abandoned = end.abandoned;
    out.whole.unused = end.unused;
    out.what = fmt::format("gave up {}: {}", brew.code, *end.abandoned);
    out.part.brews.push_back(std::move(end));
    return out;
}

} // namespace lotwort::verbs
