// brew: the brew day.
#include "brew/abandon.hpp"
#include "brew/correct_weights.hpp"
#include "brew/meant_for.hpp"
#include "brew/pins.hpp"
#include "brew/run_into.hpp"
#include "brew/stand_ins.hpp"
#include "brew/weighing.hpp"
#include "doubts.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/brew_cost.hpp>
#include <lotwort/desk/brew_list.hpp>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/desk/reconcile_input.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/report/brew_list.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"CODE", "of the plan that is brewed, or of a brew to look at or add to", true},
};

constexpr Option options[] = {
    {"recipe", "NAME", "brewed without a plan: as its plan would be, or with what --add says"},
    {"brewhouse", "NAME", "brewed on; the plan's, or the only one unless given"},
    {"volume", "VOLUME", "without a plan: into the fermenter; the recipe's unless given"},
    {"pin", "LOT[=AMOUNT]", "with --recipe: take of this lot before others, so much of it where it is said", true},
    {"weighed", "LOT=AMOUNT", "what was weighed of a planned lot, where it is not the plan's weight", true},
    {"add", "LOT=AMOUNT", "what went in besides: LOT=AMOUNT@STAGE,MINUTES", true},
    {"correct", "LOT=AMOUNT", "what was weighed of a lot in truth, where it was booked wrong", true},
    {"into", "TANK", "the tank it was run into, else its plan's; or a brew in whose fermenter it joined"},
    {"boil", "MINUTES", "how long it boiled: 60min; the recipe's unless given"},
    {"as-reserved", "", "brew with what the plan reserves, though it asks for more"},
    {"abandon", "REASON", "give up a brew that was begun: what was weighed and not used goes back into stock"},
    {"used", "LOT=AMOUNT", "with --abandon: what of a lot is gone; nothing of it unless said", true},
    {"sheet", "", "print the sheet to work from, and book nothing"},
    {"grain", "TEMPERATURE", "with --sheet: the grain's, for the strike; else as usual in that season"},
    {"full", "", "list all brews, not the last twenty alone"},
};

// Everything a brew day is booked from.
struct Day {
    Book book;
    std::vector<LotState> lots;
    std::vector<Brew> brews;
};

std::map<std::string, std::string> items_by_lot(const std::vector<LotState>& lots) {
    std::map<std::string, std::string> items;
    for (const auto& state : lots) items[state.lot.code] = state.lot.item;
    return items;
}

std::string next_brew_code(const std::vector<Brew>& brews) {
    std::vector<std::string> codes;
    for (const auto& brew : brews) codes.push_back(brew.code);
    return next_code("B", codes);
}

std::optional<Minutes> boil_of(const Call& call, const Recipe& recipe) {
    const auto said = read_option(
        call, "boil", [](const std::string& text) { return parse_minutes(text, range_of<Brew>("boil_minutes")); });
    return said ? said : recipe.boil;
}

report::ShownBrew shown(const Day& day, Brew brew) {
    report::ShownBrew out;
    out.brew = std::move(brew);
    out.items = items_by_lot(day.lots);
    return out;
}

Answer booked(Call& call, report::ShownBrew shown, const Book& part, const std::string& what, const std::string& next) {
    const auto lost = promises_lost(call.desk(), part);
    const auto entry = call.book(part, EntryKind::brew, what);
    const report::Booked as{entry, call.dry_run(), next, lost};
    shown.booked = &as;
    return {call.json() ? report::brew_json(shown) : report::brew_text(shown)};
}

// What it is brewed from, and as what: the request of its plan, and what its recipe asks for now.
struct Meant {
    const PlanRequest& request;
    const PlannedBrew& wanted;
};

// A new brew, from a plan or without one.
Answer brewed(Call& call, const Day& day, const PlannedBrew& planned, const Meant& meant, const Plan* plan,
              const WeighedIn& weighed) {
    Brew brew;
    brew.code = next_brew_code(day.brews);
    brew.date = call.on();
    if (plan != nullptr) brew.plan = plan->code;
    brew.recipe = planned.plan.recipe;
    brew.brewhouse = *planned.plan.brewhouse;
    const Brewed into = run_out(call, brew, plan, day.book, day.brews);
    brew.boil = boil_of(call, known_recipe(day.book, planned.plan.recipe));
    brew.additions = weighed.additions;
    demand_stock(brew.additions, day.lots, brew.date);
    doubt_weights(call, meant.wanted, brew.additions, day.lots);

    report::ShownBrew out = shown(day, brew);
    out.differences = weighed.differences;
    if (std::string said = as_weighed_words(meant.request, meant.wanted, brew.additions); !said.empty())
        out.remarks.push_back(std::move(said));
    std::ranges::move(stock_remarks(brew.additions, day.lots, brew.date), std::back_inserter(out.remarks));
    for (auto& dropped : dropped_remarks(planned, weighed, day.lots, brew.code, brew.date))
        out.remarks.push_back(std::move(dropped));
    if (std::ranges::any_of(brew.additions, [](const Addition& a) { return a.stage == Stage::dry; }))
        out.remarks.emplace_back("dry hops are taken out of stock now, so that no other brew is promised them");
    std::ranges::copy(into.remarks, std::back_inserter(out.remarks));
    Book part;
    part.brews.push_back(brew);
    part.tanks = into.tanks;
    return booked(
        call, std::move(out), part, fmt::format("brewed {}: {}", brew.code, *brew.recipe),
        fmt::format("lotwort measure {} kettle-full VOLUME GRAVITY fermenter VOLUME GRAVITY", shell_word(brew.code)));
}

// What past brews teach, where it is asked for: the sheet's liquor, the masses of a grist given by shares, and what
// comes of other weights.
std::optional<Learned> learned_for_brew(Call& call, const Day& day, const std::string& recipe,
                                        const std::string& brewhouse) {
    const bool is_weighed_otherwise = call.args.has("weighed") || call.args.has("add");
    if (!is_by_shares(known_recipe(day.book, recipe)) && !call.args.has("sheet") && !is_weighed_otherwise)
        return std::nullopt;
    return learned_for(call.desk(), day.book, brewhouse);
}

void goes_to_paper(Call& call) {
    call.only_reads();
    call.goes("the sheet is to work from, and books nothing", "leave it out; it is for the brew that is booked");
}

Answer sheet_of(const Call& call, const Day& day, const PlannedBrew& planned) {
    const Brewhouse& brewhouse = known_brewhouse(day.book, *planned.plan.brewhouse);
    return {report::brew_sheet(planned, sheet_guide(planned, brewhouse, parse_grain(call, planned)))};
}

Answer from_plan(Call& call, const Day& day, const Plan& plan) {
    if (call.args.has("sheet"))
        goes_to_paper(call);
    else
        call.goes(fmt::format("{} says where and how much is brewed", plan.code),
                  "leave it out, or brew without a plan: lotwort brew --recipe NAME");
    const auto learned = learned_for_brew(call, day, plan.recipe, brewhouse_of(plan, day.book).name);
    if (call.args.has("sheet")) return sheet_of(call, day, open_plan(plan, day.book, day.lots, learned));
    const PlannedBrew planned = reserved_plan(plan, day.book, day.lots, learned);
    if (call.args.has("pin"))
        throw Error(ErrorKind::refused,
                    fmt::format("{} has reserved its lots already: --pin comes too late", plan.code),
                    fmt::format("plan it again with --pin, or say what was weighed: lotwort brew {} --weighed LOT=0kg "
                                "--add LOT=AMOUNT",
                                shell_word(plan.code)));
    std::vector<Weighing> notes = parse_weighings(call, day.book, day.lots, planned);
    const PlanWish again{plan.code, plan.date, plan.recipe, plan.brewhouse, plan.volume};
    PlanRequest fresh = plan_request(again, day.book, without_promises(plan, day.lots));
    fresh.learned = learned;
    if (plan.adopted) { // it has its own measure
        const PlannedBrew made = plan_as_made(plan, day.book, day.lots, learned);
        if (!call.args.has("as-reserved")) demand_reserved(planned, made, notes, {}, day.lots, call.on());
        return brewed(call, day, planned, {fresh, planned}, &plan, weigh_in(planned_additions(planned), notes));
    }
    const PlannedBrew wanted = drawn_of_its_lots(plan, fresh);
    const auto stand_ins = mark_stand_ins(planned, wanted, day.book, day.lots, call.on(), notes);
    const WeighedIn weighed = weigh_in(planned_additions(planned), notes);
    if (!call.args.has("as-reserved")) demand_reserved(planned, wanted, notes, stand_ins, day.lots, call.on());
    return brewed(call, day, planned, {fresh, wanted}, &plan, weighed);
}

// Without a plan: what was added is what went in; where nothing is said, what a plan for today would have taken.
Answer from_recipe(Call& call, const Day& day) {
    PlanWish wish;
    wish.recipe = *call.args.text("recipe");
    wish.date = call.on();
    wish.brewhouse = call.args.text("brewhouse");
    wish.volume = read_option(call, "volume",
                              [](const std::string& text) { return parse_volume(text, range_of<Plan>("volume_l")); });
    const bool sheet = call.args.has("sheet");
    if (sheet)
        goes_to_paper(call);
    else if (call.args.has("add"))
        call.goes("what went in is what --add says", "leave it out, or leave --add out");
    else
        call.goes("it is brewed as its plan would be");
    if (sheet || !call.args.has("add")) wish.pins = parse_pins(call, day.lots);
    PlanRequest request = plan_request(wish, day.book, day.lots);
    doubt_volume(call, request.volume, request.brewhouse);
    request.learned = learned_for_brew(call, day, wish.recipe, request.brewhouse.name);
    const PlannedBrew planned = draw_up_plan(request);
    if (sheet) return sheet_of(call, day, planned);
    const auto notes = parse_weighings(call, day.book, day.lots, planned);
    const Meant meant{request, planned};
    if (call.args.has("add")) return brewed(call, day, planned, meant, nullptr, weigh_in({}, notes));
    if (!call.args.has("as-reserved")) demand_reserved(planned, planned, notes, {}, day.lots, call.on());
    return brewed(call, day, planned, meant, nullptr, weigh_in(planned_additions(planned), notes));
}

Answer changed(Call& call, const Day& day, BrewChange change, const std::string& next) {
    return booked(call, shown(day, std::move(change.whole)), change.part, change.what, next);
}

void demand_going_on(const Brew& brew) {
    if (brew.abandoned)
        throw Error(
            ErrorKind::refused, fmt::format("{} was given up: {}", brew.code, *brew.abandoned),
            fmt::format("book a new brew under its own code; if this one went on after all, take back the entry "
                        "that gave it up: lotwort history --brew {} shows it",
                        shell_word(brew.code)));
}

void doubt_changed(Call& call, const Day& day, const Brew& before, const Brew& whole) {
    if (const auto meant = meant_for(call, before, day.book, day.lots))
        doubt_weights(call, meant->brew, whole.additions, day.lots, before.additions);
}

Answer corrected(Call& call, const Day& day, const Brew& brew) {
    call.goes("weights are corrected", "say it with another call, before or after");
    if (call.args.has("on") && call.on() < brew.date)
        throw Error(ErrorKind::refused,
                    fmt::format("{} was brewed on {}: nothing of it was put right on {}", brew.code, to_iso(brew.date),
                                to_iso(call.on())),
                    "--on is the day the correction is booked on; leave it out for today");
    BrewChange change = correct_weights(call, day.book, day.lots, brew);
    doubt_changed(call, day, brew, change.whole);
    return changed(call, day, std::move(change), "lotwort reconcile " + shell_word(brew.code));
}

// More of what went into a brew that is booked already: dry hops, or what was forgotten.
Answer added_to(Call& call, const Day& day, const Brew& brew) {
    if (call.args.has("correct") || call.args.has("add")) demand_going_on(brew);
    if (call.args.has("correct")) return corrected(call, day, brew);
    call.goes(fmt::format("{} is booked already", brew.code),
              fmt::format("add to it: lotwort brew {} --add LOT=AMOUNT; or give it up: --abandon REASON", brew.code));
    if (call.args.has("abandon")) return changed(call, day, abandon_brew(call, day.lots, brew), "lotwort stock --lots");
    if (!call.args.has("add")) {
        for (const char* option : {"weighed", "recipe", "boil", "volume", "sheet", "into", "pin"})
            if (call.args.has(option))
                throw Error(ErrorKind::refused,
                            fmt::format("{} is booked already: --{} comes too late", brew.code, option),
                            fmt::format("add to it: lotwort brew {0} --add LOT=AMOUNT; put a wrong weight right: "
                                        "lotwort brew {0} --correct "
                                        "LOT=AMOUNT",
                                        shell_word(brew.code)));
        call.only_reads();
        auto out = shown(day, brew);
        out.cost = brew_cost(brew, call.ledger());
        out.fermentation = fermentation_of(reconcile_input(brew, day.book, lots_of(call.ledger(), brew, day.book)));
        return {call.json() ? report::brew_json(out) : report::brew_text(out)};
    }
    WeighedIn weighed = weigh_in({}, parse_weighings(call, day.book, day.lots));
    const Date on = call.args.has("on") ? call.on() : std::max(brew.date, call.on());
    demand_stock(weighed.additions, day.lots, on);
    for (auto& addition : weighed.additions)
        if (on != brew.date) addition.on = on;
    Brew more = brew;
    more.additions = weighed.additions;
    more.readings.clear();
    Brew whole = brew;
    whole.additions.insert(whole.additions.end(), more.additions.begin(), more.additions.end());
    Brew hot = whole; // dry hops are often given as the young beer tastes, whatever the recipe asks for
    std::erase_if(hot.additions, [](const Addition& addition) { return addition.stage == Stage::dry; });
    doubt_changed(call, day, brew, hot);
    report::ShownBrew out = shown(day, whole);
    out.remarks = stock_remarks(more.additions, day.lots, on);
    Book part;
    part.brews.push_back(more);
    return booked(call, std::move(out), part,
                  fmt::format("added {} to {}",
                              to_text(more.additions.front().amount) + " of " + more.additions.front().lot, brew.code),
                  "lotwort reconcile " + shell_word(brew.code));
}

Answer list(Call& call) {
    const auto brews = listed_brews(call.ledger());
    const bool whole = call.args.has("full");
    if (call.json()) return {report::brew_list_json(brews)};
    return {call.csv() ? report::brew_list_csv(brews) : report::brew_list_text(brews, whole)};
}

[[noreturn]] void refuse_code(Call& call, const Day& day, const std::string& typed) {
    const auto plans = call.ledger().plans();
    const auto planned = find_name(plan_codes(plans), typed);
    const std::string code = planned ? plans[*planned].code : typed;
    for (const auto& plan : plans)
        if (plan.code == code && plan.cancelled)
            throw Error(ErrorKind::refused, fmt::format("plan {} was called off: {}", code, *plan.cancelled),
                        fmt::format("plan it again: lotwort plan {}", shell_word(plan.recipe)));
    std::vector<std::string> codes;
    for (const auto& brew : day.brews) {
        if (brew.plan == code)
            throw Error(ErrorKind::refused,
                        fmt::format("plan {} was brewed as {} on {}", code, brew.code, to_iso(brew.date)),
                        fmt::format("look at it with lotwort brew {}, or add to it with --add", shell_word(brew.code)));
        codes.push_back(brew.code);
    }
    for (const auto& plan : day.book.plans) codes.push_back(plan.code);
    if (code.size() <= 3) // P9 is no slip for P1
        throw Error(ErrorKind::refused, fmt::format("there is no plan or brew `{}`", code),
                    "lotwort plan lists the open plans; lotwort brew lists the brews");
    refuse_unknown("plan or brew", code, codes, "lotwort plan");
}

Answer run(Call& call) {
    const auto code = call.args.text("CODE");
    if (!code && !call.args.has("recipe")) {
        call.only_reads();
        call.goes("the brews are listed", "lotwort brew CODE brews a plan or shows a brew, lotwort brew --recipe NAME "
                                          "brews without a plan");
        return list(call);
    }
    if (code && call.args.has("recipe"))
        throw Error(ErrorKind::usage, "a plan or brew says its recipe itself",
                    "write either lotwort brew CODE, or lotwort brew --recipe NAME");
    const Day day{call.ledger().definitions(), call.ledger().lots(), call.ledger().brews()};
    if (!code) return from_recipe(call, day);
    for (const char* option : {"abandon", "used"})
        if (call.args.has(option) && find_plan(day.book, *code) != nullptr)
            throw Error(ErrorKind::refused, fmt::format("{} is a plan, no brew has begun", *code),
                        fmt::format("lotwort plan {} --cancel {} calls it off", shell_word(*code),
                                    shell_word(call.args.text("abandon").value_or("REASON"))));
    if (call.args.has("used") && !call.args.has("abandon"))
        throw Error(ErrorKind::usage, "--used says what is gone of a brew that is given up", "add --abandon REASON");
    if (const Plan* plan = find_plan(day.book, *code)) return from_plan(call, day, *plan);
    std::vector<std::string> brews;
    for (const Brew& brew : day.brews) brews.push_back(brew.code);
    const auto brew = find_name(brews, *code);
    if (!brew) refuse_code(call, day, *code);
    return added_to(call, day, day.brews[*brew]);
}

} // namespace

constinit const Command brew_command{
    .name = "brew",
    .group = Group::brew,
    .summary = "brew day: the sheet to work from; deduct what was weighed",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .back_dates = true,
    .has_rows = true,
    .doubts = true,
    .run = run,
};

} // namespace lotwort::verbs
