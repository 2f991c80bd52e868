#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/report/fermentation.hpp>
#include <lotwort/report/recipe.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/stock/share.hpp>

namespace lotwort::report {

namespace {

std::string item_of(const ShownBrew& shown, const std::string& lot) {
    const auto found = shown.items.find(lot);
    return found == shown.items.end() ? "" : found->second;
}

bool is_same_place(const Addition& a, const Addition& b) {
    return a.lot == b.lot && a.stage == b.stage && a.minutes == b.minutes && a.mash == b.mash;
}

// With its freight; "1/3: 1.20" is a third part of a yeast that three brews bear. What a lot cost that went in at
// several places is shared over them by amount.
std::string line_cost(const ShownBrew& shown, std::size_t at) {
    if (!shown.cost) return "";
    const std::vector<Addition>& all = shown.brew.additions;
    const auto line = std::ranges::find_if(shown.cost->lines, [&](const CostLine& one) {
        return one.lot == all[at].lot && one.package == all[at].package;
    });
    if (line == shown.cost->lines.end() || !line->cost) return "";
    std::vector<std::int64_t> amounts;
    std::size_t place = 0;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all[i].lot != all[at].lot || all[i].package != all[at].package) continue;
        if (i == at) place = amounts.size();
        amounts.push_back(all[i].amount.units);
    }
    const Money part{shared_out(std::max<std::int64_t>(0, line->cost->minor + line->freight.minor), amounts)[place]};
    return line->shared_by > 1 ? fmt::format("1/{}: {}", line->shared_by, money_text(part)) : money_text(part);
}

std::string additions_text(const ShownBrew& shown) {
    const bool differs = !shown.differences.empty();
    const bool replaces =
        std::ranges::any_of(shown.brew.additions, [](const Addition& a) { return a.instead_of.has_value(); });
    const bool is_priced = shown.cost && std::ranges::any_of(shown.cost->lines, [](const CostLine& line) {
                               return line.cost.has_value();
                           });
    Table table{{{"LOT"},
                 {"ITEM", Align::left, true},
                 {"WEIGHED", Align::right},
                 {"WHEN"},
                 {differs ? "PLANNED" : ""},
                 {replaces ? "IN PLACE OF" : "", Align::left, true},
                 {is_priced ? "COST" : "", Align::right}},
                {}};
    for (std::size_t i = 0; i < shown.brew.additions.size(); ++i) {
        const Addition& addition = shown.brew.additions[i];
        std::string when = when_text(addition.stage, addition.minutes, {}, {});
        if (addition.mash) when += fmt::format(" {}", *addition.mash);
        if (addition.package) when = "primes " + *addition.package;
        if (addition.on) when += " on " + to_iso(*addition.on);
        const auto difference = std::ranges::find_if(
            shown.differences, [&](const Difference& d) { return is_same_place(d.planned, addition); });
        table.rows.push_back({addition.lot, item_of(shown, addition.lot), to_text(addition.amount), when,
                              difference == shown.differences.end() ? "" : to_text(difference->planned.amount),
                              addition.instead_of.value_or(""), line_cost(shown, i)});
    }
    for (const auto& difference : shown.differences)
        if (difference.weighed.units == 0)
            table.rows.push_back({difference.planned.lot, item_of(shown, difference.planned.lot), "nothing",
                                  when_text(difference.planned.stage, difference.planned.minutes, {}, {}),
                                  to_text(difference.planned.amount)});
    return table_text(table);
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
    if (r.on) notes.push_back(to_iso(*r.on));
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

namespace {

std::optional<Money> per_litre(const BrewCost& cost, const std::optional<double>& litres) {
    if (!litres || *litres <= 0.0 || !cost.fermenter_is_priced) return std::nullopt;
    return Money{std::llround(static_cast<double>(cost.fermenter.minor) / *litres)};
}

} // namespace

std::optional<Money> BrewCost::per_litre_in_fermenter() const {
    return per_litre(*this, fermenter_l);
}

std::optional<Money> BrewCost::per_litre_packaged() const {
    return per_litre(*this, packaged_l);
}

std::string cost_text(const BrewCost& cost) {
    if (cost.sum.minor == 0 && !cost.without_price.empty()) return "not known: none of its lots has a price";
    std::string text = money_text(cost.sum, cost.currency);
    if (cost.freight.minor != 0) text += fmt::format(", and {} of freight", money_text(cost.freight));
    const std::string of_all = cost.fermenter_brews > 1 ? fmt::format(" of {} brews", cost.fermenter_brews) : "";
    if (const auto litre = cost.per_litre_in_fermenter())
        text += fmt::format("; {} a litre of {} L in the fermenter{}", money_text(*litre), fixed(*cost.fermenter_l, 1),
                            of_all);
    if (const auto litre = cost.per_litre_packaged())
        text += fmt::format(", {} of {} L packaged", money_text(*litre), readable(*cost.packaged_l));
    if (!cost.without_price.empty())
        text += fmt::format(", without {}: no price is known", fmt::join(cost.without_price, ", "));
    return text;
}

void cost_fields(JsonWriter& w, const BrewCost& cost) {
    write_money_field(w, "cost", cost.sum);
    write_money_field(w, "freight", cost.freight);
    w.field("currency", cost.currency).field("without_price", cost.without_price);
    if (const auto litre = cost.per_litre_in_fermenter()) write_money_field(w, "per_litre_in_fermenter", *litre);
    if (const auto litre = cost.per_litre_packaged()) write_money_field(w, "per_litre_packaged", *litre);
}

void cost_lines(JsonWriter& w, const BrewCost& cost) {
    w.key("cost_lines").begin_array();
    for (const CostLine& line : cost.lines) {
        w.begin_object(JsonWriter::Layout::one_line).field("lot", line.lot).field("item", line.item);
        w.field("package", line.package);
        write_amount_field(w, "amount", line.amount);
        if (line.cost) write_money_field(w, "cost", *line.cost);
        write_money_field(w, "freight", line.freight);
        if (line.shared_by > 0) w.field("shared_by", line.shared_by);
        w.end_object();
    }
    w.end_array();
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
    // what the curve shows is not shown twice
    std::vector<Reading> readings = brew.readings;
    if (shown.fermentation)
        std::erase_if(readings, [&](const Reading& r) {
            return r.point == ReadingPoint::fermenting &&
                   std::ranges::find(shown.fermentation->days, r.id, &FermentationDay::reading) !=
                       shown.fermentation->days.end();
        });
    if (!readings.empty()) text += "\n" + readings_text(readings);
    if (shown.fermentation && !shown.fermentation->days.empty()) text += "\n" + fermentation_text(*shown.fermentation);
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
    if (shown.cost) cost_lines(w, *shown.cost);
    if (shown.fermentation) {
        w.key("fermentation");
        fermentation_json(w, *shown.fermentation);
    }
    if (shown.booked != nullptr) booked_fields(w, *shown.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
