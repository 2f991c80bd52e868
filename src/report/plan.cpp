#include "plan_words.hpp"
#include "remedies.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/plan.hpp>
#include <lotwort/report/recipe.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <set>
#include <utility>

namespace lotwort::report {

namespace {

// "45 g of 70 g of Cascade", by item: a hop that is short at three times of the boil is one thing to find.
template <class Part>
std::vector<std::string> by_item(const PlannedBrew& planned, Part part) {
    std::vector<std::string> words;
    std::set<std::string> items;
    for (const auto& line : planned.lines) {
        if (part(line).units <= 0 || !items.insert(line.item).second) continue;
        Amount sum{line.needed.measure, 0}, needed = sum;
        for (const auto& other : planned.lines) {
            if (other.item != line.item || other.needed.measure != needed.measure) continue;
            sum = sum + part(other);
            needed = needed + other.needed;
        }
        words.push_back(sum == needed
                            ? fmt::format("all {} of {}", on_the_scale(needed), line.item)
                            : fmt::format("{} of {} of {}", on_the_scale(sum), on_the_scale(needed), line.item));
    }
    return words;
}

// "5 kg of PM-3 not taken: held, damp"
std::string passed_over_text(const PlannedBrew& planned) {
    std::string text;
    std::set<std::string> lots;
    for (const auto& line : planned.lines)
        for (const auto& lot : line.allotment.passed_over)
            if (line.is_short() && lots.insert(lot.lot).second)
                text += wrapped(fmt::format("{} of {} not taken: {}", on_the_scale(lot.amount), lot.lot, lot.why), 2);
    return text;
}

void estimate_json(JsonWriter& w, std::string_view name, const Estimate& estimate) {
    w.key(name)
        .begin_object(JsonWriter::Layout::one_line)
        .field("value", estimate.value)
        .field("mean", estimate.value)
        .field("sd", estimate.sd);
    w.field("low", estimate.low).field("high", estimate.high).end_object();
}

// As the exchange file has it: mass_kg, volume_l or count.
void recorded_amount(JsonWriter& w, Amount amount) {
    if (amount.measure == Measure::count)
        w.field("count", amount.units);
    else
        write_amount_field(w, amount.measure == Measure::mass ? "mass" : "volume", amount);
}

void lines_json(JsonWriter& w, const PlannedBrew& planned) {
    w.key("reserved").begin_array();
    for (const auto& line : planned.lines)
        for (const auto& taken : line.allotment.taken) {
            w.begin_object(JsonWriter::Layout::one_line).field("line", line.line).field("item", line.item);
            w.field("lot", taken.lot).field("stage", word(line.stage)).field("minutes", line.minutes);
            recorded_amount(w, taken.amount);
            w.end_object();
        }
    w.end_array().key("shortages").begin_array();
    for (const auto& line : planned.lines) {
        if (!line.is_short()) continue;
        w.begin_object().field("line", line.line).field("item", line.item);
        write_amount_field(w, "needed", line.needed);
        write_amount_field(w, "missing", line.allotment.missing);
        w.key("passed_over").begin_array();
        for (const auto& lot : line.allotment.passed_over) {
            w.begin_object(JsonWriter::Layout::one_line).field("lot", lot.lot).field("why", lot.why);
            write_amount_field(w, "amount", lot.amount);
            w.end_object();
        }
        w.end_array().end_object();
    }
    w.end_array();
}

} // namespace

void forecast_fields(JsonWriter& w, const Forecast& f) {
    estimate_json(w, "original_gravity_sg", f.original_gravity_sg);
    estimate_json(w, "original_extract_plato", in_plato(f.original_gravity_sg));
    estimate_json(w, "volume_l", f.volume_l);
    estimate_json(w, "colour_ebc", f.colour_ebc);
    estimate_json(w, "bitterness_ibu", f.bitterness_ibu);
    estimate_json(w, "final_gravity_sg", f.final_gravity_sg);
    estimate_json(w, "alcohol_abv_pct", f.alcohol_abv_pct);
    if (f.packaged_l) estimate_json(w, "packaged_l", *f.packaged_l);
    w.field("learned_from_brews", f.learned_from_brews);
    w.field("extract_grist_kg", f.extract_grist_kg).field("brewhouse_efficiency", f.brewhouse_efficiency);
}

Amount not_yet(const PlannedLine& line) {
    Amount rest = line.needed - line.allotment.missing;
    for (const TakenLot& taken : line.allotment.taken) rest = rest - taken.amount;
    return is_near_enough(line, rest) ? Amount{rest.measure, 0} : rest;
}

Table plan_lines(const PlannedBrew& planned) {
    Table table{{{"ITEM", Align::left, true}, {"NEEDED", Align::right}, {"LOT"}, {"AMOUNT", Align::right}, {"WHEN"}},
                {}};
    for (const auto& line : planned.lines) {
        std::string item = line.item, needed = on_the_scale(line.needed);
        std::string when = when_text(line.stage, line.minutes, line.temperature, line.days);
        const auto row = [&](const std::string& lot, const std::string& amount) {
            table.rows.push_back(
                {std::exchange(item, ""), std::exchange(needed, ""), lot, amount, std::exchange(when, "")});
        };
        for (const auto& taken : line.allotment.taken) row(taken.lot, on_the_scale(taken.amount));
        if (const Amount rest = not_yet(line); rest.units > 0) row("not yet", on_the_scale(rest));
        if (line.is_short()) row("lacking", on_the_scale(line.allotment.missing));
    }
    return table;
}

Table forecast_table(const Forecast& f) {
    Table table{{{"FORECAST"}, {"EXPECTED", Align::right}, {"9 BREWS IN 10", Align::right}}, {}};
    const auto row = [&](const char* what, const Estimate& e, std::string_view unit, int decimals) {
        table.rows.push_back({what, with_sd(e.value, e.sd, unit, decimals), interval(e.low, e.high, e.sd, unit)});
    };
    row("original gravity", f.original_gravity_sg, "", 4);
    const Estimate plato = in_plato(f.original_gravity_sg);
    table.rows.push_back({"the same in plato", with_sd(plato.value, plato.sd, "°P", 1),
                          interval(plato.low, plato.high, std::max(plato.sd, 1.0), "°P")});
    row("in the fermenter", f.volume_l, "L", 1);
    row("colour", f.colour_ebc, "EBC", 1);
    row("bitterness", f.bitterness_ibu, "IBU", 0);
    row("final gravity", f.final_gravity_sg, "", 4);
    row("alcohol by volume", f.alcohol_abv_pct, "%", 2);
    if (f.packaged_l) row("packaged", *f.packaged_l, "L", 1);
    return table;
}

std::string forecast_text(const Forecast& f) {
    const std::string taught = f.learned_from_brews == 0
                                   ? ""
                                   : fmt::format("(with what {} {} taught)\n", f.learned_from_brews,
                                                 f.learned_from_brews == 1 ? "brew" : "brews");
    return table_text(forecast_table(f)) + taught;
}

std::string liquor_text(const PlannedBrew& planned, std::optional<Celsius> strike, Celsius grain) {
    const auto& f = planned.forecast;
    std::string text = fmt::format("liquor to mash   {} L", fixed(f.strike_liquor_l, 1));
    if (strike)
        text += fmt::format(" at {} °C, for a rest at {} °C (grain at {} °C, tun warm)", fixed(strike->value(), 0),
                            readable(planned.mash_rest->value()), readable(grain.value()));
    text += fmt::format("\nliquor to sparge {} L\n", fixed(f.sparge_liquor_l, 1));
    text += fmt::format("kettle full      {} L\ncast-out         {} L\n(litres as they measure at 20 °C)\n",
                        fixed(f.kettle_full_l, 1), fixed(f.cast_out_l, 1));
    return text;
}

// "1.0480 ± 0.0024, 4.84 ± 0.36 % alcohol, ...": the beer in a sentence.
std::string beer_sentence(const Forecast& f) {
    return fmt::format("Expected: {}, {} alcohol, {}, {}; {} in the fermenter, finishing at {}{}.",
                       with_sd(f.original_gravity_sg.value, f.original_gravity_sg.sd, {}, 4),
                       with_sd(f.alcohol_abv_pct.value, f.alcohol_abv_pct.sd, "%", 2),
                       with_sd(f.bitterness_ibu.value, f.bitterness_ibu.sd, "IBU", 0),
                       with_sd(f.colour_ebc.value, f.colour_ebc.sd, "EBC", 1),
                       with_sd(f.volume_l.value, f.volume_l.sd, "L", 1), fixed(f.final_gravity_sg.value, 4),
                       f.learned_from_brews == 0 ? ""
                                                 : fmt::format(" (with what {} {} taught)", f.learned_from_brews,
                                                               f.learned_from_brews == 1 ? "brew" : "brews"));
}

std::string aim_sentence(const PlannedBrew& planned, bool is_booked) {
    if (!planned.target || planned.forecast.learned_from_brews == 0 || planned.plan.adopted) return "";
    const double miss = planned.forecast.original_gravity_sg.value - planned.target->value();
    if (std::abs(miss) <= planned.within_sg) return "";
    return fmt::format("That is {} points {} than the recipe's {}: {}--aim weighs for it.",
                       fixed(std::abs(miss) * 1000.0, 1), miss < 0.0 ? "less" : "more",
                       fixed(planned.target->value(), 4),
                       is_booked ? fmt::format("lotwort plan {} ", shell_word(planned.plan.code)) : "");
}

std::string lacking_sentence(const PlannedBrew& planned) {
    const auto lacking = by_item(planned, [](const PlannedLine& line) {
        return line.is_short() ? line.allotment.missing : Amount{line.needed.measure, 0};
    });
    const auto awaited = by_item(planned, not_yet);
    std::string text = lacking.empty() ? "" : fmt::format("Lacking: {}.", fmt::join(lacking, "; "));
    if (!awaited.empty())
        text += fmt::format("{}Not reserved yet: {}.", text.empty() ? "" : " ", fmt::join(awaited, "; "));
    return text.empty() ? "Everything is there." : text;
}

std::string liquor_sentence(const PlannedBrew& planned) {
    const auto& f = planned.forecast;
    std::string strike = fixed(f.strike_liquor_l, 1) + " L";
    if (planned.strike_temperature)
        strike += fmt::format(" at {} °C to mash at {} °C (grain at {} °C, tun warm)",
                              fixed(planned.strike_temperature->value(), 0), readable(planned.mash_rest->value()),
                              readable(usual_grain(planned.plan.date).value()));
    else
        strike += " to mash";
    return fmt::format("Liquor: {}, {} L to sparge; kettle full {} L, cast-out {} L, as they measure at 20 °C.", strike,
                       fixed(f.sparge_liquor_l, 1), fixed(f.kettle_full_l, 1), fixed(f.cast_out_l, 1));
}

// "FV1 is in use by B12 till 2026-12-17. P3 fits on 2026-12-17: lotwort plan P3 --move 2026-12-17"
std::string clash_text(const Placed& at) {
    std::string text;
    for (const std::string& clash : at.clashes) text += wrapped(fmt::format("{}: {}", at.plan, clash), 2);
    if (at.next_day)
        text += wrapped(fmt::format("it fits on {}: lotwort plan {} --move {}", to_iso(*at.next_day),
                                    shell_word(at.plan), to_iso(*at.next_day)),
                        2);
    if (at.other_tank)
        text += wrapped(fmt::format("{} is free: lotwort plan {} --into {}", *at.other_tank, shell_word(at.plan),
                                    shell_word(*at.other_tank)),
                        2);
    return text;
}

std::string tank_of_plan(const Placed& at) {
    if (!at.tank) return "";
    return at.use ? fmt::format("{} till {}{}", *at.tank, to_iso(*at.use->till), at.use->is_stated ? "" : "*")
                  : *at.tank;
}

std::string crop_text(const Placed& at) {
    if (!at.crop || !at.crop->from) return "";
    return wrapped(fmt::format("Yeast of {}, generation {}: {} on {}{}, good till {}.", at.crop->of,
                               at.crop->generation, at.crop->is_there ? "cropped" : "there", to_iso(*at.crop->from),
                               at.crop->is_stated ? "" : "*", to_iso(*at.crop->till)),
                   2);
}

bool is_usual(const Placed& at) {
    return (at.use && !at.use->is_stated) || (at.crop && at.crop->from && !at.crop->is_stated);
}

std::string usual_text(bool any) {
    if (!any) return "";
    return wrapped(fmt::format("* common practice: {} days in the tank, the crop after {}; a recipe's own: lotwort "
                               "recipe change NAME --tank-days 21days --harvest-days 10days",
                               usual_tank_days, usual_harvest_days),
                   2);
}

void placed_fields(JsonWriter& w, const Placed& at) {
    w.begin_object().field("plan", at.plan).field("tank", at.tank);
    if (at.use) w.field("tank_till", at.use->till).field("tank_till_stated", at.use->is_stated);
    if (at.crop) {
        w.field("yeast_of", at.crop->of).field("yeast_from", at.crop->from).field("yeast_till", at.crop->till);
        w.field("yeast_from_stated", at.crop->is_stated).field("generation", at.crop->generation);
    }
    w.field("clashes", at.clashes).field("next_day", at.next_day).field("other_tank", at.other_tank).end_object();
}

std::string plan_text(const DrawnPlan& drawn, bool full) {
    const auto& planned = drawn.planned;
    const auto& plan = planned.plan;
    const std::string tank = tank_of_plan(drawn.placed);
    std::string text = fmt::format("{}: {} on {}, {} L on {}{}{}\n", plan.code, plan.recipe, to_iso(plan.date),
                                   round_litres(plan.volume->value()), plan.brewhouse.value_or(""),
                                   tank.empty() ? "" : " into ", tank);
    text += clash_text(drawn.placed) + crop_text(drawn.placed);
    text += wrapped(lacking_sentence(planned), 2) + wrapped(beer_sentence(planned.forecast), 2);
    const bool is_booked = drawn.booked == nullptr || !drawn.booked->dry_run;
    if (const std::string miss = aim_sentence(planned, is_booked); !miss.empty()) text += wrapped(miss, 2);
    text += "\n";
    if (full) text += forecast_text(planned.forecast) + "\n";
    text += table_text(plan_lines(planned)) + passed_over_text(planned) + "\n";
    text += full ? liquor_text(planned, planned.strike_temperature, usual_grain(plan.date))
                 : wrapped(liquor_sentence(planned), 2);
    if (planned.on_target && planned.forecast.learned_from_brews > 0)
        text += fmt::format("{:.0f} brews in 100 land within {} of the recipe's gravity\n", 100.0 * *planned.on_target,
                            shortest(std::round(planned.within_sg * 1e5) / 1e5));
    for (const auto& remark : plan_remarks(planned)) text += wrapped(remark, 2);
    text += usual_text(is_usual(drawn.placed));
    for (const Placed& other : drawn.others) text += clash_text(other);
    if (drawn.booked != nullptr) text += booked_line(*drawn.booked);
    return text;
}

std::string plan_json(const DrawnPlan& drawn) {
    const auto& planned = drawn.planned;
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/plan/1").field("plan", planned.plan.code);
    w.field("date", planned.plan.date).field("recipe", planned.plan.recipe);
    w.field("brewhouse", planned.plan.brewhouse).field("volume_l", planned.plan.volume);
    w.key("forecast").begin_object();
    forecast_fields(w, planned.forecast);
    w.end_object();
    lines_json(w, planned);
    w.key("liquor").begin_object().field("strike_l", planned.forecast.strike_liquor_l);
    w.field("strike_c", planned.strike_temperature).field("sparge_l", planned.forecast.sparge_liquor_l);
    w.field("kettle_full_l", planned.forecast.kettle_full_l)
        .field("cast_out_l", planned.forecast.cast_out_l)
        .end_object();
    if (planned.on_target)
        w.key("on_target")
            .begin_object()
            .field("probability", *planned.on_target)
            .field("within_sg", planned.within_sg)
            .end_object();
    w.field("remarks", plan_remarks(planned));
    w.key("board").begin_array();
    placed_fields(w, drawn.placed);
    for (const Placed& other : drawn.others) placed_fields(w, other);
    w.end_array();
    if (drawn.booked != nullptr) booked_fields(w, *drawn.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
