#include "final_beer.hpp"
#include "reading_equation.hpp"
#include "reading_figure.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iterator>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/infer/beer_as_read.hpp>
#include <lotwort/infer/fermentation.hpp>
#include <lotwort/infer/late_extract.hpp>
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/stock/fermentable.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort {

namespace {

using namespace infer_detail;

double plato_of(double sg) {
    return 100.0 * wort::mass_fraction_of_gravity(sg);
}

// Of one reading alone, as reconcile would take it for the final one.
std::optional<double> gravity_of(const ReconcileInput& input, Reading reading,
                                 const std::optional<Estimate>& original) {
    if (!reading.gravity_sg && !reading.gravity_plato && !reading.brix) return std::nullopt;
    ReconcileInput alone = input;
    reading.point = ReadingPoint::final_beer;
    alone.brew.readings = {std::move(reading)};
    alone.earlier_in_fermenter.clear();
    alone.later_in_fermenter.clear();
    const auto found = final_beer(alone, original).gravity;
    return found ? std::optional(found->sg.value) : std::nullopt;
}

// A temperature or pH alone belongs to the gravity of its day that has none.
void put_together(std::vector<FermentationDay>& days) {
    const auto takes_in = [](FermentationDay& day, const FermentationDay& other) {
        const bool fits =
            day.gravity_sg && day.on == other.on && !(day.temperature && other.temperature) && !(day.ph && other.ph);
        if (!fits) return false;
        if (other.temperature) day.temperature = other.temperature;
        if (other.ph) day.ph = other.ph;
        return true;
    };
    std::vector<FermentationDay> alone, kept;
    for (FermentationDay& day : days) (day.gravity_sg ? kept : alone).push_back(std::move(day));
    for (FermentationDay& other : alone)
        if (std::ranges::none_of(kept, [&](FermentationDay& day) { return takes_in(day, other); }))
            kept.push_back(std::move(other));
    std::ranges::stable_sort(kept, {}, &FermentationDay::on);
    days = std::move(kept);
}

// A sample out of the fermenter is as warm as the beer, where nobody read that.
std::optional<Celsius> sample_temperature(const ReconcileInput& input, const FermentationDay& day) {
    const auto reading = std::ranges::find(input.brew.readings, day.reading, &Reading::id);
    return reading == input.brew.readings.end() ? std::nullopt : reading->gravity_at;
}

std::vector<FermentationDay> days_of(const ReconcileInput& input, const std::optional<Estimate>& original) {
    std::vector<FermentationDay> days;
    for (const Reading& r : input.brew.readings) {
        if (!is_fermented_point(r.point) || r.set_aside || !r.on) continue;
        // the wort as it was then: of what has been thinned since, the stronger one
        const auto then =
            original ? std::optional(thinned(*original, 1.0 / strength_left(input, r, original->value))) : std::nullopt;
        FermentationDay day{r.id, *r.on, gravity_of(input, r, then), {}, r.temperature, r.ph};
        if (day.gravity_sg && then)
            day.attenuation_pct = wort::attenuation_pct(plato_of(then->value), plato_of(*day.gravity_sg));
        if (day.gravity_sg || day.temperature || day.ph) days.push_back(std::move(day));
    }
    std::ranges::stable_sort(days, {}, &FermentationDay::on);
    put_together(days);
    for (FermentationDay& day : days)
        if (!day.temperature) day.temperature = sample_temperature(input, day);
    if (original && !days.empty()) days.insert(days.begin(), {"", input.brew.date, original->value, 0.0, {}, {}});
    return days;
}

struct Judged {
    Fermenting state;
    std::string says;
    std::optional<double> attenuation_pct = {}; // of the reading it goes by
};

std::string gravity_text(const FermentationDay& day) {
    return fmt::format("{} on {}", fixed(*day.gravity_sg, 4), to_iso(day.on));
}

// By the days on which beer's gravity was read, the last ones first.
Judged judged(const std::vector<FermentationDay>& read) {
    if (read.size() < 2)
        return {Fermenting::cannot_tell, "whether it has stopped is not known: read it again two or three days after"};
    const FermentationDay& last = read.back();
    const FermentationDay* since = &last;
    for (auto day = read.rbegin(); day != read.rend() && std::abs(*day->gravity_sg - *last.gravity_sg) <= same_gravity;
         ++day)
        since = &*day;
    const auto stood = (last.on - since->on).count();
    if (stood >= days_apart)
        return {Fermenting::has_stopped, fmt::format("it has stood at {} since {}: it has stopped",
                                                     fixed(*last.gravity_sg, 4), to_iso(since->on))};
    const auto moves = [](const FermentationDay& from, const FermentationDay& to) {
        return Judged{Fermenting::goes_on,
                      fmt::format("it still moves: {}, {}. Seal nothing yet: beer that ferments bursts bottles "
                                  "and kegs",
                                  gravity_text(from), gravity_text(to))};
    };
    // the same mark again on the day of a fall does not say that it has ended
    if (since != &read.front() && since != &last && (last.on - (since - 1)->on).count() < days_apart)
        return moves(*(since - 1), last);
    if (since != &last)
        return {Fermenting::cannot_tell, fmt::format("{} twice within {}: read it again two or three days after",
                                                     fixed(*last.gravity_sg, 4), stood == 0 ? "a day" : "two days")};
    return moves(*(since - 1), last);
}

bool by_refractometer(const ReconcileInput& input, const FermentationDay& day) {
    const auto reading = std::ranges::find(input.brew.readings, day.reading, &Reading::id);
    return reading != input.brew.readings.end() && reading->brix.has_value();
}

// What a refractometer and a hydrometer may well differ by in the same beer. Judgement, from the scatter of the
// refractometer's rule (wort/refractometer.hpp).
constexpr double across_instruments = 0.003;

// A beer is held against itself by one kind of instrument, the last one's; across two it moves only by what they
// cannot differ by.
Judged judged_by_one(const ReconcileInput& input, const std::vector<FermentationDay>& read) {
    const bool brix = by_refractometer(input, read.back());
    const auto by = [&](bool prism) {
        std::vector<FermentationDay> alike;
        std::ranges::copy_if(read, std::back_inserter(alike),
                             [&](const FermentationDay& day) { return by_refractometer(input, day) == prism; });
        return alike;
    };
    const auto judge = [](const std::vector<FermentationDay>& days) {
        Judged found = judged(days);
        found.attenuation_pct = days.back().attenuation_pct;
        return found;
    };
    const Judged alone = judge(by(brix));
    const FermentationDay& before = read.size() > 1 ? read[read.size() - 2] : read.back();
    if (alone.state == Fermenting::has_stopped || by_refractometer(input, before) == brix) return alone;
    if (std::abs(*before.gravity_sg - *read.back().gravity_sg) > across_instruments) return judge(read);
    if (before.on == read.back().on) // both on one day: what either has seen stand has stopped
        if (Judged other = judge(by(!brix)); other.state == Fermenting::has_stopped) return other;
    return {Fermenting::cannot_tell,
            fmt::format("{} by {}, {} by {}: two instruments differ by so much in one beer; read it again with one of "
                        "them, two or three days after",
                        gravity_text(before), brix ? "hydrometer" : "refractometer", gravity_text(read.back()),
                        brix ? "refractometer" : "hydrometer"),
            read.back().attenuation_pct};
}

// What yeast takes of what was given since the last reading, or on its day: it ferments again.
std::string set_going_again(const ReconcileInput& input, const FermentationDay& last) {
    std::vector<std::string> given;
    Date on = last.on;
    for (const Addition* one : given_late(input)) {
        const Item& item = input.lots.at(one->lot).item;
        if (!one->on || *one->on <= input.brew.date || *one->on < last.on || fermentable_share(item).value <= 0.0)
            continue;
        given.push_back(fmt::format("{} of {}", to_text(one->amount), item.name));
        on = std::max(on, *one->on);
    }
    if (given.empty()) return "";
    return fmt::format("{} went in on {}, and it ferments again: read it until it stands. Seal nothing yet: beer that "
                       "ferments bursts bottles and kegs",
                       fmt::join(given, ", "), to_iso(on));
}

} // namespace

Fermentation fermentation_of(const ReconcileInput& input) {
    Fermentation out;
    const auto original = beer_as_read(input).original_sg;
    out.days = days_of(input, original);
    std::vector<FermentationDay> read;
    std::ranges::copy_if(out.days, std::back_inserter(read),
                         [](const FermentationDay& day) { return day.gravity_sg && !day.reading.empty(); });
    if (read.empty()) return out;
    if (original) // all as thinned as the beer is now, so that liquor is not taken for yeast
        for (FermentationDay& day : read) {
            const auto reading = std::ranges::find(input.brew.readings, day.reading, &Reading::id);
            if (reading != input.brew.readings.end())
                day.gravity_sg =
                    thinned({*day.gravity_sg, 0.0, 0.0, 0.0}, strength_left(input, *reading, original->value)).value;
        }
    Judged found = judged_by_one(input, read);
    if (auto again = set_going_again(input, read.back()); !again.empty() && found.state != Fermenting::goes_on) {
        found.state = Fermenting::goes_on;
        found.says = std::move(again);
    }
    out.state = found.state;
    const auto attenuated = found.attenuation_pct;
    if (attenuated) out.says = fmt::format("{} % attenuated so far; ", fixed(*attenuated, 0));
    out.says += found.says;
    const auto expected = input.recipe ? input.recipe->attenuation : std::nullopt;
    if (out.state == Fermenting::has_stopped && attenuated && expected && *attenuated < expected->value() - stuck_pct)
        out.says +=
            fmt::format(", {} points short of the {} % that the recipe expects: it may be stuck, and start again",
                        fixed(expected->value() - *attenuated, 0), readable(expected->value()));
    return out;
}

} // namespace lotwort
