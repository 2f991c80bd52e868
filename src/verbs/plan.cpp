// plan: put a brew on a date.
#include "brew/pins.hpp"
#include "doubts.hpp"
#include "plan/places.hpp"
#include "shared.hpp"
#include "table.hpp"
#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <lotwort/brew/recipe_gravity.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/core/typed.hpp>
#include <lotwort/desk/board.hpp>
#include <lotwort/desk/calendar.hpp>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/report/plan.hpp>

namespace lotwort::verbs {

namespace {

constexpr SpecificGravity typical_gravity(1.048);

constexpr Positional positionals[] = {
    {"RECIPE", "to brew; or the code of an open plan, to see it again", true},
};

constexpr Option options[] = {
    {"on", "DATE", "the day to brew (YYYY-MM-DD); today unless given"},
    {"volume", "VOLUME", "into the fermenter; the recipe's unless given"},
    {"brewhouse", "NAME", "to brew on; the only one unless given"},
    {"pin", "LOT[=AMOUNT]", "take of this lot before others, so much of it where it is said; 0kg: none of it", true},
    {"into", "TANK", "the tank that it is to be run into; of an open plan: another one, or none"},
    {"till", "DATE", "with --into: the day that tank is free again; by the recipe's days unless given"},
    {"yeast-from", "CODE", "pitch the crop of this plan or brew; of an open plan: of another one, or none"},
    {"aim", "", "choose masses and liquor by what past brews taught, to meet the recipe's gravity and the volume"},
    {"within", "GRAVITY", "what counts as on the recipe's gravity: 0.002 either way unless given; or 0.5P"},
    {"move", "DATE", "put an open plan on another day, its lots chosen anew"},
    {"full", "", "the forecast with the intervals that nine brews in ten lie in"},
    {"cancel", "REASON", "call an open plan off; what it reserved is free again"},
    {"month", "MONTH", "what is to come in a month, as a calendar: 2026-10; this one unless said", false, this_month},
    {"calendar", "FILE", "write all that is to come as a calendar file (iCalendar)"},
    {"force", "", "replace the file if it exists"},
};

void demand_to_come(Date day, Date today, const std::string& recipe) {
    if (day >= today) return;
    throw Error(ErrorKind::refused, fmt::format("{} has passed", to_iso(day)),
                fmt::format("today is {}; what was brewed then is booked by lotwort brew --recipe {} --on {}",
                            to_iso(today), shell_word(recipe), to_iso(day)));
}

// A difference of specific gravity, or of degrees Plato at the recipe's own.
double parse_within(const std::string& text, const Recipe& recipe) {
    constexpr double most = 0.05;
    double value = 0.0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    bool is_number = fault == std::errc{} && end == text.data() + text.size();
    if (!is_number && fault == std::errc{} && value > 0.0) {
        const Typed typed = parse_typed(text);
        if (const auto* plato = std::get_if<Plato>(&typed.value); plato != nullptr && !typed.sd && !typed.at) {
            value =
                gravity_difference(std::min(*plato, Plato(20.0)), recipe.original_gravity.value_or(typical_gravity));
            is_number = true;
        }
    }
    if (!is_number || !(value > 0.0) || value > most)
        throw Error(
            ErrorKind::refused, "`" + text + "` is not a difference of gravity",
            "up to 0.05 is taken; write it as specific gravity, such as 0.002, or in degrees Plato, such as 0.5P");
    return value;
}

void take_aim(const Call& call, PlanRequest& request) {
    request.aim = call.args.has("aim");
    if (request.aim && !request.recipe.original_gravity)
        throw Error(ErrorKind::refused,
                    fmt::format("recipe `{}` states no original gravity to aim at", request.recipe.name),
                    "give the recipe original_gravity_sg, or leave --aim out");
}

// Weighed for the recipe's gravity, a plan keeps its masses, as one that follows a substitution does: drawn up anew by
// the recipe's own, whatever is booked next would put the malt back that was left out.
void keep_aim(const PlanRequest& request, PlannedBrew& planned) {
    if (!request.aim) return;
    planned.plan.adopted = aimed_plan;
    for (const PlannedLine& line : planned.lines)
        if (line.is_short()) planned.plan.awaited.push_back({line.line, line.allotment.missing});
}

PlanRequest parse(Call& call, const Book& book, Plan& places) {
    PlanWish wish;
    wish.recipe = call.args.required("RECIPE");
    wish.date = call.date("on", Looks::ahead).value_or(call.surroundings.today);
    demand_to_come(wish.date, call.surroundings.today, wish.recipe);
    wish.brewhouse = call.args.text("brewhouse");
    wish.volume = read_option(call, "volume",
                              [](const std::string& text) { return parse_volume(text, range_of<Plan>("volume_l")); });
    wish.code = next_code("P", plan_codes(call.ledger().plans()));
    std::vector<LotState> lots = lots_to_plan(call.ledger(), call.surroundings.today);
    wish.pins = parse_pins(call, lots);
    PlanRequest request = plan_request(wish, book, std::move(lots));
    doubt_volume(call, request.volume, request.brewhouse);
    places.code = wish.code;
    places.date = wish.date;
    parse_places(call, book, places);
    request.crop_lots = crop_lots(places, request.lots);
    request.learned = learned_for(call.desk(), book, request.brewhouse.name);
    take_aim(call, request);
    request.within_sg = read_option(call, "within", [&](const std::string& text) {
                            return parse_within(text, request.recipe);
                        }).value_or(request.within_sg);
    return request;
}

// Nothing stands in for a yeast that lacks: it is bought.
std::string next_command(const PlannedBrew& planned) {
    const auto stands_nothing_in = [](const PlannedLine& line) {
        return line.kind == ItemKind::yeast || !line.is_short();
    };
    if (planned.is_short() && std::ranges::all_of(planned.lines, stands_nothing_in)) return "lotwort buy";
    return (planned.is_short() ? "lotwort substitute " : "lotwort brew ") + shell_word(planned.plan.code);
}

Answer month(Call& call, const std::string& typed) {
    call.goes("a month of what is to come is shown");
    const Date first = read_option(call, "month", [&](const std::string&) {
                           return first_of_month(typed, call.surroundings.today);
                       }).value();
    const auto events = in_month(calendar_of(call.desk()), first);
    if (call.csv()) return {report::events_csv(events)};
    return {call.json() ? report::events_json(events)
                        : report::month_text(events, board_of(call.desk()).tanks(), first)};
}

Answer calendar(Call& call, const std::string& file) {
    call.goes("a calendar file is written");
    const auto events = calendar_of(call.desk());
    const bool json = call.json();
    write_file(call, file, report::calendar_file(events, call.surroundings.today));
    return {json ? report::events_json(events)
                 : fmt::format("wrote {}, with {}\n", shell_word(file), counted(std::ssize(events), "event"))};
}

Answer list(Call& call, const Book& book) {
    if (const auto typed = call.args.text("month")) return month(call, *typed);
    if (const auto file = call.args.text("calendar")) return calendar(call, *file);
    call.goes("the open plans are listed", "name what is to be brewed: lotwort plan RECIPE --on DATE");
    std::vector<Plan> plans = book.plans;
    std::ranges::stable_sort(plans, {}, &Plan::date);
    report::PlanList shown{std::move(plans), {}, {}};
    const Board board = board_of(call.desk());
    for (const Plan& plan : shown.plans) shown.placed.push_back(placed(board, plan));
    if (call.csv()) return {report::plan_list_csv(shown)};
    shown.lacks = lacks_of(book, call.ledger().lots(), call.surroundings.today);
    return {call.json() ? report::plan_list_json(shown) : report::plan_list_text(shown)};
}

// Asked before anything is booked.
bool wants_full(Call& call) {
    if (!call.json()) return call.args.has("full");
    call.goes("every figure is told", "--full is for people");
    return false;
}

Answer told(const Call& call, const report::DrawnPlan& drawn, bool full) {
    return {call.json() ? report::plan_json(drawn) : report::plan_text(drawn, full)};
}

Answer show(Call& call, const Plan& plan, const Book& book) {
    demand_today(call.desk());
    call.only_reads();
    call.goes(
        fmt::format("{} is planned already, and is shown", plan.code),
        fmt::format("lotwort plan {} --move DATE puts it on another day, --cancel REASON calls it off", plan.code));
    const auto learned = plan.brewhouse ? learned_for(call.desk(), book, *plan.brewhouse) : std::nullopt;
    const report::DrawnPlan drawn{as_it_stands(plan, book, call.ledger().lots(), learned), nullptr,
                                  placed(board_of(call.desk()), plan)};
    return told(call, drawn, !call.json() && call.args.has("full"));
}

// What it lacks it takes of plans for later days (brew/plan_lacks.hpp).
void serve_before_later(Call& call, PlannedBrew& planned, const Book& with_it, const std::vector<LotState>& lots) {
    if (!planned.is_short()) return;
    const auto all = lotwort::reserved_anew(with_it, lots);
    const Plan& made = *std::ranges::find(all, planned.plan.code, &Plan::code);
    if (made.reserved == planned.plan.reserved) return;
    planned = plan_as_made(made, with_it, lots, learned_for(call.desk(), with_it, brewhouse_of(made, with_it).name));
}

Answer booked(Call& call, PlannedBrew planned, Book book, const std::string& what) {
    const bool full = wants_full(call);
    const bool is_now = !is_past(call.ledger(), call.surroundings.today);
    std::vector<LotState> lots = call.ledger().lots();
    if (const Plan* before = find_plan(book, planned.plan.code)) lots = without_promises(*before, std::move(lots));
    for (const Reservation& made : planned.plan.reserved) promise(lots, {{made.lot, made.amount}});
    Book part;
    part.plans.push_back(planned.plan);
    book = once_booked(std::move(book), part);
    if (is_now) serve_before_later(call, planned, book, lots);
    part.plans = {planned.plan};
    book = once_booked(std::move(book), part);
    if (is_now) settle_shortages(planned, book, lots);
    const Board before = board_of(call.desk()), board = board_of(call.desk(), part);
    const auto entry = call.book(part, EntryKind::plan, what);
    const report::Booked booked{entry, call.dry_run(), next_command(planned)};
    const report::DrawnPlan drawn{planned, &booked, placed(board, planned.plan, Board::Of::all),
                                  newly_in_trouble(before, board, planned.plan)};
    return told(call, drawn, full);
}

[[noreturn]] void refuse_same(const Plan& plan, Date day) {
    throw Error(ErrorKind::refused,
                fmt::format("{} is on {} already, and would reserve what it does", plan.code, to_iso(day)),
                "name another day");
}

// A substitution has its own measure: drawn up anew, it would be forgotten. What has come since is reserved.
Answer reserved_anew(Call& call, const Plan& plan, Book book) {
    const std::vector<LotState> lots = call.ledger().lots();
    const auto all = lotwort::reserved_anew(book, lots);
    const Plan made = *std::ranges::find(all, plan.code, &Plan::code);
    if (made.reserved == plan.reserved) refuse_same(plan, plan.date);
    *std::ranges::find(book.plans, plan.code, &Plan::code) = made;
    const auto learned = learned_for(call.desk(), book, brewhouse_of(plan, book).name);
    return booked(call, plan_as_made(made, book, lots, learned), book,
                  fmt::format("reserved anew for {} of {}", plan.code, to_iso(plan.date)));
}

// Another tank, or another day for it: its lots stay.
Answer put_into(Call& call, const Plan& plan, const Plan& made, Book book) {
    *std::ranges::find(book.plans, plan.code, &Plan::code) = made;
    const auto learned = learned_for(call.desk(), book, brewhouse_of(plan, book).name);
    const std::string what = made.tank ? fmt::format("put {} into {}", plan.code, *made.tank)
                                       : fmt::format("put {} into no tank", plan.code);
    return booked(call, plan_as_made(made, book, call.ledger().lots(), learned), book, what);
}

// Its own pins hold where no others are typed.
std::vector<Pin> pins_of(const Call& call, const Plan& plan, const std::vector<LotState>& lots) {
    std::vector<Pin> pins = parse_pins(call, lots);
    if (!pins.empty()) return pins;
    for (const Reservation& reservation : plan.reserved)
        if (reservation.pinned && std::ranges::find(pins, reservation.lot, &Pin::lot) == pins.end())
            pins.push_back({reservation.lot, std::nullopt});
    return pins;
}

// Drawn up anew for its new day, with what it had reserved to choose from again.
Answer moved(Call& call, const Plan& plan, const Book& book, Date to) {
    demand_to_come(to, call.surroundings.today, plan.recipe);
    call.goes("a plan that is moved keeps its recipe and volume",
              fmt::format("for another brew call it off, and plan anew: lotwort plan {} --cancel REASON",
                          shell_word(plan.code)));
    const auto brewhouse = call.args.text("brewhouse");
    Plan places = plan;
    places.date = to;
    keep_places(places, plan);
    parse_places(call, book, places);
    const bool same_lots =
        to == plan.date && !brewhouse && !call.args.has("pin") && !call.args.has("yeast-from") && !call.args.has("aim");
    if (same_lots && places != plan) return put_into(call, plan, places, book);
    if (same_lots && changes_place(call)) refuse_no_change(call, plan.code, "name another tank, or another day for it");
    if (plan.adopted && plan.adopted != aimed_plan && call.args.has("aim"))
        throw Error(ErrorKind::refused, fmt::format("{} follows a substitution, which --aim would forget", plan.code),
                    fmt::format("leave --aim out, or call {} off and plan anew", plan.code));
    if (plan.adopted && to == plan.date && !brewhouse && !call.args.has("pin") && !call.args.has("aim"))
        return reserved_anew(call, plan, book);
    std::vector<LotState> lots = without_promises(plan, call.ledger().lots());
    const PlanWish wish{
        plan.code, to, plan.recipe, brewhouse ? brewhouse : plan.brewhouse, plan.volume, pins_of(call, plan, lots)};
    PlanRequest request = plan_request(wish, book, std::move(lots));
    request.crop_lots = crop_lots(places, request.lots);
    request.learned = learned_for(call.desk(), book, request.brewhouse.name);
    take_aim(call, request);
    request.aim = request.aim || plan.adopted == aimed_plan;
    request.near_enough = true;
    PlannedBrew planned = draw_up_plan(request);
    keep_aim(request, planned);
    keep_places(planned.plan, places);
    if (places == plan && planned.plan.reserved == plan.reserved && planned.plan.brewhouse == plan.brewhouse)
        refuse_same(plan, to);
    if (to == plan.date)
        return booked(call, planned, book, fmt::format("reserved anew for {} of {}", plan.code, to_iso(to)));
    return booked(call, planned, book, fmt::format("moved {} from {} to {}", plan.code, to_iso(plan.date), to_iso(to)));
}

Answer called_off(Call& call, Plan plan, const std::string& reason) {
    call.goes("a plan that is called off needs no more");
    plan.cancelled = parse_name(reason, "reason");
    plan.reserved.clear();
    Book part;
    part.plans.push_back(plan);
    const auto entry = call.book(part, EntryKind::plan, fmt::format("called {} off: {}", plan.code, *plan.cancelled));
    const report::Booked booked{entry, call.dry_run(), "lotwort plan"};
    return {call.json() ? report::booked_json(booked) : report::booked_line(booked)};
}

// --move and --cancel are about a plan that is open.
Answer changed(Call& call, const std::string& code, const Book& book) {
    demand_today(call.desk());
    if (call.args.has("move") && call.args.has("cancel"))
        throw Error(ErrorKind::usage, "a plan is moved or called off, not both", "write one of them");
    const Plan* plan = find_plan(book, code);
    if (plan == nullptr) {
        refuse_unknown("open plan", code, plan_codes(book.plans), "lotwort plan");
    }
    if (const auto to = call.date("move", Looks::ahead)) return moved(call, *plan, book, *to);
    if (changes_place(call) || call.args.has("aim")) return moved(call, *plan, book, plan->date);
    return called_off(call, *plan, *call.args.text("cancel"));
}

Answer run(Call& call) {
    const auto name = call.args.text("RECIPE");
    if (!name) {
        for (const char* option : {"move", "cancel"})
            if (call.args.has(option))
                throw Error(ErrorKind::usage, fmt::format("--{} needs the code of an open plan", option),
                            fmt::format("write lotwort plan CODE --{} {}; lotwort plan lists them", option,
                                        shell_word(*call.args.text(option))));
        call.only_reads();
        demand_today(call.desk());
        return list(call, call.ledger().definitions());
    }
    for (const char* option : {"month", "calendar"})
        if (call.args.has(option))
            throw Error(ErrorKind::usage, fmt::format("--{} is of all that is to come, and takes no recipe", option),
                        fmt::format("leave out {}", shell_word(*name)));
    const Book book = call.ledger().definitions();
    const bool is_open_plan = find_plan(book, *name) != nullptr;
    if (call.args.has("move") || call.args.has("cancel") ||
        (is_open_plan && (changes_place(call) || call.args.has("aim"))))
        return changed(call, *name, book);
    const bool is_recipe = std::ranges::find(book.recipes, *name, &Recipe::name) != book.recipes.end();
    if (const Plan* plan = find_plan(book, *name); plan != nullptr && !is_recipe) {
        if (call.args.has("pin"))
            throw Error(ErrorKind::usage,
                        fmt::format("{} is planned already, and --pin chooses lots while a plan is made", *name),
                        fmt::format("reserve anew: lotwort plan {} --move {} --pin LOT", shell_word(*name),
                                    to_iso(plan->date)));
        return show(call, *plan, book);
    }

    Plan places;
    PlanRequest request = parse(call, book, places);
    request.near_enough = true; // as everybody else says what lacks
    PlannedBrew planned = draw_up_plan(request);
    keep_aim(request, planned);
    keep_places(planned.plan, places);
    return booked(
        call, planned, book,
        fmt::format("planned {}: {} on {}", planned.plan.code, planned.plan.recipe, to_iso(planned.plan.date)));
}

} // namespace

constinit const Command plan_command{
    .name = "plan",
    .group = Group::brew,
    .summary = "put a brew on a date: reserve lots, forecast, show shortages",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .doubts = true,
    .run = run,
};

} // namespace lotwort::verbs
