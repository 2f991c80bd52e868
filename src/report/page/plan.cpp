// A plan as a page: what lacks, the beer to expect, what of which lot, liquor.
#include "../plan_words.hpp"
#include "../remedies.hpp"
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/brew.hpp>

namespace lotwort::report {

namespace {

std::string next(const PlanPage& page) {
    const std::string code = shell_word(page.drawn.planned.plan.code);
    std::string items;
    if (page.drawn.planned.is_short()) items += html::of_text("code", "lotwort substitute " + code) + "<br/>";
    items += html::of_text("code", "lotwort report brew-sheet " + code);
    return html::element("p", items);
}

std::string points(const PlanPage& page) {
    Table table{{{"Point"}, {"Expected", Align::right}, {"Gravity", Align::right}, {"On the stick"}}, {}};
    for (const PointExpected& point : expected_points(page.drawn.planned, page.guide))
        table.rows.push_back(
            {point.what, point.litres ? fixed(*point.litres, 1) + " L" : "", point.gravity, point.stick});
    return html::table(table, "Litres as they measure at 20 °C");
}

} // namespace

std::string plan_page(const PlanPage& page) {
    const PlannedBrew& planned = page.drawn.planned;
    const Plan& plan = planned.plan;
    const std::string tank = tank_of_plan(page.drawn.placed);
    std::string body =
        html::element("div",
                      html::of_text("p", lacking_sentence(planned)) + html::paragraphs(clash_text(page.drawn.placed)) +
                          html::of_text("p", beer_sentence(planned.forecast)) +
                          html::paragraphs(aim_sentence(planned, true)),
                      "class=\"lead\"") +
        next(page);
    body += html::section("What goes in", html::table(as_headings(plan_lines(planned)), "Of which lot"));
    body += html::section("On the day", html::of_text("p", liquor_sentence(planned)) + points(page));
    body += html::section("The beer", html::table(as_headings(forecast_table(planned.forecast)), "What to expect"));
    std::string remarks = html::paragraphs(crop_text(page.drawn.placed));
    for (const std::string& remark : plan_remarks(planned)) remarks += html::of_text("p", remark);
    body += html::section("Worth knowing", remarks);
    return html::whole({plan.code + ": " + plan.recipe,
                        fmt::format("planned for {}, {} L on {}{}{}", to_iso(plan.date), readable(plan.volume->value()),
                                    plan.brewhouse.value_or(""), tank.empty() ? "" : " into ", tank),
                        body});
}

} // namespace lotwort::report
