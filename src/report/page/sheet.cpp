// The sheets that are printed and filled in by hand: the brew day's and the count's.
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/report/movement.hpp>
#include <lotwort/report/recipe.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

// Rows that a page of A4 has room for beside all else, with room to write in each.
constexpr std::size_t most_weighed = 14, most_counted = 33;

constexpr std::string_view blank = "<span class=\"blank\"> </span>", box = "<span class=\"box\"> </span>";

std::string degrees() { // to be written in
    return std::string(blank) + " " + html::escaped("°C");
}

// A table whose cells are HTML already: boxes and blanks.
std::string form(const std::vector<std::string>& headings, const std::vector<std::vector<std::string>>& rows) {
    if (rows.empty()) return "";
    std::string head, body;
    for (const auto& heading : headings) head += html::of_text("th", heading, "scope=\"col\"");
    for (const auto& row : rows) {
        std::string cells;
        for (const auto& cell : row) cells += html::element("td", cell);
        body += html::element("tr", cells);
    }
    return html::element(
        "div", html::element("table", html::element("thead", html::element("tr", head)) + html::element("tbody", body)),
        "class=\"wide\"");
}

std::string weighings(const PlannedBrew& planned, std::initializer_list<Stage> stages) {
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
                rows.push_back({std::string(box), html::escaped(lot), html::escaped(item),
                                html::escaped(to_text(amount)), std::string(blank),
                                html::escaped(when_text(line->stage, line->minutes, line->temperature, line->days))});
            };
            for (const auto& taken : line->allotment.taken) row(taken.lot, taken.amount);
            if (line->is_short()) row("(lacking)", line->allotment.missing);
        }
    }
    return form({"", "Lot", "Item", "Weigh", "Was", "When"}, rows);
}

std::size_t rows_weighed(const PlannedBrew& planned) {
    std::size_t rows = 0;
    for (const auto& line : planned.lines) rows += line.allotment.taken.size() + (line.is_short() ? 1 : 0);
    return rows;
}

struct Read {
    std::string what, about;
    bool volume = true, gravity = false;
};

// Points to read, with what is expected and room for what was.
std::string readings(const std::vector<Read>& points) {
    std::vector<std::vector<std::string>> rows;
    const std::string none = "–", with_temperature = std::string(blank) + " at " + degrees();
    for (const Read& read : points)
        rows.push_back({html::escaped(read.what), html::escaped(read.about), read.volume ? with_temperature : none,
                        read.gravity ? with_temperature : none});
    return form({"Read", "Expected", "Litres", "Gravity"}, rows);
}

std::string about(double litres, const SheetGuide& guide, ReadingPoint point) {
    return fixed(litres, 1) + " L" + on_the_stick(guide, point);
}

std::string listed(const std::string& heading, const std::vector<std::string>& lines, bool is_full) {
    if (lines.empty()) return "";
    if (is_full) return html::of_text("p", fmt::format("{}: {}", heading, fmt::join(lines, "; ")));
    std::string items;
    for (const auto& line : lines) items += html::of_text("li", line);
    return html::of_text("p", heading + ":") + html::element("ul", items);
}

std::string mash(const PlannedBrew& planned, const SheetGuide& guide) {
    const auto& f = planned.forecast;
    std::string text = readings({{"strike liquor", about(f.strike_liquor_l, guide, ReadingPoint::strike_liquor)},
                                 {"sparge liquor", about(f.sparge_liquor_l, guide, ReadingPoint::sparge_liquor)},
                                 {"first wort", "", false, true},
                                 {"last runnings", "", false, true}}) +
                       weighings(planned, {Stage::mash});
    std::string rest;
    if (guide.strike)
        rest += fmt::format("Strike at {} °C or a little above (grain at {} °C). ", fixed(guide.strike->value(), 0),
                            readable(guide.grain.value()));
    if (planned.mash_rest) rest += fmt::format("Rest at {} °C", readable(planned.mash_rest->value()));
    return text + html::element("p", html::escaped(rest) + (rest.empty() ? "Mash" : "") + ": was " + degrees() +
                                         ", pH " + std::string(blank));
}

std::string boil(const PlannedBrew& planned, const SheetGuide& guide, bool is_full) {
    const auto& f = planned.forecast;
    std::string text = weighings(planned, {Stage::kettle, Stage::boil, Stage::stand}) +
                       readings({{"kettle full", about(f.kettle_full_l, guide, ReadingPoint::kettle_full), true, true},
                                 {"cast-out", about(f.cast_out_l, guide, ReadingPoint::cast_out), true, true}}) +
                       listed("Kettle full: " + expected_in_kettle(guide), mend_lines(guide), is_full);
    return text + html::element("p", (planned.boil ? fmt::format("Boil {} min", readable(planned.boil->value()))
                                                   : std::string("Boil")) +
                                         ": was " + std::string(blank) + " min");
}

std::string fermenter(const PlannedBrew& planned, const SheetGuide& guide, bool is_full) {
    const auto& f = planned.forecast;
    return readings({{"in the fermenter",
                      fmt::format("{} of {}", about(f.volume_l.value, guide, ReadingPoint::fermenter),
                                  with_sd(f.original_gravity_sg.value, f.original_gravity_sg.sd, {}, 4)),
                      true, true}}) +
           weighings(planned, {Stage::fermenter, Stage::dry}) +
           listed(packaged_then(guide), dry_hop_lines(guide), is_full);
}

constexpr std::string_view care[] = {
    "Hot liquor, wort and steam scald: gloves and boots on, stand clear when the kettle rises.",
    "Caustic and acid burn: goggles on, never mix them, rinse between.",
    "Fermenting beer gives off carbon dioxide: air the cellar, never put your head in a vessel.",
};

} // namespace

std::string brew_sheet_page(const PlannedBrew& planned, const SheetGuide& guide) {
    const Plan& plan = planned.plan;
    std::string cautions;
    const bool is_full = rows_weighed(planned) + guide.mends.size() + guide.dry_hops.size() > most_weighed;
    for (const auto line : care) cautions += is_full ? std::string(line) + " " : html::of_text("li", line);
    const std::string body =
        html::section("Liquor and mash", mash(planned, guide)) + html::section("Boil", boil(planned, guide, is_full)) +
        html::section("Fermenter", fermenter(planned, guide, is_full)) +
        html::section("Take care", html::element(is_full ? "p" : "ul", cautions)) +
        html::of_text("p",
                      fmt::format("Then: lotwort brew {} --weighed LOT=AMOUNT for each weight that came out "
                                  "otherwise. Litres expected are at 20 °C.",
                                  plan.code.empty() ? "--recipe " + shell_word(plan.recipe) : shell_word(plan.code)));
    return html::whole({fmt::format("{}{}", plan.code.empty() ? "" : plan.code + ": ", plan.recipe),
                        fmt::format("brew day {}, {} L on {}", to_iso(plan.date), readable(plan.volume->value()),
                                    plan.brewhouse.value_or("")),
                        body, true, is_full});
}

std::string count_sheet_page(const std::vector<StockRow>& rows, Date today) {
    std::vector<std::vector<std::string>> lines;
    for (const StockRow& row : rows)
        lines.push_back({std::string(box), html::escaped(row.lot), html::escaped(row.item),
                         html::escaped(to_text(row.on_hand)), std::string(blank), std::string(blank)});
    std::string body = lines.empty() ? html::of_text("p", "Nothing is on hand.")
                                     : form({"", "Lot", "Item", "Booked", "Counted", "Why it differs"}, lines);
    body += html::element("p", "Counted by " + std::string(blank) + " on " + std::string(blank));
    body += html::of_text("p", "Then: lotwort count LOT AMOUNT --reason WHY for each.");
    return html::whole({"Stock count", "as booked on " + to_iso(today), body, true, rows.size() > most_counted});
}

} // namespace lotwort::report
