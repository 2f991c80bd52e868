// plan: put a brew on a date.
#include "brew_plan.hpp"
#include "verbs.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/report/plan.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"RECIPE", "to brew; or the code of an open plan, to see it again", true},
};

constexpr Option options[] = {
    {"on", "DATE", "the day to brew (YYYY-MM-DD); today unless given"},
    {"volume", "VOLUME", "into the fermenter; the recipe's unless given"},
    {"brewhouse", "NAME", "to brew on; the only one unless given"},
};

PlanRequest parse(Call& call, const Book& book) {
    PlanWish wish;
    wish.recipe = call.args.required("RECIPE");
    wish.date = call.date("on").value_or(call.surroundings.today);
    wish.brewhouse = call.args.text("brewhouse");
    wish.volume = read_option(call, "volume",
                              [](const std::string& text) { return parse_volume(text, range_of<Plan>("volume_l")); });
    wish.code = next_code("P", plan_codes(book, call.ledger().brews()));
    return plan_request(wish, book, call.ledger().lots());
}

bool is_verb(std::string_view name) {
    return std::ranges::any_of(commands(), [&](const Command* command) { return command->name == name; });
}

std::string next_command(const PlannedBrew& planned) {
    if (!planned.is_short()) return "lotwort brew " + planned.plan.code;
    if (is_verb("substitute")) return "lotwort substitute " + planned.plan.code;
    return "lotwort stock";
}

Answer list(const Call& call, std::vector<Plan> plans) {
    std::ranges::stable_sort(plans, {}, &Plan::date);
    if (call.json()) return {report::plan_list_json(plans)};
    return {call.csv() ? report::plan_list_csv(plans) : report::plan_list_text(plans)};
}

Answer show(Call& call, const Plan& plan, const Book& book) {
    const report::DrawnPlan drawn{open_plan(plan, book, call.ledger().lots()), nullptr};
    return {call.json() ? report::plan_json(drawn) : report::plan_text(drawn)};
}

Answer run(Call& call) {
    const auto name = call.args.text("RECIPE");
    if (!name) {
        call.only_reads();
        return list(call, call.ledger().definitions().plans);
    }
    const Book book = call.ledger().definitions();
    const bool is_recipe = std::ranges::find(book.recipes, *name, &Recipe::name) != book.recipes.end();
    if (const Plan* plan = find_plan(book, *name); plan != nullptr && !is_recipe) return show(call, *plan, book);

    const PlannedBrew planned = draw_up_plan(parse(call, book));
    Book part;
    part.plans.push_back(planned.plan);
    const auto entry = call.book(
        part, EntryKind::plan,
        fmt::format("planned {}: {} on {}", planned.plan.code, planned.plan.recipe, to_iso(planned.plan.date)));
    const report::Booked booked{entry, call.dry_run(), next_command(planned)};
    const report::DrawnPlan drawn{planned, &booked};
    return {call.json() ? report::plan_json(drawn) : report::plan_text(drawn)};
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
    .run = run,
};

} // namespace lotwort::cli
