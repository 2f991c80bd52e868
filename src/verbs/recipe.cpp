// recipe: add from a file, list, show, scale.
#include "new_name.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/exchange/toml_file.hpp>
#include <lotwort/report/recipe.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ACTION", "add, show, scale or list", true},
    {"NAME", "of the recipe, or the file to add", true},
    {"VOLUME", "to scale to: 30L", true},
};

constexpr Option options[] = {
    {"brewhouse", "NAME", "to scale for; the only one unless given"},
};

enum class Action { add, show, scale, list };
constexpr std::array<std::string_view, 4> action_words{"add", "show", "scale", "list"};

Action parse_action(const Call& call) {
    const std::string typed = call.args.text("ACTION").value_or("list");
    const auto found = std::ranges::find(action_words, typed);
    if (found == action_words.end())
        throw Error(ErrorKind::usage, fmt::format("`{}` is not something to do with a recipe", typed),
                    "write: lotwort recipe add FILE.toml, show NAME, scale NAME 30L or list");
    return static_cast<Action>(found - action_words.begin());
}

// Makes sure that each item named is known, under its known spelling; what is not is made from its name.
class Items {
public:
    Items(const Call& call, const Book& book) : call_(call), book_(book) {}
    void settle(std::string& name, std::optional<ItemKind> where_only);
    [[nodiscard]] std::vector<Item> made() && { return std::move(made_); }
    [[nodiscard]] std::vector<std::string> remarks() && { return std::move(remarks_); }
    [[nodiscard]] const Item& named(const std::string& name) const {
        const auto found = std::ranges::find(made_, name, &Item::name);
        return found != made_.end() ? *found : known_item(book_, name);
    }

private:
    [[nodiscard]] const Item* there(std::string_view name) const;
    [[nodiscard]] std::vector<std::string> names(std::optional<ItemKind> of_kind) const;

    const Call& call_;
    const Book& book_;
    std::vector<Item> made_;
    std::vector<std::string> remarks_; // of names that may be another item's
};

const Item* Items::there(std::string_view name) const {
    if (const Item* known = find_item(book_, name)) return known;
    const auto made = std::ranges::find(made_, name, &Item::name);
    return made == made_.end() ? nullptr : &*made;
}

std::vector<std::string> Items::names(std::optional<ItemKind> of_kind) const {
    std::vector<std::string> names;
    for (const auto* items : {&book_.items, &made_})
        for (const Item& item : *items)
            if (!of_kind || item.kind == *of_kind) names.push_back(item.name);
    return names;
}

// where_only: what an item of that place in the recipe must be, whatever its name says (a hop among the hops).
void Items::settle(std::string& name, std::optional<ItemKind> where_only) {
    if (there(name) == nullptr) {
        const NewName named = new_name(call_, name, names(where_only));
        if (auto remark = near_remark(named); !remark.empty()) remarks_.push_back(std::move(remark));
        name = named.name;
    }
    if (const Item* known = there(name)) {
        name = known->name;
        return;
    }
    Item item = item_of_name(name);
    const bool said = name.find("malt") != std::string::npos;
    if (where_only && item.kind != *where_only) {
        item.kind = *where_only;
        item.malt_class.reset();
    } else if (!where_only && item.kind == ItemKind::malt && !said) {
        // outside the grist, a name that says nothing is not a malt
        item.kind = ItemKind::other;
        item.malt_class.reset();
    }
    made_.push_back(std::move(item));
}

void settle_items(Recipe& recipe, Items& items) {
    for (auto& line : recipe.grist) {
        const bool sugar = item_of_name(line.item).kind == ItemKind::sugar;
        items.settle(line.item, sugar ? ItemKind::sugar : ItemKind::malt);
    }
    for (auto& line : recipe.hops) items.settle(line.item, ItemKind::hop);
    for (auto& line : recipe.others) items.settle(line.item, std::nullopt);
}

// A recipe that could never be planned is refused when it is added: it is tried on a typical brewhouse of its size.
void try_out(const Recipe& recipe, const Items& items) {
    if (recipe.grist.empty())
        throw Error(ErrorKind::refused, fmt::format("recipe `{}` has no grist", recipe.name),
                    "add a malt: grist = [{item = \"pale ale malt\", mass_kg = 4.5}]");
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

Answer add(Call& call) {
    const Book book = call.ledger().definitions();
    const std::string path = needed(call, "NAME", "lotwort recipe add FILE.toml");
    report::AddedRecipes added;
    added.recipes = read_mended("add it again", [&] { return read_recipe_toml(read_file(path), path); });
    Items items(call, book);
    Book part;
    for (auto& recipe : added.recipes) {
        settle_items(recipe, items);
        try_out(recipe, items);
        const auto before = std::ranges::find(book.recipes, recipe.name, &Recipe::name);
        if (before == book.recipes.end() || *before != recipe) part.recipes.push_back(recipe);
    }
    if (part.recipes.empty())
        throw Error(ErrorKind::refused, fmt::format("{} holds nothing that the ledger does not hold already", path),
                    "change the file, or go on: lotwort recipe");
    added.remarks = std::move(items).remarks();
    part.items = added.made = std::move(items).made();
    std::string what;
    for (const auto& recipe : part.recipes) {
        const bool is_new = std::ranges::find(book.recipes, recipe.name, &Recipe::name) == book.recipes.end();
        what += fmt::format("{}{} recipe {}", what.empty() ? "" : "; ", is_new ? "added" : "changed", recipe.name);
    }
    const auto entry = call.book(part, EntryKind::recipe, what);
    added.booked = {entry, call.dry_run(),
                    fmt::format("lotwort plan {} --on DATE", shell_word(part.recipes.front().name))};
    return {call.json() ? report::recipe_added_json(added) : report::recipe_added_text(added)};
}

// What the lines need of each item beyond what is free of it on the day.
std::vector<report::ScaledRecipe::Lack> lacking_of(const PlannedBrew& scaled, std::vector<LotState> lots, Date day) {
    std::vector<report::ScaledRecipe::Lack> lacks;
    for (const PlannedLine& line : scaled.lines) {
        const Allotment given = reserve(lots, line.item, line.needed, day);
        promise(lots, given.taken);
        if (given.missing.units == 0) continue;
        const auto known = std::ranges::find_if(lacks, [&](const auto& lack) {
            return lack.item == line.item && lack.missing.measure == given.missing.measure;
        });
        if (known == lacks.end())
            lacks.push_back({line.item, given.missing});
        else
            known->missing = known->missing + given.missing;
    }
    return lacks;
}

Answer scale(Call& call, const Book& book) {
    const std::string write =
        fmt::format("lotwort recipe scale {} VOLUME", shell_word(call.args.text("NAME").value_or("NAME")));
    PlanRequest request;
    request.recipe = known_recipe(book, needed(call, "NAME", write));
    request.volume = parse_volume(needed(call, "VOLUME", write), range_of<Recipe>("volume_l"));
    request.items = book.items;
    request.date = call.surroundings.today;
    if (book.brewhouses.empty() && !call.args.has("brewhouse")) {
        request.brewhouse.name = "a typical brewhouse of that size";
        request.brewhouse.volume = request.volume;
    } else {
        request.brewhouse = chosen_brewhouse(book, call.args.text("brewhouse"));
    }
    report::ScaledRecipe scaled{request.recipe, request.brewhouse.name, draw_up_plan(request), {}};
    scaled.lacking = lacking_of(scaled.scaled, call.ledger().lots(), request.date);
    return {call.json() ? report::recipe_scaled_json(scaled) : report::recipe_scaled_text(scaled)};
}

Answer run(Call& call) {
    const Action action = parse_action(call);
    if (action == Action::add) {
        call.goes("the file says all of it", "lotwort recipe scale NAME 30L shows a recipe at another volume");
        return add(call);
    }
    call.only_reads();
    const Book book = call.ledger().definitions();
    if (action == Action::scale) return scale(call, book);
    call.goes(action == Action::show ? "the recipe is shown as it is kept" : "every recipe is listed",
              "lotwort recipe show NAME shows one, lotwort recipe scale NAME 30L scales it");
    std::vector<Recipe> recipes = book.recipes;
    if (action == Action::show) recipes = {known_recipe(book, needed(call, "NAME", "lotwort recipe show NAME"))};
    if (call.json()) return {report::recipe_list_json(recipes)};
    if (call.csv()) return {report::recipe_list_csv(recipes)};
    return {action == Action::show ? report::recipe_text(recipes.front()) : report::recipe_list_text(recipes)};
}

} // namespace

constinit const Command recipe_command{
    .name = "recipe",
    .group = Group::set_up,
    .summary = "recipes: add from a file, list, show, scale",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
