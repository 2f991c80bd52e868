// Recipes: made and altered in a form, with what it comes to beside it.
#include "pages.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/recipe_forecast.hpp>
#include <lotwort/report/recipe.hpp>

namespace lotwort::serve {

namespace {

constexpr std::size_t malts_in_sight = 3, hops_in_sight = 2, others_in_sight = 0, folded_away = 3;

struct Row { // of a recipe, as its fields show it
    std::string item, amount, stage, when, heat;
};

// Shares after others gave way have many digits: enough of them to sum to 100.
std::string digits(double value) {
    return shortest(std::round(value * 1e4) / 1e4);
}

std::string amount_of(const Amount amount) {
    return to_text(amount);
}

Row row_of(const GristLine& line) {
    return {line.item, line.share ? digits(line.share->value()) + "%" : amount_of(Amount::of(*line.mass)), {}, {}, {}};
}

Row row_of(const HopLine& line) {
    Row row{line.item, {}, std::string(word(line.stage)), {}, {}};
    row.amount = line.bitterness ? digits(line.bitterness->value()) + "IBU" : amount_of(Amount::of(*line.mass));
    if (line.minutes) row.when = digits(line.minutes->value());
    if (line.days) row.when = std::to_string(*line.days);
    if (line.temperature) row.heat = digits(line.temperature->value());
    return row;
}

Row row_of(const OtherLine& line) {
    Row row{line.item, {}, std::string(word(line.stage)), {}, {}};
    if (line.mass) row.amount = amount_of(Amount::of(*line.mass));
    if (line.volume) row.amount = amount_of(Amount::of(*line.volume));
    if (line.count) row.amount = to_text(Amount::pieces(*line.count));
    if (line.minutes) row.when = digits(line.minutes->value());
    return row;
}

// Those of the recipe, and empty ones: one in sight, more folded away.
struct Rows {
    std::vector<Row> rows;
    std::size_t in_sight = 0;
};

template <class Lines>
Rows rows_of(const Lines& lines, std::size_t least) {
    Rows all;
    for (const auto& line : lines) all.rows.push_back(row_of(line));
    all.in_sight = std::max(least, lines.empty() ? 0 : lines.size() + 1);
    all.rows.resize(all.in_sight + folded_away);
    return all;
}

// `draw` is told the row and its number.
template <class Draw>
void draw_rows(Form& form, const Rows& all, std::string_view more, Draw&& draw) {
    for (std::size_t i = 0; i < all.rows.size(); ++i) {
        if (i == all.in_sight) form.fold_begins(more);
        form.row_begins();
        draw(all.rows[i], i);
        form.row_ends();
    }
    form.fold_ends();
}

void malts(Form& form, const Rows& rows) {
    form.group_begins("Malts and what else is mashed");
    draw_rows(form, rows, "More malts", [&](const Row& row, std::size_t i) {
        const auto name = [&](std::string_view part) { return fmt::format(".m{}.{}", i, part); };
        form.compose("malt", fmt::format("{{{}}}={{{}|%}}", name("item"), name("amount")));
        form.field({.name = name("item"), .label = "Malt", .value = row.item, .list = "items"});
        form.field({.name = name("amount"),
                    .label = "Share or mass",
                    .value = row.amount,
                    .ghost = "92%, 4.5kg",
                    .short_text = true});
    });
    form.group_ends();
}

void hops(Form& form, const Rows& rows) {
    form.group_begins("Hops");
    draw_rows(form, rows, "More hops", [&](const Row& row, std::size_t i) {
        const auto name = [&](std::string_view part) { return fmt::format(".h{}.{}", i, part); };
        form.compose("hop", fmt::format("{{{}}}={{{}|g}}@{{{}}}[,{{{}}}][,{{{}|C}}]", name("item"), name("amount"),
                                        name("stage"), name("when"), name("heat")));
        form.field({.name = name("item"), .label = "Hop", .value = row.item, .list = "items"});
        form.field({.name = name("amount"),
                    .label = "How much",
                    .value = row.amount,
                    .ghost = "30g, 25IBU",
                    .short_text = true});
        form.choice({.name = name("stage"), .label = "When", .value = row.stage, .short_text = true},
                    {"boil", "stand", "dry"});
        form.field({.name = name("when"), .label = "min; days dry", .value = row.when, .number = true});
        form.field({.name = name("heat"), .label = "stand at", .value = row.heat, .unit = "°C", .number = true});
    });
    form.group_ends();
}

void others(Form& form, const std::vector<Row>& yeasts, const Rows& rows) {
    form.group_begins("Yeast, and anything else");
    for (std::size_t i = 0; i < yeasts.size(); ++i) {
        const auto name = [&](std::string_view part) { return fmt::format(".y{}.{}", i, part); };
        form.compose("yeast", fmt::format("{{{}}}[={{{}|g}}]", name("item"), name("amount")));
        form.row_begins();
        form.field({.name = name("item"), .label = "Yeast", .value = yeasts[i].item, .list = "items"});
        form.field({.name = name("amount"),
                    .label = "How much",
                    .value = yeasts[i].amount,
                    .ghost = "by its cells",
                    .short_text = true});
        form.row_ends();
    }
    draw_rows(form, rows, "Sugar, salt, finings", [&](const Row& row, std::size_t i) {
        const auto name = [&](std::string_view part) { return fmt::format(".o{}.{}", i, part); };
        form.compose("other", fmt::format("{{{}}}={{{}|g}}@{{{}}}[,{{{}}}]", name("item"), name("amount"),
                                          name("stage"), name("when")));
        form.field({.name = name("item"), .label = "Sugar, salt, finings", .value = row.item, .list = "items"});
        form.field(
            {.name = name("amount"), .label = "How much", .value = row.amount, .ghost = "5g", .short_text = true});
        form.choice({.name = name("stage"), .label = "When", .value = row.stage, .short_text = true},
                    {"kettle", "mash", "boil", "fermenter"});
        form.field({.name = name("when"), .label = "min of boil", .value = row.when, .number = true});
    });
    form.group_ends();
}

void figures(Form& form, const Recipe* recipe, const Book& book) {
    const auto text = [](const auto& value) { return value ? digits(value->value()) : std::string(); };
    form.row_begins();
    if (recipe == nullptr) {
        form.field({.name = "NAME", .label = "Name", .required = true});
        form.compose("VOLUME", "{.volume|L}");
        form.field(
            {.name = ".volume", .label = "Volume", .ghost = "23", .unit = "L", .number = true, .required = true});
    }
    form.field(
        {.name = "gravity",
         .label = "Gravity to reach",
         .value = recipe != nullptr && recipe->original_gravity ? fixed(recipe->original_gravity->value(), 4) : "",
         .ghost = "1.048 or 12P",
         .short_text = true});
    form.compose("boil", "{.boil|min}");
    form.field({.name = ".boil",
                .label = "Boil",
                .value = recipe != nullptr ? text(recipe->boil) : "",
                .ghost = "60",
                .unit = "min",
                .number = true});
    form.compose("mash-rest", "{.mash|C}");
    form.field({.name = ".mash",
                .label = "Mash rest",
                .value = recipe != nullptr ? text(recipe->mash_rest) : "",
                .ghost = "66",
                .unit = "°C",
                .number = true});
    form.compose("attenuation", "{.attenuation|%}");
    form.field({.name = ".attenuation",
                .label = "Attenuation",
                .value = recipe != nullptr ? text(recipe->attenuation) : "",
                .ghost = "by the yeast",
                .unit = "%",
                .number = true});
    if (book.brewhouses.size() > 1) {
        std::vector<std::string> names;
        for (const Brewhouse& house : book.brewhouses) names.push_back(house.name);
        form.choice({.name = "brewhouse", .label = "Forecast on", .short_text = true}, names);
    }
    form.row_ends();
}

std::string figure(std::string_view what, std::string_view name, const Forecast* f, Estimate Forecast::*of,
                   int decimals, std::string_view unit) {
    const std::string value = f == nullptr ? "–" : with_sd((f->*of).value, (f->*of).sd, unit, decimals);
    return html::element("div",
                         html::of_text("dt", what) +
                             html::of_text("dd", value,
                                           fmt::format("data-figure=\"{}\" data-decimals=\"{}\" data-unit=\"{}\"", name,
                                                       decimals, unit)));
}

std::string forecast_card(const RecipeForecast* of, const std::string& fault) {
    const Forecast* f = of == nullptr ? nullptr : &of->planned.forecast;
    const std::string figures = figure("Gravity", "original_gravity_sg", f, &Forecast::original_gravity_sg, 4, "") +
                                figure("Final", "final_gravity_sg", f, &Forecast::final_gravity_sg, 4, "") +
                                figure("Alcohol", "alcohol_abv_pct", f, &Forecast::alcohol_abv_pct, 2, "%") +
                                figure("Bitterness", "bitterness_ibu", f, &Forecast::bitterness_ibu, 0, "IBU") +
                                figure("Colour", "colour_ebc", f, &Forecast::colour_ebc, 1, "EBC") +
                                figure("Volume", "volume_l", f, &Forecast::volume_l, 1, "L");
    const std::string said = !fault.empty() ? fault : of == nullptr ? "" : "on " + of->brewhouse;
    return html::element("section",
                         html::of_text("h3", "Forecast") + html::element("dl", figures) +
                             html::of_text("p", said, "id=\"forecast-said\" role=\"status\" class=\"expected\""),
                         "class=\"card\" id=\"forecast\"");
}

std::string item_list(const Book& book) {
    std::string options;
    for (const Item& item : book.items)
        options += fmt::format("<option value=\"{}\"></option>", html::escaped(item.name));
    return html::element("datalist", options, "id=\"items\"");
}

std::vector<OtherLine> yeasts_of(const Recipe& recipe, const Book& book, bool is_yeast) {
    std::vector<OtherLine> lines;
    for (const OtherLine& line : recipe.others) {
        const Item* item = find_item(book, line.item);
        if ((item != nullptr && item->kind == ItemKind::yeast) == is_yeast) lines.push_back(line);
    }
    return lines;
}

std::string form_of(const Book& book, const Visit& visit, const Recipe* recipe) {
    Form form(visit, "recipe", "recipe");
    form.hidden("ACTION", recipe == nullptr ? "add" : "change");
    form.hidden("forecast!", "");
    form.forecasts();
    form.tries_as("Look at the forecast");
    if (recipe != nullptr) {
        form.hidden("NAME", recipe->name);
        form.hidden("whole!", "");
    }
    const Recipe none;
    const Recipe& of = recipe == nullptr ? none : *recipe;
    figures(form, recipe, book);
    malts(form, rows_of(of.grist, malts_in_sight));
    hops(form, rows_of(of.hops, hops_in_sight));
    const auto yeasts = yeasts_of(of, book, true);
    std::vector<Row> yeast_rows;
    for (const OtherLine& yeast : yeasts) yeast_rows.push_back(row_of(yeast));
    if (yeast_rows.empty()) yeast_rows.emplace_back();
    others(form, yeast_rows, rows_of(yeasts_of(of, book, false), others_in_sight));
    return item_list(book) + form.html(recipe == nullptr ? "Keep the recipe" : "Keep it so", true);
}

std::string beside(const std::string& form, const std::string& forecast) {
    return html::element("div", html::element("div", form) + html::element("div", forecast), "class=\"two wide-left\"");
}

} // namespace

Page recipes_page(const Desk& desk, const Visit& visit) {
    std::string items;
    for (const Recipe& recipe : desk.ledger.definitions().recipes) {
        std::string said = fmt::format("{}: {} L", recipe.name, readable(recipe.volume.value()));
        if (recipe.original_gravity) said += fmt::format(" of {}", fixed(recipe.original_gravity->value(), 4));
        items += html::element("li",
                               html::of_text("span", said) + link("/recipes/" + in_address(recipe.name),
                                                                  visit.read_only ? "Look" : "Look, alter", "go"),
                               "class=\"fine\"");
    }
    if (items.empty()) items = html::of_text("li", "No recipe is kept yet.");
    return {"Recipes", "",
            html::element("ul", items, "class=\"todo\"") +
                (visit.read_only ? "" : html::element("p", link("/new-recipe", "A new one", "go")))};
}

Page recipe_page(const Desk& desk, const Visit& visit, const std::string& name) {
    const Book book = desk.ledger.definitions();
    const Recipe& recipe = known_recipe(book, name);
    std::optional<RecipeForecast> of;
    std::string fault;
    try {
        const auto house = book.brewhouses.empty() ? std::nullopt : std::optional(book.brewhouses.front().name);
        of = recipe_forecast(desk, book, recipe, recipe.volume, house);
    } catch (const Error& unforecast) {
        fault = unforecast.what();
    }
    const std::string forecast = forecast_card(of ? &*of : nullptr, fault);
    const std::string shown = visit.read_only ? html::of_text("pre", report::recipe_text(recipe), "class=\"table\"")
                                              : form_of(book, visit, &recipe);
    return {recipe.name, fmt::format("for {} L", readable(recipe.volume.value())),
            beside(shown, forecast) +
                html::element("p", link("/recipes", "All recipes", "go") + " " + link("/plans", "Plan a brew", "go"))};
}

Page new_recipe_page(const Desk& desk, const Visit& visit) {
    return {"A new recipe", "a malt by its share of the grist, or by its mass",
            beside(form_of(desk.ledger.definitions(), visit, nullptr), forecast_card(nullptr, "")) +
                html::element("p", link("/recipes", "All recipes", "go"))};
}

} // namespace lotwort::serve
