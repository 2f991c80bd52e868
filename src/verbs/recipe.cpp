// recipe: add from options or a file, change, list, show, scale.
#include "doubts.hpp"
#include "recipe/items.hpp"
#include "recipe/lines.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/recipe_forecast.hpp>
#include <lotwort/exchange/toml_file.hpp>
#include <lotwort/report/recipe.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ACTION", "add, change, show, scale or list", true},
    {"NAME", "of the recipe, or the file to add", true},
    {"VOLUME", "what it is for, or is to be scaled to: 30L", true},
};

constexpr std::array<Option, 4> own_options{{
    {"drop", "ITEM", "a line to take out; of several, such as \"late hop@boil,10\"", true},
    {"whole", "", "with change: the lines given are all of it, and any other is taken out"},
    {"forecast", "", "with add, change and show: what it should come to, from what is in stock"},
    {"brewhouse", "NAME", "to scale or forecast for; the only one unless given"},
}};
constexpr auto options = joined(line_options, own_options);

enum class Action { add, change, show, scale, list };
constexpr std::array<std::string_view, 5> action_words{"add", "change", "show", "scale", "list"};

Action parse_action(const Call& call) {
    const std::string typed = call.args.text("ACTION").value_or("list");
    const auto found = std::ranges::find(action_words, typed);
    if (found == action_words.end())
        throw Error(
            ErrorKind::usage, fmt::format("`{}` is not something to do with a recipe", typed),
            "write: lotwort recipe add FILE.toml, add NAME 23L --gravity 1.048 --malt MALT=100%, change NAME, show "
            "NAME, scale NAME 30L or list");
    return static_cast<Action>(found - action_words.begin());
}

// A recipe that could never be planned is refused when it is added: it is tried on a typical brewhouse of its size.
void try_out(const Recipe& recipe, const Items& items) {
    if (recipe.grist.empty())
        throw Error(
            ErrorKind::refused, fmt::format("recipe `{}` has no grist", recipe.name),
            "add a malt: --malt \"pale ale malt=4.5kg\"; in a file: grist = [{item = \"pale ale malt\", mass_kg = "
            "4.5}]");
    PlanRequest trial;
    trial.recipe = recipe;
    trial.volume = recipe.volume;
    trial.brewhouse.name = "trial";
    trial.brewhouse.volume = recipe.volume;
    const auto add = [&](const auto& lines) {
        for (const auto& line : lines) trial.items.push_back(items.named(line.item));
    };
    add(recipe.grist);
    add(recipe.hops);
    add(recipe.others);
    (void)draw_up_plan(trial);
}

// Recipes as they are to be kept, and where they come from.
struct Added {
    std::vector<Recipe> recipes;
    std::vector<std::string> yeasts; // items that are yeast, whatever their names say
    std::string details;             // for the entry, of one that is changed
};

std::optional<report::RecipeForecasts> forecasts_asked(Call& call, const Book& book, const std::vector<Recipe>& recipes,
                                                       const std::vector<Item>& made) {
    if (!call.args.has("forecast")) return std::nullopt;
    const auto brewhouse = call.args.text("brewhouse");
    report::RecipeForecasts forecasts;
    for (const Recipe& recipe : recipes) {
        const RecipeForecast of = recipe_forecast(call.desk(), book, recipe, recipe.volume, brewhouse, made);
        forecasts.push_back({recipe.name, of.brewhouse, of.planned.forecast});
    }
    return forecasts;
}

template <class Do>
void for_each_item(Recipe& recipe, Do&& act) {
    for (auto& line : recipe.grist) act(line.item);
    for (auto& line : recipe.hops) act(line.item);
    for (auto& line : recipe.others) act(line.item);
}

// Books what the ledger does not hold yet. `source` for the refusal where that is nothing.
Answer book_recipes(Call& call, const Book& book, Added from, const std::string& source) {
    report::AddedRecipes added;
    added.recipes = std::move(from.recipes);
    Items items(call, book);
    Book part;
    for (auto& recipe : added.recipes) {
        for_each_item(recipe, [&](std::string& name) { take_item_of_lot(call, book, name); });
        settle_items(recipe, from.yeasts, items);
        doubt_recipe(call, recipe);
        try_out(recipe, items);
        const auto before = std::ranges::find(book.recipes, recipe.name, &Recipe::name);
        if (before == book.recipes.end() || *before != recipe) part.recipes.push_back(recipe);
    }
    if (part.recipes.empty())
        throw Error(ErrorKind::refused, fmt::format("{} holds nothing that the ledger does not hold already", source),
                    "change the file, or go on: lotwort recipe");
    added.remarks = std::move(items).remarks();
    part.items = added.made = std::move(items).made();
    added.forecasts = forecasts_asked(call, book, added.recipes, added.made).value_or(report::RecipeForecasts{});
    std::string what;
    for (const auto& recipe : part.recipes) {
        const bool is_new = std::ranges::find(book.recipes, recipe.name, &Recipe::name) == book.recipes.end();
        what += fmt::format("{}{} recipe {}", what.empty() ? "" : "; ", is_new ? "added" : "changed", recipe.name);
    }
    const auto entry = call.book(part, EntryKind::recipe, what + from.details);
    added.booked = {entry, call.dry_run(),
                    fmt::format("lotwort plan {} --on DATE", shell_word(part.recipes.front().name))};
    return {call.json() ? report::recipe_added_json(added) : report::recipe_added_text(added)};
}

bool has_lines(const Call& call) {
    return std::ranges::any_of(line_options, [&](const Option& option) { return call.args.has(option.name); });
}

Answer add_typed(Call& call, const Book& book) {
    call.goes("this adds a recipe", "lotwort recipe change NAME takes lines out, lotwort recipe scale NAME 30L scales");
    Recipe recipe;
    recipe.name = parse_name(call.args.required("NAME"), "recipe");
    if (std::ranges::find(book.recipes, recipe.name, &Recipe::name) != book.recipes.end())
        throw Error(ErrorKind::refused, fmt::format("there is a recipe `{}` already", recipe.name),
                    fmt::format("lotwort recipe change {} alters a line of it", shell_word(recipe.name)));
    recipe.volume =
        parse_volume(needed(call, "VOLUME", fmt::format("lotwort recipe add {} 23L ...", shell_word(recipe.name))),
                     range_of<Recipe>("volume_l"));
    Added added;
    added.yeasts = lay_lines(call, book, recipe).yeasts;
    demand_rules(recipe);
    added.recipes = {std::move(recipe)};
    return book_recipes(call, book, std::move(added), "the command");
}

Answer add_file(Call& call, const Book& book) {
    call.goes("the file says all of it", "lotwort recipe scale NAME 30L shows a recipe at another volume");
    const std::string path = needed(call, "NAME",
                                    "lotwort recipe add NAME 23L --gravity 1.048 --malt MALT=100%, or "
                                    "lotwort recipe add FILE.toml");
    Added added;
    added.recipes = read_mended("add it again", [&] { return read_recipe_toml(read_file(call, path), path); });
    return book_recipes(call, book, std::move(added), path);
}

Answer add(Call& call) {
    const Book book = call.ledger().definitions();
    const auto name = call.args.text("NAME");
    const bool is_typed = name && !name->ends_with(".toml") && (call.args.has("VOLUME") || has_lines(call));
    return is_typed ? add_typed(call, book) : add_file(call, book);
}

Answer shown(const Call& call, const std::vector<Recipe>& recipes, const report::RecipeForecasts& forecasts) {
    if (call.json()) return {report::recipe_list_json(recipes, forecasts)};
    std::string text;
    for (const Recipe& recipe : recipes) text += report::recipe_text(recipe);
    return {text + report::recipe_forecasts_text(forecasts)};
}

Answer change(Call& call) {
    const Book book = call.ledger().definitions();
    call.goes("this changes a recipe", "another volume is the plan's: lotwort plan NAME --volume 30L");
    Recipe recipe = known_recipe(book, needed(call, "NAME", "lotwort recipe change NAME --malt \"crystal malt=8%\""));
    const Recipe before = recipe;
    if (call.args.has("whole") && !call.args.has("malt"))
        throw Error(ErrorKind::usage, "--whole: no malt is given, and the lines given are all of it",
                    "give every line, or leave --whole out and give those that change");
    LaidOver laid = change_lines(call, book, recipe);
    if (recipe == before && call.args.has("forecast") && call.dry_run()) {
        const auto forecasts = forecasts_asked(call, book, {recipe}, {}).value_or(report::RecipeForecasts{});
        return shown(call, {recipe}, forecasts);
    }
    if (recipe == before) refuse_no_change(call, before.name, "say what, such as --malt \"crystal malt=8%\"");
    demand_rules(recipe);
    Added added;
    added.yeasts = std::move(laid.yeasts);
    for (const std::string& what : laid.said) added.details += (added.details.empty() ? ": " : "; ") + what;
    added.recipes = {std::move(recipe)};
    return book_recipes(call, book, std::move(added), "the command");
}

// What lacks of each item, in all its lines.
std::vector<report::ScaledRecipe::Lack> lacking_of(const PlannedBrew& scaled) {
    std::vector<report::ScaledRecipe::Lack> lacks;
    for (const PlannedLine& line : scaled.lines) {
        const Amount missing = line.allotment.missing;
        if (missing.units == 0) continue;
        const auto known = std::ranges::find_if(
            lacks, [&](const auto& lack) { return lack.item == line.item && lack.missing.measure == missing.measure; });
        if (known == lacks.end())
            lacks.push_back({line.item, missing});
        else
            known->missing = known->missing + missing;
    }
    return lacks;
}

Answer scale(Call& call, const Book& book) {
    const std::string write =
        fmt::format("lotwort recipe scale {} VOLUME", shell_word(call.args.text("NAME").value_or("NAME")));
    const Recipe recipe = known_recipe(book, needed(call, "NAME", write));
    const Litres volume = parse_volume(needed(call, "VOLUME", write), range_of<Recipe>("volume_l"));
    RecipeForecast of = recipe_forecast(call.desk(), book, recipe, volume, call.args.text("brewhouse"));
    report::ScaledRecipe scaled{recipe, of.brewhouse, std::move(of.planned), {}};
    scaled.lacking = lacking_of(scaled.scaled);
    return {call.json() ? report::recipe_scaled_json(scaled) : report::recipe_scaled_text(scaled)};
}

Answer run(Call& call) {
    const Action action = parse_action(call);
    if (action == Action::add) return add(call);
    if (action == Action::change) return change(call);
    call.only_reads();
    const Book book = call.ledger().definitions();
    if (action == Action::scale) return scale(call, book);
    if (action == Action::show) {
        call.goes("the recipe is shown as it is kept", "lotwort recipe scale NAME 30L scales it");
        const Recipe recipe = known_recipe(book, needed(call, "NAME", "lotwort recipe show NAME"));
        if (call.csv()) return {report::recipe_list_csv({recipe})};
        const auto forecasts = forecasts_asked(call, book, {recipe}, {}).value_or(report::RecipeForecasts{});
        return shown(call, {recipe}, forecasts);
    }
    call.goes("every recipe is listed", "lotwort recipe show NAME shows one, lotwort recipe scale NAME 30L scales it");
    if (call.json()) return {report::recipe_list_json(book.recipes)};
    if (call.csv()) return {report::recipe_list_csv(book.recipes)};
    return {report::recipe_list_text(book.recipes)};
}

} // namespace

constinit const Command recipe_command{
    .name = "recipe",
    .group = Group::set_up,
    .summary = "recipes: add, change, list, show, scale",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .doubts = true,
    .run = run,
};

} // namespace lotwort::verbs
