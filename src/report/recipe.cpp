#include "plan_words.hpp"
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/recipe.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string gravity_text(const std::optional<SpecificGravity>& gravity) {
    return gravity ? fixed(gravity->value(), 4) : "";
}

std::string head_text(const Recipe& recipe) {
    std::string text = fmt::format("{}: {} L", recipe.name, round_litres(recipe.volume.value()));
    if (recipe.original_gravity) text += ", original gravity " + gravity_and_plato(recipe.original_gravity->value());
    text += "\n";
    const auto line = [&](std::string_view what, const std::string& value) {
        text += fmt::format("  {:<18} {}\n", what, value);
    };
    if (recipe.mash_rest)
        line("mash rest",
             fmt::format("{} °C{}", readable(recipe.mash_rest->value()),
                         recipe.mash_rest_time ? fmt::format(" for {} min", readable(recipe.mash_rest_time->value()))
                                               : ""));
    if (recipe.boil) line("boil", fmt::format("{} min", readable(recipe.boil->value())));
    if (recipe.attenuation) line("attenuation", fmt::format("{} % apparent", readable(recipe.attenuation->value())));
    if (recipe.pitch_rate) line("yeast", fmt::format("{} million cells per mL and °P", readable(*recipe.pitch_rate)));
    if (recipe.tank_days) line("tank free after", counted(*recipe.tank_days, "day"));
    if (recipe.harvest_days) line("yeast cropped after", counted(*recipe.harvest_days, "day"));
    if (recipe.efficiency_kettle || recipe.efficiency_fermenter)
        line("written for",
             fmt::format(
                 "{} % of the malt's extract in the {}; masses are scaled to the brewhouse",
                 readable((recipe.efficiency_kettle ? recipe.efficiency_kettle : recipe.efficiency_fermenter)->value()),
                 recipe.efficiency_kettle ? "kettle" : "fermenter"));
    if (recipe.diastatic_floor)
        line("diastatic power", fmt::format("{} WK at least", readable(recipe.diastatic_floor->value())));
    return text;
}

std::string grist_amount(const GristLine& line) {
    if (line.share) return fmt::format("{} %", readable(line.share->value()));
    std::string text = line.mass ? to_be_weighed(Amount::of(*line.mass)) : "";
    if (line.extract) text += fmt::format(" at {} % extract", readable(line.extract->value()));
    if (line.colour) text += fmt::format(" at {} EBC", readable(line.colour->value()));
    return text;
}

std::string hop_amount(const HopLine& line) {
    if (line.bitterness) return fmt::format("for {} IBU", readable(line.bitterness->value()));
    if (!line.mass) return "";
    return to_be_weighed(Amount::of(*line.mass)) +
           (line.alpha ? fmt::format(" at {} % alpha", readable(line.alpha->value())) : "");
}

std::string other_amount(const OtherLine& line) {
    if (line.mass) return to_be_weighed(Amount::of(*line.mass));
    if (line.volume) return to_be_weighed(Amount::of(*line.volume));
    return line.count ? to_text(Amount::pieces(*line.count)) : "by its cells";
}

Table lines_table() {
    return {{{"ITEM", Align::left, true}, {"AMOUNT", Align::right}, {"WHEN"}}, {}};
}

} // namespace

std::string when_text(Stage stage, const std::optional<Minutes>& minutes, const std::optional<Celsius>& temperature,
                      const std::optional<int>& days) {
    std::string text(word(stage));
    if (minutes) text += fmt::format(" {} min", readable(minutes->value()));
    if (temperature) text += fmt::format(" at {} °C", readable(temperature->value()));
    if (days) text += " " + counted(*days, "day");
    return text;
}

std::string made_text(const std::vector<Item>& made) {
    std::string text;
    for (const Item& item : made) {
        const bool has_figures =
            item.kind == ItemKind::malt || item.kind == ItemKind::sugar || item.kind == ItemKind::hop;
        text += wrapped(fmt::format("{} is new: kept as {}{}{}{}", item.name, item.malt_class.value_or(""),
                                    item.malt_class ? " " : "", word(item.kind),
                                    has_figures ? ", with typical values until a lot or you state them" : ""),
                        2);
    }
    return text;
}

std::string recipe_text(const Recipe& recipe) {
    Table table = lines_table();
    for (const auto& line : recipe.grist) table.rows.push_back({line.item, grist_amount(line), "mash"});
    for (const auto& line : recipe.hops)
        table.rows.push_back(
            {line.item, hop_amount(line), when_text(line.stage, line.minutes, line.temperature, line.days)});
    for (const auto& line : recipe.others)
        table.rows.push_back({line.item, other_amount(line), when_text(line.stage, line.minutes, {}, {})});
    return head_text(recipe) + "\n" + table_text(table);
}

std::string recipe_list_text(const std::vector<Recipe>& recipes) {
    if (recipes.empty())
        return "no recipes yet; next: lotwort recipe add first 23L --gravity 1.048 --malt \"pale ale "
               "malt=100%\"\n";
    Table table{{{"RECIPE", Align::left, true},
                 {"VOLUME", Align::right},
                 {"GRAVITY", Align::right},
                 {"BOIL", Align::right},
                 {"MALTS", Align::right},
                 {"HOPS", Align::right},
                 {"OTHERS", Align::right}},
                {}};
    for (const auto& recipe : recipes)
        table.rows.push_back({recipe.name, fmt::format("{} L", round_litres(recipe.volume.value())),
                              gravity_text(recipe.original_gravity),
                              recipe.boil ? fmt::format("{} min", readable(recipe.boil->value())) : "",
                              std::to_string(recipe.grist.size()), std::to_string(recipe.hops.size()),
                              std::to_string(recipe.others.size())});
    return table_text(table);
}

std::string recipe_list_csv(const std::vector<Recipe>& recipes) {
    std::string csv = csv_row({"recipe", "volume_l", "original_gravity_sg", "boil_minutes", "attenuation_pct"});
    for (const auto& recipe : recipes)
        csv += csv_row({recipe.name, shortest(recipe.volume.value()),
                        recipe.original_gravity ? shortest(recipe.original_gravity->value()) : "",
                        recipe.boil ? shortest(recipe.boil->value()) : "",
                        recipe.attenuation ? shortest(recipe.attenuation->value()) : ""});
    return csv;
}

std::string recipe_forecasts_text(const RecipeForecasts& forecasts) {
    std::string text;
    for (const ForecastRecipe& of : forecasts)
        text +=
            (text.empty() ? "\n" : "") + wrapped(fmt::format("On {}. {}", of.brewhouse, beer_sentence(of.forecast)), 2);
    return text;
}

namespace {

void forecasts_json(JsonWriter& w, const RecipeForecasts& forecasts) {
    if (forecasts.empty()) return;
    w.key("forecasts").begin_array();
    for (const ForecastRecipe& of : forecasts) {
        w.begin_object().field("recipe", of.recipe).field("brewhouse", of.brewhouse);
        forecast_fields(w, of.forecast);
        w.end_object();
    }
    w.end_array();
}

} // namespace

std::string recipe_list_json(const std::vector<Recipe>& recipes, const RecipeForecasts& forecasts) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/recipe/1").key("recipes").begin_array();
    for (const auto& recipe : recipes) write_json(w, recipe);
    w.end_array();
    forecasts_json(w, forecasts);
    w.end_object();
    return std::move(w).text();
}

std::string recipe_added_text(const AddedRecipes& added) {
    std::string text;
    for (const auto& recipe : added.recipes) text += recipe_text(recipe) + "\n";
    text += recipe_forecasts_text(added.forecasts) + made_text(added.made);
    for (const std::string& remark : added.remarks) text += wrapped(remark, 2);
    return text + booked_line(added.booked);
}

std::string recipe_added_json(const AddedRecipes& added) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/recipe/1").key("recipes").begin_array();
    for (const auto& recipe : added.recipes) write_json(w, recipe);
    w.end_array().key("items_made").begin_array();
    for (const auto& item : added.made) write_json(w, item);
    w.end_array();
    forecasts_json(w, added.forecasts);
    if (!added.remarks.empty()) w.field("remarks", added.remarks);
    booked_fields(w, added.booked);
    w.end_object();
    return std::move(w).text();
}

namespace {

// What of it is not in stock, in one line; a plan says which lots.
std::string stock_text(const ScaledRecipe& scaled) {
    std::string lacks;
    for (const auto& lack : scaled.lacking)
        lacks += fmt::format("{}{} of {}", lacks.empty() ? "" : ", ", to_be_weighed(lack.missing), lack.item);
    const std::string plan = fmt::format("lotwort plan {} --volume {}L", shell_word(scaled.recipe.name),
                                         round_litres(scaled.scaled.plan.volume->value()));
    return wrapped(lacks.empty() ? fmt::format("all of it is in stock and free today; next: {}", plan)
                                 : fmt::format("not in stock: {}; which lots it would take: {} --dry-run", lacks, plan),
                   2);
}

} // namespace

std::string recipe_scaled_text(const ScaledRecipe& scaled) {
    const auto& plan = scaled.scaled;
    std::string text = fmt::format("{} for {} L on {}\n\n", scaled.recipe.name, round_litres(plan.plan.volume->value()),
                                   scaled.brewhouse);
    Table table = lines_table();
    for (const auto& line : plan.lines)
        table.rows.push_back(
            {line.item, to_text(line.needed), when_text(line.stage, line.minutes, line.temperature, line.days)});
    text += table_text(table);
    const auto& f = plan.forecast;
    text += fmt::format("\nliquor: {} L to mash with, {} L to sparge with (at 20 °C)\n", fixed(f.strike_liquor_l, 1),
                        fixed(f.sparge_liquor_l, 1));
    const Estimate plato = in_plato(f.original_gravity_sg);
    text += fmt::format("expected: original gravity {} ({}), {} L\n",
                        with_sd(f.original_gravity_sg.value, f.original_gravity_sg.sd, {}, 4),
                        with_sd(plato.value, plato.sd, "°P", 1), with_sd(f.volume_l.value, f.volume_l.sd, {}, 1));
    return text + stock_text(scaled);
}

std::string recipe_scaled_json(const ScaledRecipe& scaled) {
    const auto& plan = scaled.scaled;
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/recipe/1").key("recipes").begin_array();
    write_json(w, scaled.recipe);
    w.end_array().key("scaled").begin_object();
    w.field("volume_l", plan.plan.volume).field("brewhouse", scaled.brewhouse).key("lines").begin_array();
    for (const auto& line : plan.lines) {
        w.begin_object(JsonWriter::Layout::one_line).field("line", line.line).field("item", line.item);
        w.field("stage", word(line.stage)).field("minutes", line.minutes);
        write_amount_field(w, "needed", line.needed);
        w.end_object();
    }
    w.end_array().key("lacking").begin_array();
    for (const auto& lack : scaled.lacking) {
        w.begin_object(JsonWriter::Layout::one_line).field("item", lack.item);
        write_amount_field(w, "missing", lack.missing);
        w.end_object();
    }
    w.end_array().field("strike_liquor_l", plan.forecast.strike_liquor_l);
    w.field("sparge_liquor_l", plan.forecast.sparge_liquor_l);
    w.field("original_gravity_sg", plan.forecast.original_gravity_sg.value);
    w.end_object().end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
