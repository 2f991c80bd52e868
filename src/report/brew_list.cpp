#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/brew_list.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

constexpr std::size_t first_screen = 20; // rows; with the heading and a line of what is left out within 24

std::string number(const std::optional<double>& value, int decimals) {
    return value ? fixed(*value, decimals) : std::string();
}

std::optional<double> percent(const std::optional<double>& fraction) {
    return fraction ? std::optional(100.0 * *fraction) : std::nullopt;
}

std::string money(const std::optional<Money>& sum) {
    return sum ? money_text(*sum) : std::string();
}

} // namespace

std::optional<Money> ListedBrew::whole_cost() const {
    if (cost.lines.empty() || !cost.without_price.empty()) return std::nullopt;
    return Money{cost.sum.minor + cost.freight.minor};
}

std::optional<Money> ListedBrew::cost_per_hl() const {
    const auto whole = whole_cost();
    if (!whole || !litres || *litres < 1.0) return std::nullopt;
    return Money{std::llround(100.0 * static_cast<double>(whole->minor) / *litres)};
}

std::string brew_list_text(const std::vector<ListedBrew>& brews, bool whole) {
    if (brews.empty()) return "no brews yet; next: lotwort plan RECIPE --on DATE\n";
    const std::size_t first = whole || brews.size() <= first_screen ? 0 : brews.size() - first_screen;
    Table table{{{"BREW"},
                 {"DATE"},
                 {"RECIPE", Align::left, true},
                 {"OG", Align::right},
                 {"FG", Align::right},
                 {"ABV %", Align::right},
                 {"EFF %", Align::right},
                 {"LITRES", Align::right},
                 {"COST", Align::right},
                 {"PER HL", Align::right}},
                {}};
    for (std::size_t i = first; i < brews.size(); ++i) {
        const ListedBrew& b = brews[i];
        const std::string recipe = b.brew.recipe.value_or("");
        table.rows.push_back({b.brew.code, to_iso(b.brew.date), b.brew.abandoned ? recipe + " (given up)" : recipe,
                              number(b.original_sg, 3), number(b.final_sg, 3), number(b.abv_pct, 1),
                              number(percent(b.efficiency), 0), number(b.litres, 1), money(b.whole_cost()),
                              money(b.cost_per_hl())});
    }
    std::string text = table_text(table);
    if (first > 0)
        text += fmt::format("{} earlier: lotwort brew --full\n",
                            counted(static_cast<long long>(first), "brew is", "brews are"));
    return text;
}

std::string brew_list_csv(const std::vector<ListedBrew>& brews) {
    std::string csv = csv_row({"brew", "date", "recipe", "brewhouse", "plan", "additions", "readings",
                               "original_gravity_sg", "final_gravity_sg", "alcohol_abv_pct", "efficiency_pct",
                               "volume_l", "cost", "freight", "currency", "without_price", "cost_per_hl"});
    for (const ListedBrew& b : brews)
        csv += csv_row({b.brew.code, to_iso(b.brew.date), b.brew.recipe.value_or(""), b.brew.brewhouse,
                        b.brew.plan.value_or(""), std::to_string(b.brew.additions.size()),
                        std::to_string(b.brew.readings.size()), number(b.original_sg, 5), number(b.final_sg, 5),
                        number(b.abv_pct, 2), number(percent(b.efficiency), 1), number(b.litres, 2),
                        money_text(b.cost.sum), money_text(b.cost.freight), b.cost.currency,
                        fmt::format("{}", fmt::join(b.cost.without_price, " ")), money(b.cost_per_hl())});
    return csv;
}

std::string brew_list_json(const std::vector<ListedBrew>& brews) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/brews/1").key("brews").begin_array();
    for (const ListedBrew& b : brews) write_json(w, b.brew);
    w.end_array().key("figures").begin_array();
    for (const ListedBrew& b : brews) {
        w.begin_object().field("brew", b.brew.code).field("original_gravity_sg", b.original_sg);
        w.field("final_gravity_sg", b.final_sg).field("alcohol_abv_pct", b.abv_pct);
        w.field("efficiency_pct", percent(b.efficiency)).field("volume_l", b.litres);
        cost_fields(w, b.cost);
        if (const auto each = b.cost_per_hl()) write_money_field(w, "cost_per_hl", *each);
        w.end_object();
    }
    w.end_array().end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
