#include "final_beer.hpp"
#include "reading_equation.hpp"
#include "reading_figure.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/infer/beer_as_read.hpp>
#include <lotwort/infer/fermentation.hpp>
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

std::vector<FermentationDay> days_of(const ReconcileInput& input, const std::optional<Estimate>& original) {
    std::vector<FermentationDay> days;
    for (const Reading& r : input.brew.readings) {
        if (!is_fermented_point(r.point) || r.set_aside || !r.on) continue;
        FermentationDay day{r.id, *r.on, gravity_of(input, r, original), {}, r.temperature, r.ph};
        if (!day.temperature) day.temperature = r.gravity_at;
        if (day.gravity_sg && original)
            day.attenuation_pct = wort::attenuation_pct(plato_of(original->value), plato_of(*day.gravity_sg));
        if (day.gravity_sg || day.temperature || day.ph) days.push_back(std::move(day));
    }
    std::ranges::stable_sort(days, {}, &FermentationDay::on);
    if (original && !days.empty()) days.insert(days.begin(), {"", input.brew.date, original->value, 0.0, {}, {}});
    return days;
}

struct Judged {
    Fermenting state;
    std::string says;
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
    std::vector<FermentationDay> alike;
    std::ranges::copy_if(read, std::back_inserter(alike),
                         [&](const FermentationDay& day) { return by_refractometer(input, day) == brix; });
    const Judged alone = judged(alike);
    if (alone.state == Fermenting::has_stopped || read.size() == alike.size()) return alone;
    const FermentationDay& before = read[read.size() - 2];
    if (by_refractometer(input, before) == brix) return alone;
    if (std::abs(*before.gravity_sg - *read.back().gravity_sg) > across_instruments) return judged(read);
    return {Fermenting::cannot_tell,
            fmt::format("{} by {}, {} by {}: the two agree no closer; read it again with one of them",
                        gravity_text(before), brix ? "hydrometer" : "refractometer", gravity_text(read.back()),
                        brix ? "refractometer" : "hydrometer")};
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
    const Judged found = judged_by_one(input, read);
    out.state = found.state;
    const auto attenuated = read.back().attenuation_pct;
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
