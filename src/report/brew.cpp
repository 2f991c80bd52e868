#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/report/recipe.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string item_of(const ShownBrew& shown, const std::string& lot) {
    const auto found = shown.items.find(lot);
    return found == shown.items.end() ? "" : found->second;
}

bool is_same_place(const Addition& a, const Addition& b) {
    return a.lot == b.lot && a.stage == b.stage && a.minutes == b.minutes && a.mash == b.mash;
}

std::string additions_text(const ShownBrew& shown) {
    const bool differs = !shown.differences.empty();
    const bool replaces =
        std::ranges::any_of(shown.brew.additions, [](const Addition& a) { return a.instead_of.has_value(); });
    Table table{{{"LOT"},
                 {"ITEM", Align::left, true},
                 {"WEIGHED", Align::right},
                 {"WHEN"},
                 {differs ? "PLANNED" : ""},
                 {replaces ? "IN PLACE OF" : "", Align::left, true}},
                {}};
    for (const auto& addition : shown.brew.additions) {
        std::string when = when_text(addition.stage, addition.minutes, {}, {});
        if (addition.mash) when += fmt::format(" {}", *addition.mash);
        if (addition.on) when += " on " + to_iso(*addition.on);
        const auto difference = std::ranges::find_if(
            shown.differences, [&](const Difference& d) { return is_same_place(d.planned, addition); });
        table.rows.push_back({addition.lot, item_of(shown, addition.lot), to_text(addition.amount), when,
                              difference == shown.differences.end() ? "" : to_text(difference->planned.amount),
                              addition.instead_of.value_or("")});
    }
    for (const auto& difference : shown.differences)
        if (difference.weighed.units == 0)
            table.rows.push_back({difference.planned.lot, item_of(shown, difference.planned.lot), "nothing",
                                  when_text(difference.planned.stage, difference.planned.minutes, {}, {}),
                                  to_text(difference.planned.amount)});
    return table_text(table);
}

std::string malt_mass(const Brew& brew) {
    Amount sum = Amount::of(Kilograms(0.0));
    for (const auto& addition : brew.additions)
        if (addition.stage == Stage::mash && addition.amount.measure == Measure::mass) sum = sum + addition.amount;
    return sum.units == 0 ? "" : to_text(sum);
}

std::string gravity_text(const Reading& r) {
    std::string text;
    if (r.gravity_sg) text = fixed(r.gravity_sg->value(), 4);
    if (r.gravity_plato) text = readable(r.gravity_plato->value()) + " °P";
    if (r.brix) text = readable(r.brix->value()) + " °Bx";
    if (!text.empty() && r.gravity_at) text += fmt::format(" at {} °C", readable(r.gravity_at->value()));
    return text;
}

} // namespace

std::string reading_note(const Reading& r) {
    std::vector<std::string> notes;
    if (r.at) notes.push_back(*r.at);
    if (r.mash) notes.push_back(fmt::format("mash {}", *r.mash));
    if (r.run) notes.push_back(fmt::format("run {}", *r.run));
    if (r.volume_instrument) notes.push_back("by " + *r.volume_instrument);
    if (r.gravity_instrument) notes.push_back("by " + *r.gravity_instrument);
    if (r.set_aside) notes.push_back("set aside: " + *r.set_aside);
    return fmt::format("{}", fmt::join(notes, ", "));
}

std::string reading_text(const Reading& r) {
    std::vector<std::string> parts;
    std::string volume;
    if (r.volume) volume = readable(r.volume->value()) + " L";
    if (r.depth) volume = readable(r.depth->value()) + " cm";
    if (r.mass) volume = readable(r.mass->value()) + " kg";
    if (!volume.empty() && r.volume_at) volume += fmt::format(" at {} °C", readable(r.volume_at->value()));
    if (!volume.empty()) parts.push_back(volume);
    if (const auto gravity = gravity_text(r); !gravity.empty()) parts.push_back(gravity);
    if (r.temperature) parts.push_back(readable(r.temperature->value()) + " °C");
    if (r.ph) parts.push_back("pH " + readable(*r.ph));
    if (r.mill_gap) parts.push_back("mill gap " + readable(r.mill_gap->value()) + " mm");
    if (r.bitterness) parts.push_back(readable(r.bitterness->value()) + " IBU");
    return fmt::format("{}", fmt::join(parts, ", "));
}

std::string readings_text(const std::vector<Reading>& readings) {
    Table table{{{"ID"}, {"POINT"}, {"READ", Align::left, true}, {"NOTE", Align::left, true}}, {}};
    for (const auto& r : readings) {
        table.rows.push_back({r.id, std::string(word(r.point)), reading_text(r), reading_note(r)});
    }
    return table_text(table);
}

std::string cost_text(const BrewCost& cost) {
    if (cost.sum.minor == 0 && !cost.without_price.empty()) return "not known: none of its lots has a price";
    std::string text = money_text(cost.sum, cost.currency);
    if (!cost.without_price.empty())
        text += fmt::format(", without {}: no price is known", fmt::join(cost.without_price, ", "));
    return text;
}

void cost_fields(JsonWriter& w, const BrewCost& cost) {
    write_money_field(w, "cost", cost.sum);
    w.field("currency", cost.currency).field("without_price", cost.without_price);
}

std::string unused_text(const Brew& brew) {
    std::string text;
    for (const auto& unused : brew.unused)
        text += fmt::format("  {} of {} went back into stock on {}\n", to_text(unused.amount), unused.lot,
                            to_iso(unused.on));
    return text;
}

std::string brew_text(const ShownBrew& shown) {
    const auto& brew = shown.brew;
    std::string text = fmt::format("{}: {}on {}, {}{}\n\n", brew.code, brew.recipe ? *brew.recipe + " " : "",
                                   to_iso(brew.date), brew.brewhouse, brew.plan ? ", from plan " + *brew.plan : "");
    text += brew.additions.empty() && shown.differences.empty() ? "nothing has been weighed in yet\n"
                                                                : additions_text(shown);
    if (shown.cost && !brew.additions.empty()) text += wrapped("cost: " + cost_text(*shown.cost), 2);
    if (!brew.readings.empty()) text += "\n" + readings_text(brew.readings);
    if (brew.abandoned) text += "\n" + wrapped("given up: " + *brew.abandoned, 2);
    text += unused_text(brew);
    for (const auto& remark : shown.remarks) text += wrapped(remark, 2);
    if (shown.booked != nullptr) text += booked_line(*shown.booked);
    return text;
}

std::string brew_json(const ShownBrew& shown) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/brew/1").key("brew");
    write_json(w, shown.brew);
    w.key("differences").begin_array();
    for (const auto& difference : shown.differences) {
        w.begin_object(JsonWriter::Layout::one_line).field("lot", difference.planned.lot);
        w.field("stage", word(difference.planned.stage)).field("minutes", difference.planned.minutes);
        write_amount_field(w, "planned", difference.planned.amount);
        write_amount_field(w, "weighed", difference.weighed);
        w.end_object();
    }
    w.end_array().field("remarks", shown.remarks);
    if (shown.cost) cost_fields(w, *shown.cost);
    if (shown.booked != nullptr) booked_fields(w, *shown.booked);
    w.end_object();
    return std::move(w).text();
}

std::string brew_list_text(const std::vector<Brew>& brews) {
    if (brews.empty()) return "no brews yet; next: lotwort plan RECIPE --on DATE\n";
    Table table{{{"BREW"},
                 {"DATE"},
                 {"RECIPE", Align::left, true},
                 {"BREWHOUSE", Align::left, true},
                 {"PLAN"},
                 {"MALT", Align::right},
                 {"READINGS", Align::right}},
                {}};
    for (const auto& brew : brews)
        table.rows.push_back({brew.code, to_iso(brew.date), brew.recipe.value_or(""), brew.brewhouse,
                              brew.plan.value_or(""), malt_mass(brew), std::to_string(brew.readings.size())});
    return table_text(table);
}

std::string brew_list_csv(const std::vector<Brew>& brews) {
    std::string csv = csv_row({"brew", "date", "recipe", "brewhouse", "plan", "additions", "readings"});
    for (const auto& brew : brews)
        csv += csv_row({brew.code, to_iso(brew.date), brew.recipe.value_or(""), brew.brewhouse, brew.plan.value_or(""),
                        std::to_string(brew.additions.size()), std::to_string(brew.readings.size())});
    return csv;
}

std::string brew_list_json(const std::vector<Brew>& brews) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/brew/1").key("brews").begin_array();
    for (const auto& brew : brews) write_json(w, brew);
    w.end_array().end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
