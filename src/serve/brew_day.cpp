// The brew day on a telephone: wet hands, steam, one thing after the other.
#include "pages.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/brew_day.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/plan.hpp>
#include <lotwort/report/recipe.hpp>
#include <lotwort/stock/whole_grams.hpp>

namespace lotwort::serve {

namespace {

std::string name_of(ReadingPoint point) {
    switch (point) {
    case ReadingPoint::mash:
        return "Mash";
    case ReadingPoint::first_wort:
        return "First wort";
    case ReadingPoint::kettle_full:
        return "Kettle full";
    case ReadingPoint::cast_out:
        return "Cast-out";
    case ReadingPoint::fermenter:
        return "In the fermenter";
    case ReadingPoint::fermenting:
        return "Fermenting";
    default:
        return "Final gravity";
    }
}

// "expected 27.7 L, 32.1 cm at 75 °C, of 1.0397"
std::string expected(const DayPoint& at) {
    std::string text;
    if (at.litres) text = fmt::format("about {} L at 20 °C", fixed(*at.litres, 1));
    if (at.depth)
        text += fmt::format(", {} cm at {} °C", fixed(at.depth->depth.value(), 1), fixed(at.depth->at.value(), 0));
    if (at.gravity) text += fmt::format("{}{}", text.empty() ? "" : " of ", fixed(at.gravity->value(), 4));
    return text.empty() ? "" : "expected " + text;
}

// "read 28.9 L at 20 °C: 1.2 L over; 1.0400: 0.0012 over"
std::string against(const ReadPoint& read, const DayPoint& at) {
    std::string text = report::reading_text(read.reading);
    if (read.means.volume_20c_l) {
        const double litres = read.means.volume_20c_l->value;
        text += fmt::format("; {} L at 20 °C", fixed(litres, 1));
        if (at.litres)
            text += fmt::format(", {} L {}", fixed(std::abs(litres - *at.litres), 1),
                                litres < *at.litres ? "under" : "over");
    }
    if (read.reading.gravity_sg && at.gravity) {
        const double points = (read.reading.gravity_sg->value() - at.gravity->value()) * 1000.0;
        text += fmt::format("; gravity {} points {}", fixed(std::abs(points), 1), points < 0.0 ? "under" : "over");
    }
    return text;
}

std::string what_to_do(const KettleMend& mend) {
    const std::string litres = fixed(std::abs(mend.water_l), 1);
    if (std::abs(mend.water_l) < 0.05) return "The kettle is as planned: boil as planned.";
    if (mend.water_l > 0.0) return fmt::format("For the planned gravity: add {} L of water.", litres);
    return fmt::format("For the planned gravity: boil {} min longer, {} L off beyond the plan.", fixed(mend.minutes, 0),
                       litres);
}

// A reading of this point: what was read there so far, what is expected, and its fields.
std::string point_card(const BrewDay& day, const DayPoint& at, const Visit& visit) {
    const bool is_next = day.next() == at.point;
    std::string inner = html::of_text("h3", name_of(at.point) + (at.read.empty() ? "" : " ✓"));
    if (const std::string said = expected(at); !said.empty()) inner += html::of_text("p", said, "class=\"expected\"");
    for (const ReadPoint& read : at.read) inner += html::of_text("p", against(read, at), "class=\"done\"");
    const std::string point(word(at.point));
    Form form(visit, "measure", "read-" + point);
    form.hidden("BREW", day.brew->code);
    form.hidden("READING", point);
    const bool has_volume =
        at.point != ReadingPoint::mash && at.point != ReadingPoint::fermenting && at.point != ReadingPoint::final_beer;
    form.raw("<div class=\"row\">");
    if (has_volume) {
        form.compose("READING", "{.volume|L}[@{.hot|C}]");
        form.field({.name = ".volume", .label = "Volume", .unit = "L", .number = true});
        form.field({.name = ".hot", .label = "as hot as", .ghost = "20", .unit = "°C", .number = true});
    }
    if (at.point == ReadingPoint::mash) {
        form.compose("READING", "{.warm|C}");
        form.compose("READING", "pH{.ph}");
        form.field({.name = ".warm", .label = "Temperature", .unit = "°C", .number = true});
        form.field({.name = ".ph", .label = "pH", .number = true});
    } else {
        form.compose("READING", "{.gravity}[@{.sample|C}]");
        form.field({.name = ".gravity", .label = "Gravity", .ghost = "1.0480 or 12P", .number = true});
        form.field({.name = ".sample", .label = "sample at", .ghost = "20", .unit = "°C", .number = true});
    }
    form.raw("</div>\n");
    if (visit.read_only) return html::element("section", inner, "class=\"card\"");
    inner += is_next ? form.html("Book what was read")
                     : form.folded(at.read.empty() ? "Read it" : "Read it again", "Book what was read");
    return html::element("section", inner, is_next ? "class=\"card\" id=\"next\"" : "class=\"card\"");
}

// "mash", "boil,60": where it goes, as --weighed has it.
std::string place_of(const PlannedLine& line) {
    std::string text(word(line.stage));
    if (line.minutes) text += fmt::format(",{}", readable(line.minutes->value()));
    return text;
}

// Each lot to be weighed, by the order of work: the weight that is planned stands in the empty field and is meant by
// it.
void weighings(Form& form, const PlannedBrew& planned, const std::map<std::string, std::string>& items) {
    for (const Stage stage : {Stage::mash, Stage::kettle, Stage::boil, Stage::stand, Stage::fermenter, Stage::dry}) {
        std::vector<const PlannedLine*> lines;
        for (const PlannedLine& line : planned.lines)
            if (line.stage == stage && !line.allotment.taken.empty()) lines.push_back(&line);
        if (lines.empty()) continue;
        std::ranges::stable_sort(lines, [](const PlannedLine* a, const PlannedLine* b) {
            return a->minutes.value_or(Minutes(0.0)) > b->minutes.value_or(Minutes(0.0));
        });
        form.group_begins(report::when_text(stage, {}, {}, {}));
        for (const PlannedLine* line : lines)
            for (const TakenLot& taken : line->allotment.taken) {
                const std::string field = fmt::format(".w{}-{}", line->line, taken.lot);
                const auto [figure, unit] = scale_of(taken.amount);
                const bool is_in_braces = field.find_first_of("{}|[]") == std::string::npos;
                if (!is_in_braces) continue; // such a code is corrected afterwards
                form.compose("weighed", fmt::format("{}={{{}|{}}}@{}", taken.lot, field, unit, place_of(*line)));
                const auto item = items.find(taken.lot);
                const std::string when = line->minutes || line->days || line->temperature
                                             ? report::when_text(stage, line->minutes, line->temperature, line->days)
                                             : "";
                form.field({.name = field,
                            .label = fmt::format("{}, {}", item == items.end() ? line->item : item->second, taken.lot),
                            .hint = when,
                            .ghost = figure,
                            .unit = unit,
                            .number = true});
            }
        form.group_ends();
    }
}

std::string liquor_card(const BrewDay& day) {
    const Forecast& f = day.planned->forecast;
    std::string rows;
    const auto row = [&](std::string_view what, const std::string& value) {
        rows += html::of_text("dt", what) + html::of_text("dd", value);
    };
    row("Liquor to mash", fmt::format("{} L{}", fixed(f.strike_liquor_l, 1),
                                      report::on_the_stick(*day.guide, ReadingPoint::strike_liquor)));
    if (day.guide->strike)
        row("as hot as",
            fmt::format("{} °C, with grain of {} °C, for a rest at {} °C", fixed(day.guide->strike->value(), 0),
                        fixed(day.guide->grain.value(), 0), readable(day.planned->mash_rest->value())));
    row("Liquor to sparge", fmt::format("{} L{}", fixed(f.sparge_liquor_l, 1),
                                        report::on_the_stick(*day.guide, ReadingPoint::sparge_liquor)));
    if (day.planned->boil) row("Boil", readable(day.planned->boil->value()) + " min");
    row("Original gravity",
        fmt::format("{} in {} L", fixed(f.original_gravity_sg.value, 4), fixed(f.volume_l.value, 1)));
    return html::element("section", html::of_text("h3", "Liquor") + html::element("dl", rows), "class=\"card\"");
}

std::string lacking(const PlannedBrew& planned) {
    std::string items;
    for (const PlannedLine& line : planned.lines)
        if (line.is_short())
            items += html::of_text("li", fmt::format("{} of {} lacks", to_text(line.allotment.missing), line.item),
                                   "class=\"missing\"");
    if (items.empty()) return {};
    return html::element("section",
                         html::element("ul", items) +
                             link("/plans/" + in_address(planned.plan.code), "What can stand in", "go"),
                         "class=\"card\"");
}

Page before(const BrewDay& day, const Visit& visit) {
    const PlannedBrew& planned = *day.planned;
    Page page{planned.plan.code + ": " + planned.plan.recipe,
              fmt::format("for {}, on {}", to_iso(planned.plan.date), planned.plan.brewhouse.value_or("")),
              {}};
    Form form(visit, "brew", "weigh");
    form.hidden("CODE", planned.plan.code);
    form.raw(html::of_text("p",
                           "An empty field means: weighed as planned. Hops and what comes later may be put right when "
                           "they have gone in."));
    weighings(form, planned, day.items);
    if (planned.is_short()) form.check("as-reserved", "Brew with what is reserved, though the plan asks for more");
    page.body = lacking(planned) + liquor_card(day);
    if (!visit.read_only)
        page.body += html::element("section", html::of_text("h3", "Weigh") + form.html("Weighed: begin the brew", true),
                                   "class=\"card\"");
    return page;
}

// What went in, each with a field to put it right.
std::string gone_in(const BrewDay& day, const Visit& visit) {
    std::string rows;
    for (std::size_t i = 0; i < day.brew->additions.size(); ++i) {
        const Addition& addition = day.brew->additions[i];
        const auto item = day.items.find(addition.lot);
        const std::string when = report::when_text(addition.stage, addition.minutes, {}, {});
        std::string inner = said(fmt::format("{} of {}, {}, {}", to_text(addition.amount),
                                             item == day.items.end() ? "" : item->second, addition.lot, when));
        if (!visit.read_only && addition.lot.find_first_of("{}|[]") == std::string::npos) {
            Form form(visit, "brew", fmt::format("right-{}", i));
            form.hidden("CODE", day.brew->code);
            std::string place(word(addition.stage));
            if (addition.mash && *addition.mash > 1) place += std::to_string(*addition.mash);
            if (addition.minutes) place += fmt::format(",{}", readable(addition.minutes->value()));
            form.compose("correct",
                         fmt::format("{}={{.in|{}}}@{}", addition.lot, scale_of(addition.amount).second, place));
            form.field({.name = ".in", .label = "in truth", .unit = scale_of(addition.amount).second, .number = true});
            inner += form.folded("Another weight", "Put it right");
        }
        rows += html::element("li", inner, "class=\"fine\"");
    }
    return html::element(
        "details",
        html::of_text("summary", fmt::format("What went in: {} additions", day.brew->additions.size())) +
            html::element("ul", rows, "class=\"todo\""),
        "class=\"card\"");
}

std::string packaging(const BrewDay& day, const Visit& visit) {
    std::string inner = html::of_text("h3", "Packages");
    for (const Package& package : day.packages)
        inner += html::element("p", link("/ask/trace?run=&CODE=" + in_address(package.code), package.code),
                               "class=\"done\"");
    if (visit.read_only) return inner;
    Form form(visit, "package", "package");
    form.hidden("CODE", day.brew->code);
    form.raw("<div class=\"row\">");
    form.field({.name = "COUNT", .label = "How many", .number = true, .required = true});
    form.choice({.name = "WHAT", .label = "of what"}, {"bottles", "kegs", "cans", "casks"});
    form.compose("WHAT", "{.each|L}");
    form.field({.name = ".each", .label = "each holds", .unit = "L", .number = true});
    form.raw("</div>\n");
    inner += form.folded("Package it", "Book the packages", true);
    return html::element("section", inner, "class=\"card\"");
}

// Of the extract that was mashed, as it is known so far.
std::string efficiencies(const BrewDay& day) {
    std::string text;
    if (day.kettle_efficiency)
        text = fmt::format("In the kettle: {} % of the extract. ", fixed(*day.kettle_efficiency * 100.0, 1));
    if (day.efficiency)
        text += fmt::format("Brewhouse efficiency by the readings: {} %", fixed(*day.efficiency * 100.0, 1));
    if (day.efficiency && day.planned)
        text += fmt::format("; {} % was planned with", fixed(day.planned->forecast.brewhouse_efficiency * 100.0, 1));
    return text;
}

Page begun(const BrewDay& day, const Visit& visit) {
    const Brew& brew = *day.brew;
    Page page{brew.code + ": " + brew.recipe.value_or("a brew of its own"),
              fmt::format("brewed on {}, on {}{}", to_iso(brew.date), brew.brewhouse,
                          brew.plan ? ", from " + *brew.plan : ""),
              {}};
    if (brew.abandoned) page.body += html::of_text("p", "Given up: " + *brew.abandoned, "class=\"missing\"");
    const auto next = day.next();
    page.body +=
        html::of_text("p", next ? "Measure next: " + name_of(*next) : "All of it is measured.", "class=\"big\"");
    const auto cast_out = std::ranges::find(day.points, ReadingPoint::cast_out, &DayPoint::point);
    if (day.kettle && cast_out->read.empty()) page.body += html::of_text("p", what_to_do(*day.kettle), "class=\"big\"");
    page.body += html::of_text("p", efficiencies(day));
    // what is to be read next is under the thumb; the others by the order of work
    for (const bool is_next : {true, false})
        for (const DayPoint& at : day.points)
            if ((next == at.point) == is_next) page.body += point_card(day, at, visit);
    page.body += gone_in(day, visit) + packaging(day, visit);
    const std::string code = in_address(brew.code);
    page.body += html::element("p", link("/brews/" + code, "Its balance and efficiencies", "go") + " " +
                                        link("/ask/explain?run=&BREW=" + code, "Why it differs", "go") + " " +
                                        link("/ask/measure?BREW=" + code, "Any other reading", "go"));
    return page;
}

} // namespace

Page brew_days_page(const Desk& desk, const Visit&) {
    std::string items;
    const auto item = [&](const std::string& code, const std::string& what, const std::string& button, bool is_fine) {
        items += html::element("li", html::of_text("span", what) + link("/brew-day/" + in_address(code), button, "go"),
                               is_fine ? "class=\"fine\"" : "");
    };
    for (const Plan& plan : desk.ledger.definitions().plans)
        item(plan.code, fmt::format("{}: {} for {}", plan.code, plan.recipe, to_iso(plan.date)), "Brew it", false);
    std::vector<Brew> brews = desk.ledger.brews();
    std::ranges::reverse(brews);
    if (brews.size() > 8) brews.resize(8);
    for (const Brew& brew : brews)
        item(brew.code, fmt::format("{}: {} of {}", brew.code, brew.recipe.value_or(""), to_iso(brew.date)),
             "Measure it", true);
    if (items.empty()) items = html::element("li", "Nothing is planned, and nothing was brewed yet.");
    return {"Brew day", "open plans, and the last brews", html::element("ul", items, "class=\"todo\"")};
}

Page brew_day_page(const Desk& desk, const Visit& visit, const std::string& code) {
    const BrewDay day = brew_day_of(desk, code);
    return day.brew ? begun(day, visit) : before(day, visit);
}

} // namespace lotwort::serve
