// What is expected at each point of the brew day, and what to do where something else is read.
#include "plan_words.hpp"
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/brew.hpp>

namespace lotwort::report {

namespace {

std::string gravity_text(const std::optional<SpecificGravity>& gravity) {
    return gravity ? fixed(gravity->value(), 4) : "";
}

std::string stick_text(const SheetGuide& guide, ReadingPoint point) {
    const std::string said = on_the_stick(guide, point);
    return said.empty() ? "" : said.substr(2); // behind its comma
}

std::string mends_text(const std::vector<KettleMend>& mends) {
    return fmt::format("{}", fmt::join(mends_in_words(mends), "; "));
}

// Where the mash is behind, time and stirring still help; below 2 °P the husk gives more than the malt. Both are common
// practice.
constexpr std::string_view weak_first_wort = "0.004 below: stir, rest 15 min longer, test with iodine";
constexpr std::string_view last_runnings_stop = "below 1.008: stop, boil longer instead";

} // namespace

std::vector<PointExpected> expected_points(const PlannedBrew& planned, const SheetGuide& guide) {
    const Forecast& f = planned.forecast;
    std::vector<PointExpected> points;
    const auto add = [&](std::string what, ReadingPoint point, std::optional<double> litres, std::string gravity,
                         std::string when_off) {
        points.push_back(
            {std::move(what), point, litres, std::move(gravity), stick_text(guide, point), std::move(when_off)});
    };
    const std::string strike =
        guide.strike
            ? fmt::format("at {} °C or a little above, for grain at {} °C: heat or cool it before the malt goes in",
                          fixed(guide.strike->value(), 0), readable(guide.grain.value()))
            : "";
    add("strike liquor", ReadingPoint::strike_liquor, f.strike_liquor_l, "", strike);
    add("sparge liquor", ReadingPoint::sparge_liquor, f.sparge_liquor_l, "", "");
    add("first wort", ReadingPoint::first_wort,
        guide.first_wort_l > 0.0 ? std::optional(guide.first_wort_l) : std::nullopt,
        gravity_text(guide.first_wort_gravity), guide.first_wort_gravity ? std::string(weak_first_wort) : "");
    add("last runnings", ReadingPoint::last_runnings, std::nullopt, gravity_text(guide.last_runnings_gravity),
        f.sparge_liquor_l > 0.0 ? std::string(last_runnings_stop) : "");
    add("kettle full", ReadingPoint::kettle_full, f.kettle_full_l,
        f.extract_grist_kg > 0.0 ? fixed(guide.kettle_gravity.value(), 4) : "", mends_text(guide.mends));
    add("cast-out", ReadingPoint::cast_out, f.cast_out_l, gravity_text(guide.cast_out_gravity),
        mends_text(guide.cast_out_mends));
    add("fermenter", ReadingPoint::fermenter, f.volume_l.value,
        with_sd(f.original_gravity_sg.value, f.original_gravity_sg.sd, {}, 4),
        guide.fermenter_water_l > 0.0
            ? fmt::format("each 0.001 above: {} L of water thins it", fixed(guide.fermenter_water_l, 1))
            : "");
    return points;
}

} // namespace lotwort::report
