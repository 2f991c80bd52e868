// The open plans: what each has, what stands in its way, what is lacking.
#include "plan_words.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/plan.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <utility>

namespace lotwort::report {

std::string lacks_text(const std::vector<PlanLack>& lacks) {
    std::string text, missing;
    for (std::size_t i = 0; i < lacks.size(); ++i) {
        const PlanLack& lack = lacks[i];
        if (i > 0 && lacks[i - 1].plan == lack.plan) continue; // told with the first
        std::vector<std::string> there, lacking;
        for (std::size_t j = i; j < lacks.size() && lacks[j].plan == lack.plan; ++j) {
            const auto of_item = [&](Amount amount) {
                return fmt::format("{} of {}", on_the_scale(amount), lacks[j].item);
            };
            if (lacks[j].free.units > 0) there.push_back(of_item(lacks[j].free));
            if (lacks[j].missing.units > 0) lacking.push_back(of_item(lacks[j].missing));
        }
        if (!there.empty())
            text += wrapped(fmt::format("{} on {} has not reserved what is there: {}", lack.plan, to_iso(lack.date),
                                        fmt::join(there, ", ")),
                            2) +
                    "plan it again: " + lack.again + "\n";
        if (!lacking.empty())
            missing +=
                wrapped(fmt::format("{} on {} lacks {}", lack.plan, to_iso(lack.date), fmt::join(lacking, ", ")), 2);
    }
    return text + missing + (missing.empty() ? "" : "next: lotwort substitute\n");
}

void lacks_json(JsonWriter& w, const std::vector<PlanLack>& lacks) {
    const auto list = [&](std::string_view name, std::string_view amount_name, Amount PlanLack::*amount) {
        w.key(name).begin_array();
        for (const PlanLack& lack : lacks) {
            if ((lack.*amount).units <= 0) continue;
            w.begin_object(JsonWriter::Layout::one_line).field("plan", lack.plan).field("date", lack.date);
            w.field("item", lack.item);
            write_amount_field(w, amount_name, lack.*amount);
            w.end_object();
        }
        w.end_array();
    };
    list("shortages", "missing", &PlanLack::missing);
    if (std::ranges::any_of(lacks, [](const PlanLack& lack) { return lack.free.units > 0; }))
        list("not_reserved", "free", &PlanLack::free);
}

std::string plan_list_text(const PlanList& list) {
    if (list.plans.empty()) return "no open plans; next: lotwort plan RECIPE --on DATE\n";
    Table table{{{"PLAN"},
                 {"DATE"},
                 {"RECIPE", Align::left, true},
                 {"BREWHOUSE", Align::left, true},
                 {"VOLUME", Align::right},
                 {"LOTS", Align::right}},
                {}};
    const bool any_tank = std::ranges::any_of(list.placed, [](const Placed& at) { return at.tank.has_value(); });
    if (any_tank) table.columns.push_back({"TANK", Align::left, true});
    std::string clashes;
    bool any_usual = false;
    for (std::size_t i = 0; i < list.plans.size(); ++i) {
        const Plan& plan = list.plans[i];
        table.rows.push_back({plan.code, to_iso(plan.date), plan.recipe, plan.brewhouse.value_or(""),
                              plan.volume ? fmt::format("{} L", round_litres(plan.volume->value())) : "",
                              std::to_string(plan.reserved.size())});
        if (any_tank) table.rows.back().push_back(tank_of_plan(list.placed[i]));
        clashes += clash_text(list.placed[i]);
        any_usual = any_usual || (list.placed[i].use && !list.placed[i].use->is_stated);
    }
    return table_text(table) + usual_text(any_usual) + clashes + lacks_text(list.lacks);
}

std::string plan_list_csv(const PlanList& list) {
    std::string csv = csv_row({"plan", "date", "recipe", "brewhouse", "volume_l", "reservations", "tank", "tank_till"});
    for (std::size_t i = 0; i < list.plans.size(); ++i) {
        const Plan& plan = list.plans[i];
        csv += csv_row({plan.code, to_iso(plan.date), plan.recipe, plan.brewhouse.value_or(""),
                        plan.volume ? shortest(plan.volume->value()) : "", std::to_string(plan.reserved.size()),
                        plan.tank.value_or(""), list.placed[i].use ? date_text(list.placed[i].use->till) : ""});
    }
    return csv;
}

std::string plan_list_json(const PlanList& list) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/plans/1").key("plans").begin_array();
    for (const auto& plan : list.plans) write_json(w, plan);
    w.end_array().key("board").begin_array();
    for (const Placed& at : list.placed) placed_fields(w, at);
    w.end_array();
    lacks_json(w, list.lacks);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
