// The sheets that are printed and filled in by hand: the brew day's and the count's.
#include "../plan_words.hpp"
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <initializer_list>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/movement.hpp>
#include <lotwort/report/recipe.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

// Rows of 9 mm that a page of A4 has room for beside all else; of 7 mm; more stand as close as they must.
constexpr std::size_t most_weighed = 9, most_weighed_close = 15, most_counted = 26, most_counted_close = 33;

constexpr std::string_view blank = "<span class=\"blank\"> </span>", box = "<span class=\"box\"> </span>";

html::Rows rows_of(std::size_t rows, std::size_t most, std::size_t most_close) {
    return rows <= most ? html::Rows::wide : rows <= most_close ? html::Rows::close : html::Rows::dense;
}

std::string degrees() { // to be written in
    return std::string(blank) + " " + html::escaped("°C");
}

// A table whose cells are HTML already: boxes and blanks. A row of one cell goes across: what to do about the row
// above.
std::string form(std::string_view kind, const std::vector<std::string>& headings,
                 const std::vector<std::vector<std::string>>& rows) {
    if (rows.empty()) return "";
    std::string head, body;
    for (const auto& heading : headings) head += html::of_text("th", heading, "scope=\"col\"");
    for (const auto& row : rows) {
        std::string cells;
        const bool is_across = row.size() == 1;
        for (const auto& cell : row)
            cells += html::element("td", cell, is_across ? fmt::format("colspan=\"{}\"", headings.size()) : "");
        body += html::element("tr", cells, is_across ? "class=\"across\"" : "");
    }
    return html::element(
        "div", html::element("table", html::element("thead", html::element("tr", head)) + html::element("tbody", body)),
        fmt::format("class=\"wide {}\"", kind));
}

std::string weighings(const PlannedBrew& planned, const std::string& heading, std::initializer_list<Stage> stages) {
    std::vector<std::vector<std::string>> rows;
    for (const Stage stage : stages) {
        std::vector<const PlannedLine*> lines;
        for (const auto& line : planned.lines)
            if (line.stage == stage) lines.push_back(&line);
        // hops go in as the clock runs down
        std::ranges::stable_sort(lines, [](const PlannedLine* a, const PlannedLine* b) {
            return a->minutes.value_or(Minutes(0.0)) > b->minutes.value_or(Minutes(0.0));
        });
        for (const PlannedLine* line : lines) {
            const auto row = [&](const std::string& lot, Amount amount) {
                const auto other = planned.stand_ins.find(lot); // what is in the sack is what is read on it
                const std::string& item = other == planned.stand_ins.end() ? line->item : other->second;
                rows.push_back({std::string(box) + " " + html::escaped(lot), html::escaped(item),
                                html::escaped(on_the_scale(amount)), std::string(blank),
                                html::escaped(when_text(line->stage, line->minutes, line->temperature, line->days)),
                                std::string(blank)});
            };
            for (const auto& taken : line->allotment.taken) row(taken.lot, taken.amount);
            if (const Amount rest = not_yet(*line); rest.units > 0) row("(to come)", rest);
            if (line->is_short()) row("(lacking)", line->allotment.missing);
        }
    }
    return form("weigh", {heading, "Item", "Weigh", "Was", "When", "Time"}, rows);
}

std::size_t rows_weighed(const PlannedBrew& planned) {
    std::size_t rows = 0;
    for (const auto& line : planned.lines)
        rows += line.allotment.taken.size() + (line.is_short() ? 1 : 0) + (not_yet(line).units > 0 ? 1 : 0);
    return rows;
}

// Points to read, with what is expected, room for what was, and what to do where that is something else.
std::string readings(const std::vector<PointExpected>& points, const std::string& heading,
                     std::initializer_list<ReadingPoint> wanted) {
    std::vector<std::vector<std::string>> rows;
    const std::string none = "–",
                      with_temperature = "<span class=\"whole\">" + std::string(blank) + " at " + degrees() + "</span>";
    for (const PointExpected& point : points) {
        if (std::ranges::find(wanted, point.point) == wanted.end()) continue;
        std::string about = point.litres ? fixed(*point.litres, 1) + " L" : "";
        for (const std::string& more : {point.gravity, point.stick})
            if (!more.empty()) about += (about.empty() ? "" : ", ") + more;
        const bool has_volume = point.litres && point.point != ReadingPoint::first_wort;
        const bool has_gravity =
            point.point != ReadingPoint::strike_liquor && point.point != ReadingPoint::sparge_liquor;
        rows.push_back({html::escaped(point.what), html::escaped(about), has_volume ? with_temperature : none,
                        has_gravity ? with_temperature : none, std::string(blank)});
        if (!point.when_off.empty()) rows.push_back({html::escaped(point.when_off)});
    }
    return form("read", {heading, "Expected", "Litres", "Gravity", "Time"}, rows);
}

std::string line(const std::string& inner) {
    return html::element("p", inner, "class=\"fill\"");
}

std::string mash(const PlannedBrew& planned, const std::vector<PointExpected>& points) {
    const std::string rest =
        planned.mash_rest ? fmt::format("Rest at {} °C", readable(planned.mash_rest->value())) : std::string("Mash");
    return readings(points, "Liquor", {ReadingPoint::strike_liquor, ReadingPoint::sparge_liquor}) +
           weighings(planned, "Into the mash", {Stage::mash}) +
           line(html::escaped(rest) + ": was " + degrees() + ", pH " + std::string(blank) + ", from " +
                std::string(blank) + " to " + std::string(blank)) +
           readings(points, "Run-off", {ReadingPoint::first_wort, ReadingPoint::last_runnings});
}

std::string boil(const PlannedBrew& planned, const std::vector<PointExpected>& points) {
    const std::string minutes =
        planned.boil ? fmt::format("Boil {} min", readable(planned.boil->value())) : std::string("Boil");
    return readings(points, "Kettle", {ReadingPoint::kettle_full}) +
           weighings(planned, "Into the kettle", {Stage::kettle, Stage::boil, Stage::stand}) +
           line(minutes + ": was " + std::string(blank) + " min, from " + std::string(blank) + " to " +
                std::string(blank)) +
           readings(points, "After the boil", {ReadingPoint::cast_out, ReadingPoint::fermenter});
}

std::string fermenter(const PlannedBrew& planned, const SheetGuide& guide) {
    const auto dry = dry_hop_lines(guide);
    return weighings(planned, "Into the fermenter", {Stage::fermenter, Stage::dry}) +
           (dry.empty() ? ""
                        : html::of_text("p", capitalised(packaged_then(guide)) + ": " +
                                                 fmt::format("{}", fmt::join(dry, "; "))));
}

std::string notes() {
    return html::element("div", html::of_text("p", "Notes"), "class=\"notes\"");
}

constexpr std::string_view care[] = {
    "Hot liquor, wort and steam scald: gloves and boots on, stand clear when the kettle rises.",
    "Caustic and acid burn: goggles on, never mix them, rinse between.",
    "Fermenting beer gives off carbon dioxide: air the cellar, never put your head in a vessel.",
};

} // namespace

std::string brew_sheet_page(const PlannedBrew& planned, const SheetGuide& guide) {
    const Plan& plan = planned.plan;
    const auto points = expected_points(planned, guide);
    std::string cautions;
    for (const auto caution : care) cautions += std::string(caution) + " ";
    const std::string body =
        line("Brewer " + std::string(blank) + " date " + std::string(blank) + " from " + std::string(blank) + " to " +
             std::string(blank)) +
        mash(planned, points) + boil(planned, points) + fermenter(planned, guide) +
        html::of_text("p", "Take care. " + cautions, "class=\"note\"") +
        html::of_text("p",
                      fmt::format("What is expected is at 20 °C. Then: lotwort brew {} --weighed LOT=AMOUNT for each "
                                  "weight that came out otherwise.",
                                  plan.code.empty() ? "--recipe " + shell_word(plan.recipe) : shell_word(plan.code)),
                      "class=\"note\"") +
        notes();
    return html::whole({.title = fmt::format("{}{}", plan.code.empty() ? "" : plan.code + ": ", plan.recipe),
                        .under = fmt::format("brew day {}, {} L on {}", to_iso(plan.date),
                                             readable(plan.volume->value()), plan.brewhouse.value_or("")),
                        .body = body,
                        .for_paper = true,
                        .rows = rows_of(rows_weighed(planned), most_weighed, most_weighed_close)});
}

std::string count_sheet_page(const std::vector<StockRow>& rows, Date today) {
    std::vector<std::vector<std::string>> lines;
    for (const StockRow& row : rows)
        lines.push_back({std::string(box) + " " + html::escaped(row.lot), html::escaped(row.item),
                         html::escaped(to_text(row.on_hand)), std::string(blank), std::string(blank)});
    std::string body =
        line("Counted by " + std::string(blank) + " on " + std::string(blank) + " at " + std::string(blank));
    body += lines.empty() ? html::of_text("p", "Nothing is on hand.")
                          : form("count", {"Lot", "Item", "Booked", "Counted", "Why it differs"}, lines);
    body += html::of_text("p", "Then: lotwort count LOT AMOUNT --reason WHY for each.", "class=\"note\"") + notes();
    return html::whole({.title = "Stock count",
                        .under = "as booked on " + to_iso(today),
                        .body = body,
                        .for_paper = true,
                        .rows = rows_of(rows.size(), most_counted, most_counted_close)});
}

} // namespace lotwort::report
