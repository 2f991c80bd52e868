#include "doubt_readings.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/infer/reading_meaning.hpp>
#include <lotwort/report/measure.hpp>
#include <lotwort/wort/gravity.hpp>
#include <utility>

namespace lotwort::verbs {

namespace {

constexpr Celsius warmest_pitch(45.0);                // common practice: no yeast is pitched above it
constexpr double about_half = 0.15, alike_sg = 0.003; // of half the brew; two readings of one wort
constexpr double least_fall_sg = 0.003, off_plan = 0.006, certain_sd = 2.0; // of a wort read; of one that was meant

struct Seen {
    const Reading* reading;
    std::optional<double> litres, sg;
    double sg_sd = 0.0;
};

// What cannot be worked out is another answer's to say.
std::vector<Seen> seen_at(ReadingPoint point, const std::vector<Reading>& readings, const ReadingPlace& place) {
    std::vector<Seen> seen;
    for (const Reading& r : readings) {
        if (r.point != point || r.set_aside) continue;
        try {
            const ReadingMeaning m = meaning_of(r, place.brewhouse, place.instruments);
            Seen& s = seen.emplace_back(Seen{&r, {}, {}});
            if (m.volume_20c_l) s.litres = m.volume_20c_l->value;
            if (!m.extract_plato) continue;
            const auto sg = wort::specific_gravity_of(Dual<1>::parameter(m.extract_plato->value / 100.0, 0));
            s.sg = sg.value;
            s.sg_sd = sg.slope[0] * m.extract_plato->sd / 100.0;
        } catch (const Error&) {
            continue;
        }
    }
    return seen;
}
std::vector<Seen> seen_at(ReadingPoint, const std::vector<Reading>&&, const ReadingPlace&) = delete;

// The last that has both; a new one before one that stands.
std::optional<Seen> last_whole(ReadingPoint point, const ReadNow& read, const ReadingPlace& place) {
    for (const auto* list : {&read.fresh, &read.standing}) {
        const auto seen = seen_at(point, *list, place);
        for (auto s = seen.rbegin(); s != seen.rend(); ++s)
            if (s->litres && s->sg) return *s;
    }
    return std::nullopt;
}

ReconcileInput all_read(const ReadingPlace& place, const ReadNow& read) {
    ReconcileInput all;
    all.brew = place.brew;
    all.brewhouse = place.brewhouse;
    all.instruments = place.instruments;
    all.brew.readings = read.standing;
    all.brew.readings.insert(all.brew.readings.end(), read.fresh.begin(), read.fresh.end());
    return all;
}

bool any_at(ReadingPoint point, const ReadNow& read) {
    const auto is_there = [&](const Reading& r) { return r.point == point && !r.set_aside; };
    return std::ranges::any_of(read.fresh, is_there) || std::ranges::any_of(read.standing, is_there);
}

} // namespace

void doubt_swapped(const Call& call, const ReadingPlace& place, const ReadNow& read) {
    const std::string measure = "lotwort measure " + shell_word(place.brew.code);
    const auto kettle = last_whole(ReadingPoint::kettle_full, read, place),
               fermenter = last_whole(ReadingPoint::fermenter, read, place);
    const auto is_new = [&](const Seen& s) {
        return std::ranges::find(read.fresh, s.reading->id, &Reading::id) != read.fresh.end();
    };
    const bool both = kettle && fermenter && (is_new(*kettle) || is_new(*fermenter));
    std::string hint =
        "if the lines are swapped, write each at its point: kettle-full, then fermenter; liquor that was "
        "added is kettle-liquor or top-up";
    if (both && is_new(*kettle) && is_new(*fermenter))
        hint = fmt::format(
            "if the lines are swapped: {} kettle-full {} fermenter {}; liquor that was added is kettle-liquor "
            "or top-up",
            measure, report::typed_reading(*fermenter->reading), report::typed_reading(*kettle->reading));
    for (const Reading& r : read.fresh) {
        if (r.point != ReadingPoint::fermenter) continue;
        const Celsius at = std::max(r.volume_at.value_or(Celsius(0.0)), r.temperature.value_or(Celsius(0.0)));
        call.believe(at <= warmest_pitch,
                     fmt::format("fermenter at {} °C is warmer than any yeast bears", readable(at.value())), hint);
    }
    if (!both || read.brews_in_fermenter > 1 || any_at(ReadingPoint::top_up, read)) return;
    call.believe(*fermenter->litres <= *kettle->litres || *fermenter->sg >= *kettle->sg,
                 fmt::format("{} L of {} in the fermenter is more and weaker than the full kettle, {} L of {}",
                             fixed(*fermenter->litres, 1), fixed(*fermenter->sg, 4), fixed(*kettle->litres, 1),
                             fixed(*kettle->sg, 4)),
                 hint);
}

void doubt_halves(const Call& call, const ReadingPlace& place, const ReadNow& read, Litres meant) {
    if (read.brews_in_fermenter > 1 || any_at(ReadingPoint::top_up, read)) return;
    const auto fresh = seen_at(ReadingPoint::fermenter, read.fresh, place);
    auto all = seen_at(ReadingPoint::fermenter, read.standing, place);
    all.insert(all.end(), fresh.begin(), fresh.end());
    std::erase_if(all, [](const Seen& s) { return !s.litres; });
    if (fresh.empty() || all.size() != 2) return;
    const Seen &one = all.front(), &other = all.back();
    const auto is_half = [&](const Seen& s) { return std::abs(*s.litres / (0.5 * meant.value()) - 1.0) <= about_half; };
    const bool alike = !one.sg || !other.sg || std::abs(*one.sg - *other.sg) <= alike_sg;
    if (!is_half(one) || !is_half(other) || !alike) return;
    const double sum = std::round(10.0 * (*one.litres + *other.litres)) / 10.0;
    Reading whole = *one.reading;
    whole.depth.reset();
    whole.mass.reset();
    whole.volume_at.reset();
    whole.volume = Litres(sum);
    const std::string code = shell_word(place.brew.code);
    const bool stands = std::ranges::find(read.standing, one.reading->id, &Reading::id) != read.standing.end();
    const std::string as_sum = stands
                                   ? fmt::format("lotwort measure {} --correct {} volume={}L", code,
                                                 shell_word(one.reading->id), readable(sum))
                                   : fmt::format("lotwort measure {} fermenter {}", code, report::typed_reading(whole));
    call.believe(
        false,
        fmt::format("all of this brew is about half of the {} L that were meant, and is read twice: {} and {} L",
                    readable(meant.value()), fixed(*one.litres, 1), fixed(*other.litres, 1)),
        fmt::format("two halves are booked as their sum: {}\nread twice, it is booked once: {}", as_sum,
                    stands
                        ? "it stands already as " + one.reading->id
                        : fmt::format("lotwort measure {} fermenter {}", code, report::typed_reading(*one.reading))));
}

void doubt_fermenting(const Call& call, const ReadingPlace& place, const ReadNow& read,
                      const std::optional<Recipe>& recipe) {
    const auto days = (call.on() - place.brew.date).count();
    if (days < 1) return;
    const ReconcileInput now = all_read(place, read);
    std::optional<Estimate> wort;
    for (const ReadingPoint point : {ReadingPoint::cast_out, ReadingPoint::fermenter})
        for (const Seen& s : seen_at(point, read.standing, place))
            if (s.sg) wort = filled_up(now, *s.reading, normal_estimate(*s.sg, s.sg_sd));
    double least = least_fall_sg;
    if (!wort && recipe && recipe->original_gravity) {
        wort = normal_estimate(recipe->original_gravity->value(), 0.0);
        least = off_plan;
    }
    if (!wort) return;
    for (const Seen& s : seen_at(ReadingPoint::fermenter, read.fresh, place)) {
        if (!s.sg) continue;
        if (recipe && recipe->original_gravity && std::abs(recipe->original_gravity->value() - *s.sg) <= least_fall_sg)
            continue; // the wort as it was meant: what was read before was misread
        const double fall = wort->value - *s.sg;
        call.believe(
            fall <= std::max(least, certain_sd * std::hypot(wort->sd, s.sg_sd)),
            fmt::format(
                "{} in the fermenter, {} after the brew, is wort that does not ferment yet, though below the {} it was",
                fixed(*s.sg, 4), days == 1 ? "a day" : fmt::format("{} days", days), fixed(wort->value, 4)),
            fmt::format("if it ferments: lotwort measure {} fermenting {}", shell_word(place.brew.code),
                        report::typed_gravity(*s.reading)));
    }
}

std::vector<std::string> liquor_remarks(const ReadingPlace& place, const ReadNow& read) {
    std::vector<std::string> remarks;
    const ReconcileInput now = all_read(place, read);
    for (const auto& [liquor_at, into] : {std::pair{ReadingPoint::top_up, ReadingPoint::fermenter},
                                          std::pair{ReadingPoint::kettle_liquor, ReadingPoint::kettle_full}})
        for (const Reading& liquor : read.fresh) {
            if (liquor.point != liquor_at || liquor.set_aside || liquor.id.starts_with(before_id)) continue;
            const auto seen = seen_at(into, now.brew.readings, place);
            if (seen.empty() || std::ranges::any_of(seen, [&](const Seen& s) {
                    return taken_after(now.brew, *s.reading, liquor); // what came of it was read
                }))
                continue;
            const Seen& last = seen.back();
            std::string comes_to;
            if (last.litres) comes_to = readable(*last.litres + liquor_after(now, *last.reading)) + " L";
            if (last.sg)
                comes_to += fmt::format("{}{}", comes_to.empty() ? "" : " of ",
                                        fixed(filled_up(now, *last.reading, normal_estimate(*last.sg, 0.0)).value, 4));
            const std::string measure = "lotwort measure " + shell_word(place.brew.code);
            remarks.push_back(fmt::format(
                "{0} is taken to have gone in after {1} was read: {2}. If {1} had it in already:\n"
                "  {3} --set-aside {0} --reason \"in {1}\"\n"
                "  {3} {4} {5} --before {1}",
                liquor.id, last.reading->id, comes_to, measure, word(liquor.point), report::typed_volume(liquor)));
        }
    return remarks;
}

} // namespace lotwort::verbs
