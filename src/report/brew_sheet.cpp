// The brew day's sheet: what is to be done in the order of work, with room to write down what was.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/plan.hpp>
#include <lotwort/report/recipe.hpp>

namespace lotwort::report {

namespace {

constexpr std::string_view blank = "________";

// One weighing a line: a box, the lot, how much, and room for what it was.
std::string weighings(const PlannedBrew& planned, Stage stage) {
    std::vector<const PlannedLine*> lines;
    for (const auto& line : planned.lines)
        if (line.stage == stage) lines.push_back(&line);
    // hops go in as the clock runs down
    std::ranges::stable_sort(lines, [](const PlannedLine* a, const PlannedLine* b) {
        return a->minutes.value_or(Minutes(0.0)) > b->minutes.value_or(Minutes(0.0));
    });
    std::string text;
    for (const auto* line : lines) {
        const std::string when = line->minutes || line->temperature || line->days
                                     ? when_text(line->stage, line->minutes, line->temperature, line->days)
                                     : "";
        const auto row = [&](const std::string& lot, Amount amount) {
            const auto other = planned.stand_ins.find(lot); // what is in the sack is what must be read on it
            const std::string& item = other == planned.stand_ins.end() ? line->item : other->second;
            text += fmt::format("  [ ] {:<10} {:<22} {:>9}  was {}  {}", lot, item, on_the_scale(amount), blank, when);
            text.erase(text.find_last_not_of(' ') + 1);
            text += "\n";
        };
        for (const auto& taken : line->allotment.taken) row(taken.lot, taken.amount);
        if (const Amount rest = not_yet(*line); rest.units > 0) row("(to come)", rest);
        if (line->is_short()) row("(lacking)", line->allotment.missing);
    }
    return text;
}

std::string section(std::string_view heading, const std::string& body) {
    return body.empty() ? "" : fmt::format("\n{}\n{}", heading, body);
}

// Below a heading line: "  HEADING\n    LINE\n"; nothing where there are no lines.
std::string listed(std::string_view heading, const std::vector<std::string>& lines) {
    return lines.empty() ? "" : fmt::format("  {}\n    {}\n", heading, fmt::join(lines, "\n    "));
}

std::string liquor_depths(const SheetGuide& guide) {
    std::string text;
    for (const auto& [point, what] :
         {std::pair(ReadingPoint::strike_liquor, "to mash"), {ReadingPoint::sparge_liquor, "to sparge"}})
        if (const std::string depth = on_the_stick(guide, point); !depth.empty())
            text += fmt::format("  {}{}\n", what, depth);
    return text;
}

std::string mash_text(const PlannedBrew& planned) {
    std::string text = weighings(planned, Stage::mash);
    if (planned.mash_rest)
        text += fmt::format("  rest at {} °C: was {} °C, pH {}\n", readable(planned.mash_rest->value()), blank, blank);
    return text;
}

std::string boil_text(const PlannedBrew& planned, const SheetGuide& guide) {
    std::string text = fmt::format("  kettle full about {} L{}: was {} L at {} °C,\n    gravity {} at {} °C\n",
                                   fixed(planned.forecast.kettle_full_l, 1),
                                   on_the_stick(guide, ReadingPoint::kettle_full), blank, blank, blank, blank);
    text += listed(expected_in_kettle(guide), mend_lines(guide));
    text += weighings(planned, Stage::kettle) + weighings(planned, Stage::boil) + weighings(planned, Stage::stand);
    if (planned.boil) text += fmt::format("  boil {} min: was {} min\n", readable(planned.boil->value()), blank);
    text += fmt::format("  cast-out about {} L{}: was {} L at {} °C\n", fixed(planned.forecast.cast_out_l, 1),
                        on_the_stick(guide, ReadingPoint::cast_out), blank, blank);
    return text;
}

std::string fermenter_text(const PlannedBrew& planned, const SheetGuide& guide) {
    const auto& f = planned.forecast;
    std::string text =
        fmt::format("  about {} L{} of {}: was {} L,\n    gravity {} at {} °C\n", fixed(f.volume_l.value, 1),
                    on_the_stick(guide, ReadingPoint::fermenter),
                    with_sd(f.original_gravity_sg.value, f.original_gravity_sg.sd, {}, 4), blank, blank, blank);
    return text + weighings(planned, Stage::fermenter) + weighings(planned, Stage::dry) +
           listed(packaged_then(guide), dry_hop_lines(guide));
}

std::string indented(const std::string& text) {
    std::string out = "  ";
    for (const char c : text) {
        out += c;
        if (c == '\n') out += "  ";
    }
    out.erase(out.find_last_not_of(' ') + 1);
    return out;
}

} // namespace

std::string expected_in_kettle(const SheetGuide& guide) {
    return fmt::format("gravity {} is expected there, cooled to 20 °C; at that volume, where it is",
                       fixed(guide.kettle_gravity.value(), 4));
}

std::string packaged_then(const SheetGuide& guide) {
    return fmt::format("dry hops, where it is packaged on {}", to_iso(guide.packaged));
}

std::string on_the_stick(const SheetGuide& guide, ReadingPoint point) {
    const auto found = std::ranges::find(guide.depths, point, &StickDepth::point);
    return found == guide.depths.end()
               ? ""
               : fmt::format(", {} cm at {} °C", fixed(found->depth.value(), 1), fixed(found->at.value(), 0));
}

std::vector<std::string> mend_lines(const SheetGuide& guide) {
    return mends_in_words(guide.mends);
}

std::vector<std::string> mends_in_words(const std::vector<KettleMend>& mends) {
    std::vector<std::string> lines;
    for (const KettleMend& mend : mends) {
        const std::string litres = fixed(std::abs(mend.water_l), 1);
        if (mend.water_l > 0.0)
            lines.push_back(fmt::format("{}: add {} L of water", fixed(mend.read.value(), 4), litres));
        else if (mend.minutes > 0.0)
            lines.push_back(fmt::format("{}: boil off {} L more, {} min longer", fixed(mend.read.value(), 4), litres,
                                        fixed(mend.minutes, 0)));
    }
    return lines;
}

std::vector<std::string> dry_hop_lines(const SheetGuide& guide) {
    std::vector<std::string> lines;
    for (const DryHopDay& hop : guide.dry_hops)
        lines.push_back(fmt::format("{}: in on {}, for {}", hop.item, to_iso(hop.in), counted(hop.days, "day")));
    return lines;
}

std::string brew_sheet(const PlannedBrew& planned, const SheetGuide& guide) {
    const auto& plan = planned.plan;
    std::string text = fmt::format("{}  {}  {}  {} L on {}\n", plan.code, plan.recipe, to_iso(plan.date),
                                   readable(plan.volume->value()), plan.brewhouse.value_or(""));
    text += section("Liquor", indented(liquor_text(planned, guide.strike, guide.grain)) + liquor_depths(guide));
    text += section("Mash", mash_text(planned));
    text += section("Boil", boil_text(planned, guide));
    text += section("Fermenter", fermenter_text(planned, guide));
    text += section("Take care", "  Hot liquor, wort and steam scald: gloves and boots on, stand clear when the\n"
                                 "    kettle rises.\n"
                                 "  Caustic and acid burn: goggles on, never mix them, rinse between.\n"
                                 "  Fermenting beer gives off carbon dioxide: air the cellar, never put your head\n"
                                 "    in a vessel.\n");
    text += fmt::format("\nThen: lotwort brew {} --weighed LOT=AMOUNT\n  for each weight that came out otherwise.\n",
                        shell_word(plan.code));
    return text;
}

} // namespace lotwort::report
