// tank: what each tank holds, and till when; filled, moved, emptied and cleaned.
#include "shared.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/board.hpp>
#include <lotwort/report/tank.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ACTION", "add, fill, empty, clean, use, change or list", true},
    {"TANK", "its name: FV1", true},
    {"WHAT", "add: what it takes, 20hL; fill: the brew, B12; use: what for, \"repair\"", true},
};

constexpr Option options[] = {
    {"bright", "", "add: a bright tank, which no brew is run into"},
    {"volume", "VOLUME", "change: what it takes"},
    {"till", "DATE", "fill, use, change: the day it is free again"},
};

struct Change {
    std::vector<Tank> tanks;
    std::string what;
};

Litres parse_tank_volume(const std::string& text) {
    return parse_volume(text, range_of<Tank>("volume_l"));
}

const std::string& word_for(const Call& call, std::string_view positional, std::string_view write) {
    return needed(call, positional, fmt::format("lotwort tank {}", write));
}
const std::string& word_for(const Call&&, std::string_view, std::string_view) = delete;

TankState state_of(Call& call, const Book& book, std::string_view write) {
    const Tank& tank = known_tank(book, word_for(call, "TANK", write));
    for (TankState& state : board_of(call.desk()).tanks())
        if (state.tank.name == tank.name) return state;
    LOTWORT_CHECK(false);
}

Change added(Call& call, const Book& book) {
    Tank tank;
    tank.name = parse_name(word_for(call, "TANK", "add FV1 20hL"), "tank");
    const std::string& volume = word_for(call, "WHAT", fmt::format("add {} 20hL", shell_word(tank.name)));
    if (const Tank* known = find_tank(book, tank.name))
        throw Error(ErrorKind::refused, fmt::format("there is a tank {} already", known->name),
                    fmt::format("lotwort tank change {} --volume {}", shell_word(known->name), shell_word(volume)));
    tank.volume = parse_tank_volume(volume);
    if (call.args.has("bright")) tank.kind = TankKind::bright;
    return {{tank}, fmt::format("added tank {}", tank.name)};
}

void parse_till(Call& call, Tank& tank) {
    const auto till = call.date("till", Looks::ahead);
    if (!till) return;
    if (tank.since && *till < *tank.since)
        throw Error(ErrorKind::refused,
                    fmt::format("{} would be free on {}, before {}", tank.name, to_iso(*till), to_iso(*tank.since)),
                    "look at --till and --on");
    tank.till = till;
}

// Beer of a brew, and of all that share its fermenter; the tank it came from is empty then.
Change filled(Call& call, const Book& book) {
    const TankState state = state_of(call, book, "fill FV1 B12");
    const std::string& code = word_for(call, "WHAT", fmt::format("fill {} B12", shell_word(state.tank.name)));
    const auto brew = call.ledger().brew(code);
    if (!brew) {
        std::vector<std::string> codes;
        for (const Brew& known : call.ledger().brews()) codes.push_back(known.code);
        refuse_unknown("brew", code, codes, "lotwort brew");
    }
    if (call.on() < brew->date)
        throw Error(ErrorKind::refused,
                    fmt::format("{} was brewed on {}, after {}", brew->code, to_iso(brew->date), to_iso(call.on())),
                    "look at --on, or at the brew");
    Change change{run_into(state, brew->fermented_with.value_or(brew->code), call.on(), book),
                  fmt::format("filled {} with {}", state.tank.name, brew->code)};
    if (change.tanks.size() > 1)
        change.what = fmt::format("moved {} from {} to {}", brew->code, change.tanks.back().name, state.tank.name);
    parse_till(call, change.tanks.front());
    return change;
}

void demand_free(const TankState& state, std::string_view to_do) {
    if (!state.is_in_use) return;
    throw Error(ErrorKind::refused,
                fmt::format("{} is in use by {}, and is not {}", state.tank.name, state.uses.front().by, to_do),
                fmt::format("once it is empty: lotwort tank empty {}", shell_word(state.tank.name)));
}

Change emptied(Call& call, const Book& book) {
    const TankState state = state_of(call, book, "empty FV1");
    if (!state.is_in_use)
        throw Error(ErrorKind::refused, fmt::format("{} is empty", state.tank.name), "lotwort tank lists them");
    if (state.tank.since && call.on() < *state.tank.since)
        throw Error(
            ErrorKind::refused,
            fmt::format("{} was filled on {}, after {}", state.tank.name, to_iso(*state.tank.since), to_iso(call.on())),
            "look at --on");
    return {{emptied(state.tank, call.on())}, fmt::format("emptied {} of {}", state.tank.name, state.uses.front().by)};
}

Change cleaned(Call& call, const Book& book) {
    const TankState state = state_of(call, book, "clean FV1");
    demand_free(state, "cleaned");
    if (state.emptied && call.on() < *state.emptied)
        throw Error(
            ErrorKind::refused,
            fmt::format("{} was emptied on {}, after {}", state.tank.name, to_iso(*state.emptied), to_iso(call.on())),
            "look at --on");
    Tank tank = state.emptied ? emptied(state.tank, *state.emptied) : state.tank;
    tank.cleaned = call.on();
    if (tank == state.tank)
        refuse_no_change(call, tank.name, fmt::format("it was cleaned on {} already", to_iso(call.on())));
    return {{tank}, fmt::format("cleaned {}", tank.name)};
}

Change used(Call& call, const Book& book) {
    const TankState state = state_of(call, book, "use FV1 \"repair\"");
    demand_free(state, "free for something else");
    Tank tank = emptied(state.tank, call.on());
    tank.used_for = parse_name(
        word_for(call, "WHAT", fmt::format("use {} \"repair\", and what it is in use for", shell_word(tank.name))),
        "use");
    parse_till(call, tank);
    return {{tank}, fmt::format("{} is in use: {}", tank.name, *tank.used_for)};
}

Change changed(Call& call, const Book& book) {
    const TankState state = state_of(call, book, "change FV1 --till DATE");
    Tank tank = state.tank;
    if (const auto volume = read_option(call, "volume", parse_tank_volume)) tank.volume = *volume;
    if (call.args.has("till") && !state.is_in_use)
        throw Error(ErrorKind::refused, fmt::format("{} is empty, and free already", tank.name),
                    fmt::format("say what is in it: lotwort tank fill {} B12", shell_word(tank.name)));
    parse_till(call, tank);
    if (tank == state.tank) refuse_no_change(call, tank.name, "say what: --volume or --till");
    return {{tank}, fmt::format("changed tank {}", tank.name)};
}

struct Action {
    std::string_view word;
    Change (*change)(Call&, const Book&);
};
constexpr Action actions[] = {{"add", added},     {"fill", filled}, {"empty", emptied},
                              {"clean", cleaned}, {"use", used},    {"change", changed}};

Answer shown(const Call& call, const std::vector<TankState>& tanks, const report::Booked* booked, bool csv) {
    if (call.json()) return {report::tank_json(tanks, booked)};
    return {csv ? report::tank_csv(tanks) : report::tank_text(tanks, booked)};
}

Answer listed(Call& call) {
    call.only_reads();
    call.goes("tanks are listed", "lotwort tank add FV1 20hL keeps one, lotwort tank fill FV1 B12 fills it");
    return shown(call, board_of(call.desk()).tanks(), nullptr, call.csv());
}

Answer run(Call& call) {
    const std::string typed = call.args.text("ACTION").value_or("list");
    if (typed == "list") return listed(call);
    const auto action = std::ranges::find(actions, typed, &Action::word);
    if (action == std::end(actions))
        throw Error(
            ErrorKind::usage, fmt::format("`{}` is not something to do with a tank", typed),
            "write: lotwort tank add FV1 20hL, fill FV1 B12, empty, clean or change FV1, use FV1 WHAT, or list");
    call.goes(fmt::format("it is not for tank {}", typed), "lotwort tank --help says what goes with it");
    const bool csv = call.csv();
    const Change change = action->change(call, call.ledger().definitions());
    Book part;
    part.tanks = change.tanks;
    const Board after = board_of(call.desk(), part);
    const auto entry = call.book(part, EntryKind::tank, change.what);
    const report::Booked booked{entry, call.dry_run(), "lotwort tank"};
    std::vector<TankState> tanks = after.tanks();
    std::erase_if(tanks, [&](const TankState& state) {
        return std::ranges::find(part.tanks, state.tank.name, &Tank::name) == part.tanks.end();
    });
    return shown(call, tanks, &booked, csv);
}

} // namespace

constinit const Command tank_command{
    .name = "tank",
    .group = Group::brew,
    .summary = "what each tank holds and till when; fill, move, empty, clean",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .back_dates = true,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
